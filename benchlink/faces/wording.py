"""Findings, plans and ports as lines of text, for any width."""

import re
import textwrap
from collections.abc import Sequence
from typing import Final

from benchlink.core.difference import Difference, Finding, State
from benchlink.core.identity import Readiness
from benchlink.core.plan import Change, Moves, Plan
from benchlink.core.stray import FIRST, shown
from benchlink.core.tally import by_bank, tally
from benchlink.errors import BenchError
from benchlink.faces.tally_lines import tally_lines

NARROWEST: Final = 40
_REPRESENTED: Final = re.compile(rf"\\U{FIRST >> 8:06x}([0-9a-f]{{2}})")
"""The stand-in for a byte where a message quotes a board's text as Python does."""
LEAST_ROOM: Final = 18
"""Columns below which a reason stands under its setting instead of beside it."""
BELOW: Final = 6
"""Indent of a reason under its setting."""
SHAPES: Final = {
    State.AS_INTENDED: "=",
    State.DIFFERS: "*",
    State.MISSING: "?",
    State.REFUSED: "!",
    State.IMPOSSIBLE: "x",
    State.NEVER_KEPT: "-",
    State.WAIVED: "~",
    State.LEFT_ALONE: " ",
}
"""A shape beside the word of each state, so that colour is never needed."""

ORDER: Final = tuple(State)
"""States as a person wants to look at them."""

QUIET: Final = frozenset({State.AS_INTENDED, State.LEFT_ALONE})
"""States with nothing to look at."""


def difference_lines(
    difference: Difference, width: int, *, every: bool = False
) -> list[str]:
    """The settings to look at, who owns how many, and the counts at the end."""
    return [
        *state_lines(difference, width, every=every),
        *tally_lines(tally(difference), width),
        counts_line(difference),
    ]


def state_lines(
    difference: Difference, width: int, *, every: bool = False
) -> list[str]:
    """The settings to look at, by state and bank, each with why."""
    lines: list[str] = []
    for state in ORDER:
        found = difference.of(state)
        if not found or (state in QUIET and not every):
            continue
        lines.append(f"{SHAPES[state]} {_counted(state, len(found))}")
        for bank, there in by_bank(found).items():
            lines += [f"  bank {bank}: {len(there)}"] if bank else []
            lines += _table([_finding_row(f) for f in there], width)
    return lines


def counts_line(difference: Difference) -> str:
    """How many settings are in each state, the ones to look at first."""
    counts = difference.counts
    always = {State.DIFFERS, State.AS_INTENDED}
    return ", ".join(
        _counted(state, counts[state])
        for state in ORDER
        if counts[state] or state in always
    )


def plan_lines(plan: Plan, width: int) -> list[str]:
    """What will be written, old and new, and why."""
    if not plan.changes:
        return [
            (
                "Nothing to do: the board holds all of it now. Whether it would after a"
                " restart, only a restart shows."
            )
        ]
    count = len(plan.changes)
    title = f"Plan for {plan.identity}: {count} {'value' if count == 1 else 'values'}"
    rows = _table([_change_row(c) for c in plan.changes], width)
    return [title, *rows, *_stages(plan), *_warnings(plan, width)]


def _warnings(plan: Plan, width: int) -> list[str]:
    """What would be wrong with the outputs, below the values."""
    width = max(width, NARROWEST)
    return [
        line
        for warning in plan.warnings
        for line in textwrap.wrap(f"! {warning}", width, subsequent_indent="  ")
    ]


def _stages(plan: Plan) -> list[str]:
    """Where a restart lies in the middle, what comes before it."""
    first = ", ".join(change.name for change in plan.before_restart)
    if not first:
        return []
    return [f"Two stages: {first}, kept, and a restart; then the rest, and another."]


def readiness_lines(readiness: Readiness | None) -> list[str]:
    """Whether outputs may move, and what holds them back."""
    if readiness is None:
        return ["outputs   this console cannot say: treat them as LIVE"]
    word = "LIVE: props off, pack out" if readiness.armed else "at rest"
    return [
        f"outputs   {word}",
        *(f"          held back: {r}" for r in readiness.reasons),
    ]


def error_lines(error: BenchError) -> list[str]:
    """What happened, the single cases, and what to do next."""
    lines = [f"benchlink: {error}", *(f"  {detail}" for detail in error.details)]
    return list(map(plain, [*lines, error.hint] if error.hint else lines))


def plain(text: str) -> str:
    """A line with all spelled out that a terminal would obey or not show."""
    return shown(_REPRESENTED.sub(r"\\x\1", text))


def _counted(state: State, count: int) -> str:
    differ = "differ" if count != 1 else "differs"
    return f"{count} {differ if state is State.DIFFERS else state.value}"


def _finding_row(finding: Finding) -> tuple[str, str, str]:
    if finding.state in QUIET:
        return finding.name, _shown(finding.now), finding.reason
    values = f"{_shown(finding.now)} -> {_shown(finding.wanted)}"
    return finding.name, values, finding.trouble or finding.reason


def _change_row(change: Change) -> tuple[str, str, str]:
    warnings = [
        f"MAY MOVE A {change.moves.value.upper()}."
        if change.moves is not Moves.NOTHING
        else "",
        f"CANNOT BE PUT BACK: the old value {change.one_way}."
        if change.one_way
        else "",
        "NEVER KEPT: the next restart takes it back." if change.never_kept else "",
        change.reason,
    ]
    return (
        change.name,
        f"{change.old} -> {change.new}",
        " ".join(filter(None, warnings)),
    )


def _shown(value: object) -> str:
    return "nothing" if value is None else str(value)


def _table(rows: Sequence[tuple[str, str, str]], width: int) -> list[str]:
    """Three columns; the third wraps in its place, or below where there is no room."""
    width = max(width, NARROWEST)
    first = max((len(row[0]) for row in rows), default=0)
    # A few long values must not push every reason off the line.
    second = min(max((len(row[1]) for row in rows), default=0), max(12, width // 4))
    room = width - (2 + first + 2 + second + 2)
    lines: list[str] = []
    for name, values, words in rows:
        line = f"  {name:<{first}}  {values:<{second}}".rstrip()
        fits = room >= LEAST_ROOM and len(values) <= second
        wrapped = textwrap.wrap(words, room if fits else width - BELOW)
        if fits and wrapped:
            line = f"{line:<{width - room}}{wrapped.pop(0)}"
        indent = " " * (width - room if fits else BELOW)
        lines += [line, *(indent + part for part in wrapped)]
    return lines
