"""The board as the values page knows it: what it said last, and what is asked of it."""

from dataclasses import replace
from typing import TYPE_CHECKING, Final, final

from benchlink.errors import BenchError, PortLostError, WrongBoardError
from benchlink.faces.screen.threads.news import Errand

if TYPE_CHECKING:
    from benchlink.core.doors import LinkHealth
    from benchlink.faces.screen.threads.news import Checked, Failed, Opened
    from benchlink.faces.screen.threads.values_facts import ValuesFacts
    from benchlink.workflows.session import Session

STALE_HINT: Final = "r reads again; the values below are from before."
TITLES: Final = {Errand.READ: "NOT READ", Errand.CHECK: "NO ANSWER"}


@final
class Contact:
    """From meeting the board to losing it."""

    def __init__(self, opened: "Opened") -> None:
        self.session: Session = opened.bench.session
        """As it was met last; renewed by every reading and every check."""
        self.health: LinkHealth = opened.health
        self.trouble: BenchError | None = None
        """What went wrong last; None after a reading that went well."""
        self.title = ""
        self.lost = False
        """The port or the board went away: nothing more is asked of it."""
        self.lost_hint = ""
        """What can be done about that, and who stands in its place."""
        self.returned = ""
        """That it came back, until it was read again."""
        self._pending: Final[set[Errand]] = set()

    @property
    def reading(self) -> bool:
        """Whether a reading is under way."""
        return Errand.READ in self._pending

    @property
    def hint(self) -> str:
        """What to do about the trouble."""
        return self.lost_hint if self.lost else STALE_HINT

    def begins(self, errand: Errand) -> bool:
        """Whether to go for it now; then it is under way."""
        idle = errand is Errand.READ or (not self._pending and self.trouble is None)
        if self.lost or errand in self._pending or not idle:
            return False
        self._pending.add(errand)
        return True

    def skipped(self, errand: Errand) -> None:
        """Nobody went: the board was at work."""
        self._pending.discard(errand)

    def read(self, facts: "ValuesFacts") -> None:
        """A reading went well."""
        self._pending.discard(Errand.READ)
        self.session, self.health, self.trouble = facts.session, facts.health, None
        self.returned = ""

    def checked(self, checked: "Checked") -> bool:
        """The same board is there; True where it has restarted meanwhile."""
        self._pending.discard(Errand.CHECK)
        restarted = checked.session.epoch != self.session.epoch
        self.session, self.health = checked.session, checked.health
        return restarted

    def failed(self, failed: "Failed") -> bool:
        """An errand came to nothing; False where that is no news."""
        self._pending.discard(failed.errand)
        return self.fail(failed.error, TITLES[failed.errand])

    def fail(self, error: BenchError, title: str) -> bool:
        """Something went wrong; a port or board that went away stays so."""
        if self.lost:
            return False
        self.trouble, self.title = error, title
        self.lost = isinstance(error, PortLostError | WrongBoardError)
        if isinstance(error, WrongBoardError):
            self.title = "ANOTHER BOARD"
        elif self.lost:
            self.title = "PORT LOST"
        # What was said of the outputs before the trouble proves nothing now.
        self.session = replace(self.session, readiness=None)
        return True

    def back(self, port: str) -> None:
        """The same board is there again; what it held is from before."""
        self.lost, self.trouble = False, None
        self.returned = f"it is back at {port}: the same board, read anew"
        self._pending.clear()

    @property
    def refusal(self) -> str:
        """Why no work can begin on the board now; empty where it can."""
        if self.lost:
            return "nothing was begun: the board is gone"
        if self.reading:
            return "still reading the board: a moment"
        if self.trouble is not None:
            return "nothing was begun: r reads the board again first"
        return ""
