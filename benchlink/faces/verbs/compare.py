"""`benchlink compare`: the board against a profile or a backup; changes nothing."""

import shutil

from benchlink.core.difference import Finding
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import Json, give, identity_data
from benchlink.faces.wiring import read_asked
from benchlink.faces.wording import difference_lines
from benchlink.workflows.compare import compare_board


def run(given: Given) -> int:
    """Say what differs; exit 0 when nothing does, 1 when something does."""
    asked_of = read_asked(given.profile or "")
    with at_board(given) as at:
        intent = asked_of(at.bench)
        session = at.bench.session
        difference = compare_board(session, at.person, intent).difference
    width = shutil.get_terminal_size().columns
    lines = [
        f"{session.identity} against {intent.title}",
        *difference_lines(difference, width, every=given.every),
    ]
    data: Json = {
        "board": identity_data(session.identity),
        "against": intent.title,
        "same": difference.same,
        "counts": {state.value: n for state, n in difference.counts.items()},
        "settings": [_finding_data(f) for f in difference.findings],
    }
    give(given, data, lines)
    return ExitCode.SAME if difference.same else ExitCode.DIFFERS


def _finding_data(finding: Finding) -> Json:
    return {
        "name": finding.name,
        "state": finding.state.value,
        "owner": finding.owner.value,
        "now": None if finding.now is None else str(finding.now),
        "wanted": None if finding.wanted is None else str(finding.wanted),
        "reason": finding.reason,
        "trouble": finding.trouble,
    }
