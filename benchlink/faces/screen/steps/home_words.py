"""The words of the home page: steps as rows, the board beside them, one step below."""

import textwrap
from typing import TYPE_CHECKING, Final

from benchlink.core.greeting import day
from benchlink.core.job_standing import Standing
from benchlink.faces.job_words import (
    SHAPES,
    WORD_CELLS,
    WORDS,
    how_line,
    last_line,
    needs_line,
    remark,
)
from benchlink.faces.screen.frame.fitting import fitted
from benchlink.faces.screen.frame.safe_text import plain
from benchlink.units import MINUTE_S

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from benchlink.faces.screen.frame.sheet import Piece
    from benchlink.faces.screen.threads.home_facts import (
        HomeFacts,
        JobStep,
        PropsOffFor,
        Volts,
    )

STYLES: Final = {
    Standing.DONE: "",
    Standing.AGAIN: "bold magenta",
    Standing.NEXT: "bold",
    Standing.OPEN: "",
    Standing.NOT_HERE: "dim",
}
TITLE_CELLS: Final = 31
"""Room for the longest title and a blank."""
REMARK_LEAST: Final = 12
"""Narrower rooms for a remark leave it to the lines below."""
WORD_FROM: Final = 40
"""Narrower rows leave the word to the lines below; the shape stays."""
LABEL_CELLS: Final = 8
NOT_CONFIRMED: Final = "not confirmed"
EXPIRED: Final = "its time is over"


def step_row(step: "JobStep", facts: "HomeFacts", width: int) -> "list[Piece]":
    """One step of the list."""
    state = step.state
    word = f"{WORDS[state.standing]:<{WORD_CELLS}} " if width >= WORD_FROM else ""
    mark = f"{SHAPES[state.standing]} {word}"
    room = max(0, width - len(mark))
    title = state.step.duty.title
    if room < TITLE_CELLS + REMARK_LEAST:
        return [(mark, STYLES[state.standing]), (fitted(title, room), "")]
    told = fitted(plain(_short(step, facts)), room - TITLE_CELLS)
    return [
        (mark, STYLES[state.standing]),
        (f"{title:<{TITLE_CELLS}}", ""),
        (told, "dim" if state.standing is Standing.DONE else ""),
    ]


def step_detail(step: "JobStep", facts: "HomeFacts") -> str:
    """Everything about the step under the cursor, a paragraph each."""
    state, duty = step.state, step.state.step.duty
    why = remark(state, facts.today)
    head = f"{duty.title}: {_standing(state.standing)}"
    does = f"Enter: {how_line(step.words)} {_does(step)}."
    last = (
        ""
        if state.standing is Standing.DONE and not state.proof
        else last_line(state, facts.today)
    )
    lines = [f"{head}{f': {why}' if why else ''}", needs_line(state), does, last]
    return "\n".join(plain(line) for line in (*filter(None, lines), duty.what))


def step_sentence(step: "JobStep", today: "date") -> str:
    """How a step stands, and the words of what does it."""
    why = remark(step.state, today)
    stands = f"{_standing(step.state.standing)}{f': {why}' if why else ''}"
    return f"{stands} ({' '.join(step.words)})"


def board_lines(
    facts: "HomeFacts",
    volts: "Volts | None",
    props: "PropsOffFor | None",
    width: int,
) -> list[str]:
    """The board and what holds on it now, for a column of `width` cells."""
    lines: list[str] = []
    for label, text in _board(facts, volts, props):
        room = max(1, width - LABEL_CELLS)
        wrapped = textwrap.wrap(plain(text), room) or [""]
        lines.append(f"{label:<{LABEL_CELLS}}{wrapped[0]}")
        lines += [" " * LABEL_CELLS + line for line in wrapped[1:]]
    return lines


def _board(
    facts: "HomeFacts", volts: "Volts | None", props: "PropsOffFor | None"
) -> "Iterator[tuple[str, str]]":
    # What is dangerous stands first: a low window shows no more.
    yield "outputs", _outputs(facts)
    yield "props", _props(props)
    yield "bench", ", ".join(facts.held) or "nothing held"
    yield "unkept", "; ".join(facts.unkept) or "nothing"
    yield from _volts(volts)
    identity = facts.identity
    yield "board", identity.board_type or "does not say"
    if identity.firmware:
        yield "", f"firmware {identity.firmware}"
    if identity.number:
        yield "", f"number {identity.number}"
    speed = f", {facts.speed} baud" if facts.speed else ""
    yield "port", f"{facts.port}{speed}"
    damaged = facts.health.damaged
    damage = f"{damaged} DAMAGED" if damaged else "none damaged"
    yield "link", f"{facts.health.answers} answers, {damage}"
    yield "paper", facts.folder or "no aircraft yet: a names it"


def _outputs(facts: "HomeFacts") -> str:
    if facts.readiness is None:
        return "?? treat as LIVE"
    return "!! LIVE: keep clear !!" if facts.readiness.armed else "resting"


def _volts(volts: "Volts | None") -> "Iterator[tuple[str, str]]":
    if volts is not None and not volts.tells:
        yield "volts", "this console cannot tell"
        return
    yield "pack", _volt(volts.pack_v if volts else None, asked=volts is not None)
    yield "rail", _volt(volts.rail_v if volts else None, asked=volts is not None)


def _volt(volts: float | None, *, asked: bool) -> str:
    if volts is not None:
        return f"{volts:.2f} V"
    return "not told" if asked else "..."


def _props(props: "PropsOffFor | None") -> str:
    if props is None:
        return NOT_CONFIRMED
    if props.void or props.left <= 0:
        return f"{NOT_CONFIRMED}: {props.void or EXPIRED}"
    minutes, seconds = divmod(max(0, round(props.left)), MINUTE_S)
    return f"OFF, said {props.by}; {minutes}:{seconds:02} left"


def _short(step: "JobStep", facts: "HomeFacts") -> str:
    """What fits beside a title: when and by whom, or why not."""
    state = step.state
    if state.standing is Standing.DONE and state.on:
        by = f", {state.by}" if state.by else ""
        return f"{day(state.on.date(), facts.today)}{by}"
    if state.why or state.standing is Standing.NEXT:
        return state.why
    return f"after: {state.lacks[0].duty.title}" if state.lacks else ""


def _standing(standing: Standing) -> str:
    return "not on this board" if standing is Standing.NOT_HERE else standing.value


def _does(step: "JobStep") -> str:
    return "writes down that it is done" if step.by_hand else "does it"
