"""The home page: the steps of the job, and the board that they are about."""

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Static

from benchlink.errors import BenchError, PortLostError, WrongBoardError
from benchlink.faces.screen.frame import wording
from benchlink.faces.screen.frame.keys import HOME_KEYS, foot
from benchlink.faces.screen.frame.page import Page
from benchlink.faces.screen.frame.safe_text import plain
from benchlink.faces.screen.frame.sheet import Sheet
from benchlink.faces.screen.steps.home_words import (
    board_lines,
    step_detail,
    step_row,
    step_sentence,
)
from benchlink.faces.screen.threads.home_facts import RESUME, UNDO

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.widget import Widget

    from benchlink.faces.screen.frame.keys import Key
    from benchlink.faces.screen.frame.offers import Offer
    from benchlink.faces.screen.frame.sheet import Piece
    from benchlink.faces.screen.threads.home_facts import (
        AskProps,
        HomeFacts,
        JobStep,
        Volts,
    )

WATCH_EVERY_S: Final = 2.0
TICK_S: Final = 1.0
"""How often a confirmation that runs out is drawn anew."""
BOARD_LEAST: Final = 24
"""Cells of the column beside the list."""
BOARD_MOST: Final = 44
BOARD_SHARE: Final = 0.4
LOOKING: Final = "looking at the board, and at what was written down ..."
TRIES: Final = "trying to reach the same board at once ..."
STALE_HINT: Final = "r looks again; all below is from before."
FINISHES: Final = {RESUME: "Go on with what was left", UNDO: "Put back what was left"}
"""Headings of the stations that end what is unfinished."""


WAY_KEYS: Final = {RESUME: "s", UNDO: "u"}
"""They do nothing, and do not show, where nothing was left."""
LOOKS: Final = "r"
BEGINS: Final = frozenset({"enter", "a", "c", "t", LOOKS, *WAY_KEYS.values()})
"""Keys that ask something of the board: they wait while it is looked at, or gone."""


@final
class HomePage(Page):
    """Steps on the left, the board on the right, one step told below."""

    KEYS: ClassVar[tuple["Key", ...]] = HOME_KEYS
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("v", "values", show=False),
        Binding("u", "finish('undo')", show=False),
        Binding("s", "finish('resume')", show=False),
        Binding("c", "changed", show=False),
        Binding("a", "whose", show=False),
        Binding("t", "talk", show=False),
        Binding("r", "look", show=False),
        Binding("p", "ports", show=False),
        Binding("question_mark", "help", show=False),
        Binding("q", "app.quit", show=False),
    ]

    class LookWanted(Message):
        """The board and all that is on paper shall be read anew."""

    class VoltsWanted(Message):
        """The board shall be asked what feeds it, if nothing else is asked of it."""

    class ValuesWanted(Message):
        """The settings shall be shown."""

    class TalkWanted(Message):
        """Lines shall be typed to the board."""

    class PortsWanted(Message):
        """The board shall be let go."""

    class StationWanted(Message):
        """A piece of work shall begin."""

        def __init__(self, title: str, words: tuple[str, ...]) -> None:
            super().__init__()
            self.title: Final = title
            self.words: Final = words
            """As on the command line, the verb first."""

    def __init__(self, ask_props: "AskProps") -> None:
        super().__init__()
        self._ask_props: Final = ask_props
        self._facts: HomeFacts | None = None
        self._volts: Volts | None = None
        self._looking = False
        self._watching = False
        self._lost = False
        self._lost_hint = ""
        """What can be done about a board that is gone."""
        self._waits = False
        """Whether somebody waits for that board."""
        self._other = ""
        """What was said of another board in its place."""
        self._back = ""
        """That it came back, until the next look is over."""
        self._trouble: BenchError | None = None
        self._message = ""

    def parts(self) -> "Iterator[Widget]":
        """From the greeting down to the keys."""
        yield Static("", id="greeting", markup=False)
        yield Static("", id="left", markup=False)
        yield Static("", id="notice", markup=False)
        yield Horizontal(
            Sheet(self._line, id="steps"),
            Static("", id="board", markup=False),
            id="job",
        )
        yield Static("", id="detail", markup=False)
        yield Static("", id="says", markup=False)
        yield Static("", id="keys", markup=False)

    def on_mount(self) -> None:
        """Look at once; from then on see what feeds the board."""
        self.action_look()
        self.set_interval(WATCH_EVERY_S, self.watch_volts)
        self.set_interval(TICK_S, self._write_board)

    # What the work thread brings.

    def take_facts(self, facts: "HomeFacts") -> None:
        """Show a finished look; the cursor stays, at first it is on what is next."""
        first = self._facts is None
        self._looking, self._facts = False, facts
        self._trouble, self._message, self._back = None, self._back, ""
        sheet = self.query_one(Sheet)
        steps = [step.state.step for step in facts.steps]
        turn = steps.index(facts.turn) if facts.turn else 0
        sheet.show_rows(len(steps), turn if first else sheet.cursor)
        self.rewrite()

    def take_volts(self, volts: "Volts") -> None:
        """Show what feeds the board now."""
        self._watching, self._volts = False, volts
        self._write_board()

    def take_failed(self, error: BenchError) -> None:
        """Say what failed; a port or board that went away stays so."""
        self._looking = self._watching = False
        if self._lost:
            return
        self._message, self._trouble, self._volts = "", error, None
        self._lost = isinstance(error, PortLostError | WrongBoardError)
        if self._facts is not None:
            # What was said of the outputs before the trouble proves nothing now.
            self._facts = replace(self._facts, readiness=None)
        self.rewrite()

    def take_lost(self, hint: str, *, waits: bool) -> None:
        """Say what can be done about a board that is gone."""
        self._lost_hint, self._waits, self._other = hint, waits, ""
        self.rewrite()

    def take_other(self, sentence: str) -> None:
        """Name another board that stands where this one was."""
        self._other, self._message = sentence, ""
        self.rewrite()

    def take_back(self, port: str) -> None:
        """The same board is there again; all that is known of it is from before."""
        self._lost = self._waits = False
        self._trouble = None
        self._back = f"it is back at {port}: the same board, looked at anew"
        self.tell(self._back)
        self.rewrite()

    def take_progress(self, line: str) -> None:
        """Show how far a look has come."""
        if self._looking:
            self.tell(f"looking at the board: {line}" if line else LOOKING)

    def skipped_volts(self) -> None:
        """The board was busy: ask again when it is time."""
        self._watching = False

    def tell(self, sentence: str) -> None:
        """Show a sentence."""
        self._message = sentence
        self._write_says()

    def watch_volts(self) -> None:
        """Ask for the volts, unless something else is going on."""
        busy = self._looking or self._watching or self._trouble is not None
        if self._facts is not None and not busy and self.is_current:
            self._watching = True
            self.post_message(self.VoltsWanted())

    # Keys.

    def on_sheet_moved(self) -> None:
        """Tell about another step."""
        self._write_detail()
        self._write_says()

    def on_sheet_picked(self) -> None:
        """Begin the step under the cursor."""
        step = self._step
        if step is not None:
            self._begin(step.state.step.duty.title, step.words)

    def action_finish(self, way: str) -> None:
        """Go on with what was left unfinished, or put it back."""
        if self._facts is None or way not in self._facts.ways:
            self.tell(f"nothing is left to {way} on this board")
            return
        self._begin(FINISHES[way], (way,))

    def action_changed(self) -> None:
        """Write down that something on the aircraft is not as it was."""
        if self._facts is not None:
            self._begin("Moved or exchanged", ("job", "changed"))

    def action_whose(self) -> None:
        """Say which aircraft this board is in."""
        if self._facts is not None and self._facts.folder:
            self.tell(f"this board has its folder: {self._facts.folder}")
        elif self._facts is not None:
            self._begin("Whose board", ("aircraft",))

    def action_values(self) -> None:
        """Show the settings."""
        self.post_message(self.ValuesWanted())

    def action_talk(self) -> None:
        """Type lines to the board."""
        if self._may_begin():
            self.tell("a moment: what was asked of the board is finished first")
            self.post_message(self.TalkWanted())

    def action_look(self) -> None:
        """Look again; for a board that is gone, at once."""
        if self._lost:
            self.tell(TRIES if self._waits else self._lost_hint)
            self.post_message(self.LookWanted())
        elif not self._looking:
            self._looking = True
            self.tell(LOOKING)
            self.post_message(self.LookWanted())

    def action_ports(self) -> None:
        """Let go of the board."""
        self.post_message(self.PortsWanted())

    def _begin(self, title: str, words: tuple[str, ...]) -> None:
        if self._may_begin():
            self.post_message(self.StationWanted(title, words))

    def _may_begin(self) -> bool:
        """Whether something can be done with the board now; says so where not."""
        if self._lost:
            self.tell("nothing was begun: the board is gone")
        elif self._looking:
            self.tell("still looking at the board: a moment")
        return not self._lost and not self._looking

    @property
    def idle(self) -> frozenset[str]:
        """Those of its keys that do nothing now."""
        if self._ready:
            return self._way_idle
        return self._way_idle | (BEGINS - {LOOKS} if self._waits else BEGINS)

    def offers(self) -> "Iterator[Offer]":
        """Every step of the job, as Enter begins it."""
        from benchlink.faces.screen.frame.offers import Offer  # noqa: PLC0415 - when asked

        facts = self._facts
        if facts is None or not self._ready:
            return
        for step in facts.steps:
            duty = step.state.step.duty
            begin = partial(self._begin, duty.title, step.words)
            yield Offer(duty.title, step_sentence(step, facts.today), begin)

    @property
    def _ready(self) -> bool:
        return self._facts is not None and not self._lost and not self._looking

    # What stands where.

    def rewrite(self) -> None:
        """Everything, for the width there is now."""
        facts = self._facts
        self.write("greeting", facts.greeting if facts else "benchlink")
        left = self.query_one("#left", Static)
        left.display = bool(facts and facts.left)
        self.write("left", "\n".join(facts.left) if facts else "")
        notice = self.query_one("#notice", Static)
        notice.display = self._trouble is not None
        if self._trouble is not None:
            title = "BOARD GONE" if self._lost else "NOT LOOKED AT"
            hint = self._lost_hint if self._lost else STALE_HINT
            text = wording.trouble(self._trouble, title, self.details_most)
            other = f"\n{plain(self._other)}" if self._other else ""
            notice.update(text + f"{other}\n{hint}")
        self.write("keys", self._foot())
        self.query_one("#board", Static).styles.width = self._board_cells
        self.query_one(Sheet).refresh()
        self._write_board()
        self._write_detail()
        self._write_says()

    def _write_board(self) -> None:
        facts = self._facts
        if facts is not None:
            lines = board_lines(
                facts, self._volts, self._ask_props(), self._board_cells - 1
            )
            self.write("board", "\n".join(lines))

    def _write_detail(self) -> None:
        step, facts = self._step, self._facts
        self.write("detail", step_detail(step, facts) if step and facts else "")

    def _write_says(self) -> None:
        count = len(self._facts.steps) if self._facts else 0
        at = self.query_one(Sheet).cursor + 1 if count else 0
        self.write(
            "says", wording.ends(self._message, f"step {at} of {count}", self.cells)
        )

    def _foot(self) -> str:
        """The keys that do something now."""
        idle = self._way_idle
        return foot(tuple(k for k in HOME_KEYS if k.key not in idle), self.cells)

    @property
    def _way_idle(self) -> frozenset[str]:
        """Keys for what is not there to be finished, or said already."""
        ways = self._facts.ways if self._facts else frozenset()
        idle = frozenset(key for way, key in WAY_KEYS.items() if way not in ways)
        named = self._facts is not None and bool(self._facts.folder)
        return idle | {"a"} if named else idle

    @property
    def _step(self) -> "JobStep | None":
        cursor = self.query_one(Sheet).cursor
        steps = self._facts.steps if self._facts else ()
        return steps[cursor] if cursor < len(steps) else None

    @property
    def _board_cells(self) -> int:
        share = round(self.cells * BOARD_SHARE)
        return min(BOARD_MOST, max(BOARD_LEAST, share))

    def _line(self, index: int, width: int) -> "list[Piece]":
        facts = self._facts
        return step_row(facts.steps[index], facts, width) if facts else []
