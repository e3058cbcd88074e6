"""The keys of each screen in words: one table for the foot line and the help."""

from dataclasses import dataclass
from typing import Final

from benchlink.faces.screen.marks import MARKS


@dataclass(frozen=True, slots=True)
class Key:
    """One key as a person sees it."""

    key: str
    short: str
    """For the foot line; empty keeps it off."""
    long: str


OPENING_KEYS: Final = (
    Key("enter", "open", "open the port under the cursor"),
    Key("r", "rehearse", "rehearse on a simulated aircraft: no hardware, no risk"),
    Key("up down", "", "move the cursor"),
    Key("?", "help", "this page"),
    Key("q", "quit", "quit; ctrl+q and ctrl+c do the same"),
)

VALUES_KEYS: Final = (
    Key("r", "read again", "read all settings again"),
    Key("/", "search", "search names as you type; enter keeps it, escape ends it"),
    Key("0-7", "filter", "show only one state; 0 shows all"),
    Key("left right", "", "the filter before, the next filter"),
    Key("up down", "", "move the cursor; page up, page down, home, end"),
    Key("b", "blink", "blink the board's lamp: proves the way from key to board"),
    Key("p", "ports", "let go of this board, back to the list of ports"),
    Key("?", "help", "this page"),
    Key("q", "quit", "let go of the board and quit; ctrl+q, ctrl+c do the same"),
)


def foot(keys: tuple[Key, ...]) -> str:
    """The foot line: keys and words in a row."""
    return "   ".join(f"{k.key} {k.short}" for k in keys if k.short)


def help_lines() -> tuple[str, ...]:
    """The help page."""
    return (
        "Nothing on these screens writes to a board.",
        "",
        "Choosing a board",
        *_table(OPENING_KEYS),
        "",
        "Looking at its settings",
        *_table(VALUES_KEYS),
        "",
        "States",
        *(f"  {m.value.shape} {m.value.word:<15} {m.value.meaning}" for m in MARKS),
        "",
        "Outputs LIVE means that servos and motors may move by themselves:",
        "pull the pack, from behind the disc, and take the props off first.",
    )


def _table(keys: tuple[Key, ...]) -> tuple[str, ...]:
    return tuple(f"  {k.key:<11} {k.long}" for k in keys)
