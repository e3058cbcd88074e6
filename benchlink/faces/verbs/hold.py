"""`benchlink hold`: settings for the time at the bench, put back at Enter."""

import sys

from benchlink.core.plan import Moves
from benchlink.core.values import Value, as_kind_of
from benchlink.errors import UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import COMMAND_LINE, AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.wiring import journals, stamp
from benchlink.store.strict_yaml import load
from benchlink.workflows.bench_states import Asked, bench_states
from benchlink.workflows.finishing import require_finished
from benchlink.workflows.read import read_settled


def run(given: Given) -> int:
    """Set them, wait, put them back and prove it."""
    pairs = _pairs(given)
    if not sys.stdin.isatty():
        msg = "hold waits for a person to press Enter, and nobody can here"
        raise UsageError(msg, hint="Nothing was sent. Run it at a terminal.")
    with at_board(given) as at:
        return _hold(at, pairs, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    return _hold(at, _pairs(given), given)


def _hold(at: AtBoard, pairs: dict[str, str], given: Given) -> int:
    require_finished(at.found)
    asked = Asked(values=_values(at, pairs), why=f"hold {', '.join(pairs)}")
    label = stamp(at.bench, given.note)
    session, shelf = at.bench.session, journals(at.person, at.bench)
    moves = any(session.grammar.moves(n) is not Moves.NOTHING for n in pairs)
    with bench_states(session, at.person, shelf, label, asked):
        for name, value in asked.values.items():
            at.person.tell(f"{name} is {value} for now, and not kept")
        warning = "arms may jump: hands clear; " if moves else ""
        at.person.types(f"{warning}Enter puts the old values back: ")
    at.person.done()
    at.say("Put back, read again and equal.")
    return ExitCode.SAME


def _pairs(given: Given) -> dict[str, str]:
    return dict(_pair(text) for text in given.pairs)


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not name or not value:
        msg = f"{text!r} is not NAME=VALUE"
        raise UsageError(msg, hint="Nothing was sent to a board.")
    return name, value


def _values(at: AtBoard, pairs: dict[str, str]) -> dict[str, Value]:
    """What was typed, as the kinds of value that the board holds there."""
    now = read_settled(at.bench.session, at.person)
    values: dict[str, Value] = {}
    for name, text in pairs.items():
        setting = now.settings.get(name)
        if setting is None:
            msg = f"the board has no setting {name!r}"
            raise UsageError(msg, hint="Nothing was written.")
        try:
            values[name] = as_kind_of(setting.value, load(text, COMMAND_LINE))
        except ValueError as exc:
            msg = f"{name} {exc}"
            raise UsageError(msg, hint="Nothing was written.") from exc
    return values
