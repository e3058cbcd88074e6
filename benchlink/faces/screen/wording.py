"""The words around the rows: who the board is, how many of what, what went wrong."""

from typing import TYPE_CHECKING, Final

from rich.cells import cell_len
from textual.content import Content

from benchlink.faces.screen.columns import fitted
from benchlink.faces.screen.marks import MARKS, NOTHING
from benchlink.faces.screen.safe_text import plain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchlink.core.doors import LinkHealth
    from benchlink.core.identity import Readiness
    from benchlink.core.intent import Intent
    from benchlink.errors import BenchError
    from benchlink.faces.screen.rows import Row, View
    from benchlink.workflows.session import Session

COLOURS: Final = frozenset({"magenta", "red"})
"""Of the terminal's palette: readable on dark and on light ones."""


def ends(left: str, right: str, width: int) -> str:
    """Two texts at the two ends of a line; the left one gives way."""
    room = max(0, width - cell_len(right) - 1)
    return f"{fitted(left, room)} {right}"


def outputs(readiness: "Readiness | None") -> tuple[str, str]:
    """Whether the outputs may move, and the style to say it in."""
    if readiness is None:
        return "?? outputs not known: treat as LIVE", "bold"
    if readiness.armed:
        return "!! outputs LIVE: keep clear !!", "bold reverse"
    return "outputs resting", ""


def who(session: "Session", width: int) -> Content:
    """The board and its outputs."""
    text, style = outputs(session.readiness)
    left = ends(plain(str(session.identity)), "", max(0, width - cell_len(text)))
    return Content.assemble((left, "bold"), (text, style))


def link(session: "Session", health: "LinkHealth", width: int) -> str:
    """The port and what its link has carried."""
    speed = f", {session.board.speed} baud" if session.board.speed else ""
    damage = f"{health.damaged} DAMAGED" if health.damaged else "none damaged"
    return ends(
        f"{plain(session.board.port)}{speed}",
        f"link: {health.answers} answers, {damage}",
        width,
    )


def held(intent: "Intent | None", width: int) -> str:
    """What the board is held against."""
    if intent is None:
        return fitted("no profile: settings only", width)
    return fitted(
        f"held against: {plain(intent.title)} ({plain(intent.source)})", width
    )


def counts(view: "View", width: int) -> Content:
    """How many rows are in each state, under the key that shows only those."""
    tally = view.counts
    chips = [("", _chip(0, "all", len(view.rows), chosen=view.only is None))]
    for key, mark in enumerate(MARKS, start=1):
        look = mark.value
        label = f"{look.shape} {look.word}"
        chosen = view.only is mark
        chips.append(
            (
                "bold" if chosen else _own(look.style) if tally[mark] else "dim",
                _chip(key, label, tally[mark], chosen=chosen),
            )
        )
    return _flowed(chips, width)


def detail(row: "Row | None", width: int) -> str:
    """Everything about the row under the cursor."""
    if row is None:
        return "No setting to show. 0 shows all; escape ends the search."
    look = row.mark.value
    owner = f"   owner: {row.owner}" if row.owner else ""
    lines = [f"{row.name}   {look.shape} {look.word}{owner}"]
    file = str(row.place).rpartition("/")[2]
    asked = f" (asked in {file})" if row.place else ""
    wanted = f"   wanted {row.wanted}{asked}" if row.wanted != NOTHING else ""
    lines.append(f"now {row.now}{wanted}")
    why = "; ".join(text for text in (row.reason, row.trouble) if text)
    lines.append(f"reason: {why}" if why else look.meaning)
    return "\n".join((*(fitted(line, width) for line in lines[:2]), lines[2]))


def trouble(error: "BenchError", title: str, most: int) -> Content:
    """An error for a person at a bench: what, which (`most` of them), what to do."""
    shown = error.details[:most]
    more = len(error.details) - len(shown)
    lines = [f"   {plain(line)}" for line in shown]
    if more:
        lines.append(f"   and {more} more")
    if error.hint:
        lines.append(plain(error.hint))
    return Content.assemble(
        (f"!! {title}: ", _own("bold red")),
        (plain(str(error)), "bold"),
        *(f"\n{line}" for line in lines),
    )


def trouble_lines(error: "BenchError") -> "Iterator[str]":
    """The whole of an error, for a log that scrolls."""
    yield f"!! {error}"
    yield from (f"   {line}" for line in error.details)
    if error.hint:
        yield error.hint


def _own(style: str) -> str:
    """Textual's words for a style; bare colour words would be fixed colours there."""
    return " ".join(
        f"ansi_{word}" if word in COLOURS else word for word in style.split()
    )


def _chip(key: int, label: str, count: int, *, chosen: bool) -> str:
    text = f"{key} {label} {count}"
    return f"[{text}]" if chosen else f" {text} "


def _flowed(chips: list[tuple[str, str]], width: int) -> Content:
    parts: list[tuple[str, str]] = []
    used = 0
    for style, text in chips:
        if used and used + len(text) > width:
            parts.append(("\n", ""))
            used = 0
        parts.append((text, style))
        used += len(text)
    return Content.assemble(*parts)
