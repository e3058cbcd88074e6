"""The values page: a board's settings against a profile, and what is done about them."""

from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.binding import Binding, BindingType
from textual.message import Message

from benchlink.faces.screen.frame import wording
from benchlink.faces.screen.frame.keys import VALUES_KEYS
from benchlink.faces.screen.threads.news import Errand
from benchlink.faces.screen.threads.return_wait import WAITS
from benchlink.faces.screen.values.choices import Order, apply_order, waive_order
from benchlink.faces.screen.values.contact import Contact
from benchlink.faces.screen.values.lamp import Lamp
from benchlink.faces.screen.values.values_list import ValuesList
from benchlink.faces.screen.values.values_state import AT_FIRST, ValuesState

if TYPE_CHECKING:
    from collections.abc import Mapping

    from textual.content import Content

    from benchlink.faces.screen.frame.keys import Key
    from benchlink.faces.screen.threads.news import Checked, Failed, Opened, Progressed
    from benchlink.faces.screen.threads.values_facts import ValuesFacts

CHECK_EVERY_S: Final = 1.0
RESTARTED: Final = "the board has restarted since this reading: r reads again"
TRIES: Final = "trying to reach the same board at once ..."
BEGINS: Final = frozenset({"enter", "w"})
"""Keys that begin work on the board."""

Stand = tuple[ValuesState, str]
"""What the next page of these values begins with: all that showed, and the row's name."""
NOT_YET: Final[Stand] = (AT_FIRST, "")


@final
class ValuesPage(ValuesList):
    """One board, from meeting it to letting it go."""

    KEYS: ClassVar[tuple["Key", ...]] = VALUES_KEYS
    BINDINGS: ClassVar[list[BindingType]] = [
        # Before any widget sees the key: this is the way that live lines will take.
        Binding("b", "blink", show=False, priority=True),
        # Also where no row shows: what is marked does not hang on the cursor.
        Binding("enter", "apply", show=False, priority=True),
        Binding("a", "apply", show=False),
        Binding("w", "waive", show=False),
        Binding("r", "read", show=False),
        Binding("h", "home", show=False),
        Binding("p", "ports", show=False),
        Binding("question_mark", "help", show=False),
        Binding("q", "app.quit", show=False),
    ]

    class ReadWanted(Message):
        """The settings shall be read."""

    class CheckWanted(Message):
        """The board shall be asked whether it is still there."""

    class HomeWanted(Message):
        """Back to the steps of the job."""

    class PortsWanted(Message):
        """The board shall be let go."""

    class StationWanted(Message):
        """A piece of work shall begin."""

        def __init__(self, order: Order) -> None:
            super().__init__()
            self.order: Final = order

    def __init__(self, opened: "Opened", stand: Stand = NOT_YET) -> None:
        """It shows what stood there before, until the board was read."""
        super().__init__(*stand)
        self.contact: Final = Contact(opened)
        self._left: Final = opened.left
        self._lamp: Final = Lamp()

    def on_mount(self) -> None:
        """Read at once, and from then on see that the board stays."""
        super().on_mount()
        self.action_read()
        self.set_interval(CHECK_EVERY_S, self.check)

    @property
    def stand(self) -> Stand:
        """For the next page of these values."""
        return self.state, self.row.name if self.row else ""

    @property
    def idle(self) -> frozenset[str]:
        """Keys that would only say that there is nothing to do, or not now."""
        return self.absent | BEGINS if self.contact.refusal else self.absent

    # What the work thread brings.

    def take_read(self, facts: "ValuesFacts") -> None:
        """Show a finished reading, the cursor where it was."""
        back = self.contact.returned
        self.contact.read(facts)
        state = self.state.read(facts)
        self.turn(state.told(back) if back else state)

    def take_checked(self, checked: "Checked") -> None:
        """Show a board that is still there."""
        restarted = self.contact.checked(checked)
        self.tell(RESTARTED if restarted else self.state.message)

    def take_failed(self, failed: "Failed") -> None:
        """Say what failed."""
        if self.contact.failed(failed):
            self.tell("")

    def take_lost(self, hint: str) -> None:
        """Say what can be done about a board that is gone."""
        self.contact.lost_hint = hint
        self.rewrite()

    def take_back(self, port: str) -> None:
        """The same board is there again: it is read anew."""
        self.contact.back(port)
        self.tell(self.contact.returned)
        self.action_read()

    def take_progress(self, progress: "Progressed") -> None:
        """Show how far the reading has come."""
        if self.contact.reading:
            self.tell(progress.line)

    def check(self) -> None:
        """Ask for a check, unless something else shows that the board is there."""
        if self.contact.begins(Errand.CHECK):
            self.post_message(self.CheckWanted())

    # Keys.

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a search is typed, `b` is a letter, and Enter ends the search."""
        if action in {"blink", "apply"}:
            return not self.state.search.typing
        return super().check_action(action, parameters)

    def action_apply(self) -> None:
        """Begin to write what is marked."""
        if self.state.facts is not None:
            self._begin(apply_order(self.state.facts, self.state.choices))

    def action_waive(self) -> None:
        """Begin to waive the row under the cursor, or to lift its waiver."""
        if self.state.facts is not None and self.row is not None:
            self._begin(waive_order(self.state.facts, self.row))

    def action_blink(self) -> None:
        """Blink the board's lamp."""
        self.tell(self._lamp.blink(self.contact))
        if self.contact.lost:
            # Whoever waits for the board hears of it by a reading that is wanted.
            self.post_message(self.ReadWanted())

    def action_read(self) -> None:
        """Read again; a board that is gone is tried at once, where it is waited for."""
        if self.contact.lost:
            self.tell(TRIES if WAITS in self.contact.hint else "")
            self.post_message(self.ReadWanted())
        elif self.contact.begins(Errand.READ):
            self.tell("reading ...")
            self.post_message(self.ReadWanted())

    def action_home(self) -> None:
        """Back to the steps."""
        self.post_message(self.HomeWanted())

    def action_ports(self) -> None:
        """Let go of the board."""
        self.post_message(self.PortsWanted())

    def _begin(self, order: Order | str) -> None:
        refusal = self.contact.refusal
        if refusal:
            self.tell(refusal)
        elif isinstance(order, Order):
            self.post_message(self.StationWanted(order))
        else:
            self.tell(order)

    # What stands where.

    def texts(self) -> "Mapping[str, str | Content | None]":
        """The rows and what stands around them, under the board and its link."""
        contact, cells, facts = self.contact, self.cells, self.state.facts
        left = facts.left if facts else self._left
        return {
            "who": wording.who(contact.session, cells),
            "link": wording.link(contact.session, contact.health, cells),
            "left": wording.lines(left) if left else None,
            "notice": self._notice(),
            **super().texts(),
        }

    def _notice(self) -> "Content | None":
        """What went wrong: with the board, or else with what it is held against."""
        contact, facts = self.contact, self.state.facts
        if contact.trouble is not None:
            text = wording.trouble(contact.trouble, contact.title, self.details_most)
            return text + f"\n{contact.hint}"
        if facts is None or facts.trouble is None:
            return None
        return wording.trouble(facts.trouble, "NOT COMPARED", self.details_most)
