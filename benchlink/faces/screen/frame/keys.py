"""The keys of each screen in words: one table for the foot line and the help."""

from typing import Final, NamedTuple


class Key(NamedTuple):
    """One key as a person sees it."""

    key: str
    short: str
    """For the foot line; empty keeps it off."""
    long: str
    word: str = ""
    """Its name where all that can be done is listed, if the foot line has none."""
    spare: bool = False
    """Whether the foot line does without it where there is no room."""

    @property
    def name(self) -> str:
        """What it does, in a word or two; empty for keys that only move something."""
        return self.word or self.short


GAP: Final = "   "

HANDS_KEY: Final = Key(
    "f2", "", "in a rehearsal: your hands at the simulated bench", word="hands"
)
FIND_KEY: Final = Key(
    "ctrl+p", "more", "all that can be done here; type a word of it", spare=True
)
"""Opens the list of what can be done; textual's own key for it."""
HELP_KEY: Final = Key("?", "help", "keys and marks in words; f1 does so on every page")
FOOT_CELLS: Final = 78
"""Of the foot line in a window of 80 columns."""

OPENING_KEYS: Final = (
    Key("enter", "open", "open the port under the cursor"),
    Key("r", "rehearse", "rehearse on a simulated aircraft: no hardware, no risk"),
    Key("up down", "", "move the cursor"),
    FIND_KEY,
    HELP_KEY,
    Key("q", "quit", "quit; ctrl+q and ctrl+c do the same"),
)

VALUES_KEYS: Final = (
    Key("enter", "apply", "apply what is marked, after the plan was shown; a as well"),
    Key("space", "mark", "apply or leave the row under the cursor"),
    Key("x", "", "the same for all rows that show", word="mark all that show"),
    Key("w", "", "accept a difference, with a reason; or no longer", word="waive"),
    Key("/", "search", "search names as you type; enter keeps it, escape ends it"),
    Key("0-7", "filter", "show one state; counted are those that o and c let through"),
    Key("left right", "", "the state before, the next state"),
    Key("o", "", "show the next owner's only; shift and o: the one before", "owner"),
    Key("c", "", "show only what changed since the last copy, or all", "changed"),
    Key("up down", "", "move the cursor; page up, page down, home, end"),
    HANDS_KEY,
    Key("r", "", "read the board, its profile and the copy again", word="read"),
    Key("b", "", "blink the board's lamp: proves the way from key to board", "blink"),
    Key("h", "steps", "back to the steps of the job"),
    Key("p", "", "let go of this board, back to the list of ports", word="ports"),
    FIND_KEY,
    HELP_KEY,
    Key("q", "quit", "let go of the board and quit; ctrl+q, ctrl+c do the same"),
)

HOME_KEYS: Final = (
    Key(
        "enter",
        "do",
        "begin the step under the cursor, or write down that it is done",
        word="this step",
    ),
    Key("v", "values", "the board's settings beside the profile"),
    Key("s", "resume", "go on with a change that was left unfinished"),
    Key("u", "undo", "put back what was left unfinished or set for the bench"),
    Key("c", "changed", "something on the aircraft was moved or exchanged"),
    Key(
        "a",
        "",
        "say which aircraft this board is in: that makes its folder",
        word="whose board",
    ),
    Key("t", "talk", "type lines to the board; each is looked at before it is sent"),
    Key("r", "", "read the board and the records again", word="look again"),
    Key("up down", "", "move the cursor; page up, page down, home, end"),
    HANDS_KEY,
    Key("p", "", "let go of this board, back to the list of ports", word="ports"),
    FIND_KEY,
    HELP_KEY,
    Key("q", "quit", "let go of the board and quit; ctrl+q does the same"),
)

STATION_KEYS: Final = (
    Key("enter", "answer", "give the answer that was typed"),
    Key("page up/down", "look back", "look at what was said before"),
    Key("ctrl+c", "end it", "end it; whatever stands or was written is put back first"),
    HANDS_KEY,
    FIND_KEY,
    Key("f1", "help", "keys and marks in words"),
)

OVER_KEYS: Final = (
    Key("enter", "back", "back to the page that it was begun from"),
    Key("page up/down", "look back", "look at what was said before"),
    FIND_KEY,
    Key("f1", "help", "keys and marks in words"),
)

GUIDE_KEYS: Final = (
    Key("enter", "begin", "go on to the board"),
    Key("f2", "your hands", HANDS_KEY.long),
    FIND_KEY,
    HELP_KEY,
    Key("q", "quit", "let go of the board and quit"),
)

HELP_KEYS: Final = (
    Key("up down", "scroll", "move through the help"),
    Key("q", "back", "back to where you were"),
)


def foot(keys: tuple[Key, ...], cells: int = FOOT_CELLS) -> str:
    """The foot line: keys and words in a row, without the spare ones where it is full."""
    line = GAP.join(f"{k.key} {k.short}" for k in keys if k.short)
    if len(line) <= cells:
        return line
    return GAP.join(f"{k.key} {k.short}" for k in keys if k.short and not k.spare)


def help_lines() -> tuple[str, ...]:
    """The help page."""
    from benchlink.core.cautions import CUT_THE_POWER, REAL_STOP  # noqa: PLC0415
    from benchlink.faces.screen.frame.legend import LEGEND, MEANINGS  # noqa: PLC0415
    from benchlink.faces.screen.frame.marks import MARKS  # noqa: PLC0415

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
        "Marks",
        *(f"  {word:<11} {meaning}" for word, meaning in MEANINGS),
        "",
        "A tilt arm on its line, aft on the left and forward on the right",
        *(f"  {mark:<11} {what}" for mark, what in LEGEND),
        "",
        "While keys run a motor, any key but the run key stops it; so does looking at",
        f"another window. {REAL_STOP}",
        "",
        "Outputs LIVE means that servos and motors may move by themselves:",
        CUT_THE_POWER,
        "Take the props off before anything else.",
    )


def _table(keys: tuple[Key, ...]) -> tuple[str, ...]:
    return tuple(f"  {k.key:<11} {k.long}" for k in keys)
