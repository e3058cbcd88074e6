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


HANDS_KEY: Final = Key("f2", "", "in a rehearsal: your hands at the simulated bench")

OPENING_KEYS: Final = (
    Key("enter", "open", "open the port under the cursor"),
    Key("r", "rehearse", "rehearse on a simulated aircraft: no hardware, no risk"),
    Key("up down", "", "move the cursor"),
    Key("?", "help", "this page"),
    Key("q", "quit", "quit; ctrl+q and ctrl+c do the same"),
)

VALUES_KEYS: Final = (
    Key("r", "read", "read all settings again"),
    Key("/", "search", "search names as you type; enter keeps it, escape ends it"),
    Key("0-7", "filter", "show only one state; 0 shows all"),
    Key("left right", "", "the filter before, the next filter"),
    Key("up down", "", "move the cursor; page up, page down, home, end"),
    HANDS_KEY,
    Key("b", "blink", "blink the board's lamp: proves the way from key to board"),
    Key("h", "steps", "back to the steps of the job"),
    Key("p", "ports", "let go of this board, back to the list of ports"),
    Key("?", "help", "this page"),
    Key("q", "quit", "let go of the board and quit; ctrl+q, ctrl+c do the same"),
)

HOME_KEYS: Final = (
    Key(
        "enter",
        "do",
        "begin the step under the cursor, or write down that it is done",
    ),
    Key("v", "values", "the board's settings beside the profile"),
    Key("s", "resume", "go on with a change that was left unfinished"),
    Key("u", "undo", "put back what was left unfinished or set for the bench"),
    Key("c", "changed", "something on the aircraft was moved or exchanged"),
    Key("t", "talk", "type lines to the board; each is looked at before it is sent"),
    Key("r", "", "read the board and the records again"),
    Key("up down", "", "move the cursor; page up, page down, home, end"),
    HANDS_KEY,
    Key("p", "", "let go of this board, back to the list of ports"),
    Key("?", "help", "this page"),
    Key("q", "quit", "let go of the board and quit; ctrl+q does the same"),
)

STATION_KEYS: Final = (
    Key("enter", "answer", "give the answer that was typed"),
    Key("page up/down", "look back", "look at what was said before"),
    Key("ctrl+c", "end it", "end it; whatever stands or was written is put back first"),
    HANDS_KEY,
    Key("f1", "help", "this page"),
)


def foot(keys: tuple[Key, ...]) -> str:
    """The foot line: keys and words in a row."""
    return "   ".join(f"{k.key} {k.short}" for k in keys if k.short)


def help_lines() -> tuple[str, ...]:
    """The help page."""
    from benchlink.faces.screen.horn_gauge import LEGEND  # noqa: PLC0415 - when asked

    return (
        "Nothing is written and nothing moves before you have typed that it may.",
        "",
        "Choosing a board",
        *_table(OPENING_KEYS),
        "",
        "The steps of the job",
        *_table(HOME_KEYS),
        "",
        "Looking at its settings",
        *_table(VALUES_KEYS),
        "",
        "States",
        *(f"  {m.value.shape} {m.value.word:<15} {m.value.meaning}" for m in MARKS),
        "",
        "A tilt arm on its line, aft on the left and forward on the right",
        *(f"  {mark:<11} {what}" for mark, what in LEGEND),
        "",
        "While keys run a motor, any key but the run key stops it; so does looking at",
        "another window. The real stop: pull the pack, from behind the disc.",
        "",
        "Outputs LIVE means that servos and motors may move by themselves:",
        "pull the pack, from behind the disc, and take the props off first.",
    )


def _table(keys: tuple[Key, ...]) -> tuple[str, ...]:
    return tuple(f"  {k.key:<11} {k.long}" for k in keys)
