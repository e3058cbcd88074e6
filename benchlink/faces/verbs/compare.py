"""`benchlink compare`: the board against a profile or a backup; changes nothing."""

from benchlink.core.difference import Difference, Finding, State
from benchlink.core.factory import not_as_made
from benchlink.core.intent import Intent, Owner
from benchlink.core.tally import tally
from benchlink.faces.arguments import Given
from benchlink.faces.asked import as_made, asked_of, factory_at_hand, read_named
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.named_files import AskedOf
from benchlink.faces.output import Json, give, identity_data
from benchlink.faces.wording import difference_lines
from benchlink.workflows.compare import compare_board


def run(given: Given) -> int:
    """Say what differs; exit 0 when nothing that is shown does, 1 when something does."""
    named = read_named(given.profile)
    with at_board(given) as at:
        return _compare(at, named, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same for a board that is open."""
    return _compare(at, read_named(given.profile), given)


def _compare(at: AtBoard, named: AskedOf | None, given: Given) -> int:
    session = at.bench.session
    intent = _intent(at, named, given)
    compared = compare_board(session, at.person, intent)
    fresh = factory_at_hand(at.bench, at.person)
    difference = _shown(compared.difference, given)
    made = not_as_made(compared.snapshot, fresh.snapshot) if fresh else None
    lines = [
        f"{at.who} against {intent.title}",
        *difference_lines(
            difference, at.person.columns, every=given.every or bool(given.states)
        ),
    ]
    hidden = len(compared.difference.findings) - len(difference.findings)
    if hidden:
        lines.append(f"{hidden} others not looked at")
    if made is not None and fresh and not given.factory:
        differ = "differs" if len(made) == 1 else "differ"
        lines.append(f"{len(made)} {differ} from factory (`compare --factory`)")
    data: Json = {
        "aircraft": at.aircraft.tail if at.aircraft else None,
        "board": identity_data(session.identity),
        "against": intent.title,
        "same": difference.same,
        "counts": {state.value: n for state, n in difference.counts.items()},
        "owners": _tally_data(difference),
        "not_as_made": None if made is None else len(made),
        "settings": [_finding_data(f) for f in difference.findings],
    }
    give(given, data, lines, at.person)
    return ExitCode.SAME if difference.same else ExitCode.DIFFERS


def _intent(at: AtBoard, named: AskedOf | None, given: Given) -> Intent:
    if given.factory:
        return as_made(at.bench)
    return asked_of(at, named)


def _shown(difference: Difference, given: Given) -> Difference:
    return difference.only(
        [Owner(word) for word in given.owners or ()],
        [State(word.replace("-", " ")) for word in given.states or ()],
    )


def _tally_data(difference: Difference) -> Json:
    counts = tally(difference)
    return {
        owner.value: {
            state.value: count
            for state in counts.states
            if (count := counts.of(owner, state))
        }
        for owner in counts.owners
    }


def _finding_data(finding: Finding) -> Json:
    return {
        "name": finding.name,
        "bank": finding.bank,
        "state": finding.state.value,
        "owner": finding.owner.value,
        "now": None if finding.now is None else str(finding.now),
        "wanted": None if finding.wanted is None else str(finding.wanted),
        "reason": finding.reason,
        "trouble": finding.trouble,
    }
