"""Words that pages share: who the board is, how its link does, what went wrong."""

from typing import TYPE_CHECKING, Final

from rich.cells import cell_len
from textual.content import Content

from benchlink.faces.screen.frame.fitting import fitted
from benchlink.faces.screen.frame.safe_text import plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from benchlink.core.doors import LinkHealth
    from benchlink.core.identity import Readiness
    from benchlink.errors import BenchError
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


def lines(sentences: "Iterable[str]") -> str:
    """One under the other, safe to print."""
    return "\n".join(map(plain, sentences))


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
        (f"!! {title}: ", own_style("bold red")),
        (plain(str(error)), "bold"),
        *(f"\n{line}" for line in lines),
    )


def trouble_lines(error: "BenchError") -> "Iterator[str]":
    """The whole of an error, for a log that scrolls."""
    yield f"!! {error}"
    yield from (f"   {line}" for line in error.details)
    if error.hint:
        yield error.hint


def own_style(style: str) -> str:
    """Textual's words for a style; bare colour words would be fixed colours there."""
    return " ".join(
        f"ansi_{word}" if word in COLOURS else word for word in style.split()
    )
