"""The doors through which a workflow meets the world outside."""

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Protocol

from benchlink.core.advance import Advance
from benchlink.core.backup import Backup
from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.exchange import Answer, Command
from benchlink.core.journal import Mark, Story, Transaction, Unfinished
from benchlink.core.plan import Plan
from benchlink.core.roles import OwnSide
from benchlink.core.scene import Scene
from benchlink.units import Baud, Seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkHealth:
    """What a connection has carried so far, and how well."""

    sent_bytes: int
    received_bytes: int
    answers: int
    damaged: int
    """Answers that could not be trusted."""
    chatter: tuple[str, ...] = ()
    """What the board said unasked, latest last, a bounded number of lines."""


Progress = Callable[[int, int], None]
"""Called on the asking thread with the bytes and answers received since it asked."""


class Board(Protocol):
    """One open conversation with a controller."""

    @property
    def port(self) -> str:
        """Where it is, for messages."""
        ...

    @property
    def speed(self) -> Baud | None:
        """Line speed, or None where the wire is not paced."""
        ...

    @property
    def epoch(self) -> int:
        """Rises at every restart and reconnect; proofs of an older epoch are void."""
        ...

    def ask(
        self, commands: Sequence[Command], progress: Progress | None = None
    ) -> tuple[Answer, ...]:
        """Send commands through the window; one answer each, in the same order.

        Raises:
            LinkError: the port went away or the board fell silent for good.
        """
        ...

    def restart(
        self,
        command: Command,
        back_within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
    ) -> Answer:
        """Send a restart and wait until the board answers again, on whatever port.

        `waiting` hears how many seconds are left, again and again; what it raises ends
        the wait, and nobody knows then what became of the restart.

        Raises:
            LinkError: it did not come back in time.
        """
        ...

    def come_back(
        self,
        within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        """Find the board again after its port went away, and wait for its prompt.

        `waiting` hears how many seconds are left, again and again but while `ours` asks;
        what it raises ends the wait. `ours` asks whatever board is there who it is, and
        raises a BoardError where it is another one: that one is let go of, and the wait
        goes on.

        Raises:
            LinkError: it did not come back in time.
            BoardError: another board was there until the end.
        """
        ...

    def live(self, slot: str, command: Command) -> None:
        """Hand over the newest live line of a slot; an unsent older one is dropped."""
        ...

    def stop(self, command: Command) -> None:
        """Send a stop past everything, in every state; again where it is not taken.

        Raises:
            LinkError: its bytes did not leave, or the board did not take it in time.
        """
        ...

    def health(self) -> LinkHealth:
        """What the connection has carried."""
        ...


class Ears(Protocol):
    """Listening along on an open port, beside whoever asks."""

    def overheard(self) -> bytes:
        """What came since the last look, byte for byte; nothing before the first one."""
        ...


class BareLine(Ears, Protocol):
    """An open port to a board whose console nobody has described."""

    @property
    def port(self) -> str:
        """Where it is, for messages."""
        ...

    def say(self, data: bytes, hear: Callable[[], None]) -> None:
        """Send bytes as they stand and wait until the board falls quiet.

        `hear` is called whenever something came, and may take it from `overheard`.

        Raises:
            PortLostError: the port went away.
        """
        ...


class Records(Protocol):
    """Where copies of boards are kept."""

    def keep_backup(self, backup: Backup) -> str:
        """Write a backup whole or not at all, and say where it stands.

        Raises:
            FileError: it could not be written; nothing was replaced.
        """
        ...


class BenchRecords(Protocol):
    """Where work at the bench is written down, an event at a time."""

    def keep(self, record: BenchRecord) -> str:
        """Write a record whole or not at all, and say where it stands.

        Raises:
            FileError: it could not be written; nothing was replaced.
        """
        ...

    def newest(self, work: Work, side: OwnSide | None = None) -> BenchRecord | None:
        """The latest record of that work, about that side where one is named.

        Work that was broken off proves nothing, and does not count.
        """
        ...

    def kept(self) -> tuple[BenchRecord, ...]:
        """All records that can be read, the oldest first."""
        ...


class Journal(Protocol):
    """What is written down about one change, mark by mark."""

    @property
    def path(self) -> str:
        """Where it stands, for messages."""
        ...

    @property
    def story(self) -> Story:
        """The marks so far."""
        ...

    def mark(self, mark: Mark, stage: int = 1) -> None:
        """Write down what is begun now, and make sure that it is on the disk.

        Raises:
            FileError: it could not be written; the mark before still holds.
        """
        ...


class Journals(Protocol):
    """All changes that were written down."""

    def open(self, transaction: Transaction) -> Journal:
        """Write a change down, whole, before anything is sent.

        Raises:
            FileError: it could not be written: nothing must be sent.
        """
        ...

    def unfinished(self) -> tuple[Unfinished, ...]:
        """Changes that are neither done nor undone, the newest first."""
        ...

    def go_on(self, unfinished: Unfinished) -> Journal:
        """Open the journal of an unfinished change again.

        Raises:
            FileError: it cannot be read, or is damaged.
        """
        ...


class Keys(Protocol):
    """A keyboard, key by key."""

    def pressed(self, within: Seconds) -> tuple[str, ...]:
        """The keys that came together, as words; none when the time is over.

        A letter or digit is itself; else `enter`, `space`, `escape`, `left`, `right`,
        `up`, `down`, `backspace`; `other` for what has no word, `gone` when nobody can
        type any more. Several at once are held keys on a slow line, or a paste.
        """
        ...

    def show(self, text: str) -> None:
        """One line that stays until the next: where things stand now."""
        ...


class Person(Protocol):
    """Whoever is at the bench."""

    def tell(self, sentence: str) -> None:
        """Say what is happening."""
        ...

    def progress(self, advance: Advance) -> None:
        """Show how far a long step has come; the latest counts."""
        ...

    def done(self) -> None:
        """Nothing is in progress any more: what showed it goes away."""
        ...

    def show_plan(self, plan: Plan) -> None:
        """Show every change with its reason before anything is asked."""
        ...

    def show_scene(self, scene: Scene | None) -> None:
        """Show how things stand, for whoever looks from afar; the latest counts.

        None where nothing of ours drives anything any more: what was shown is over.
        Never says more than the words do, so that it may be left out.
        """
        ...

    def agrees(self, question: str) -> bool:
        """Yes or no; whoever cannot be asked says no."""
        ...

    def whispers(self, prompt: str) -> str:
        """A typed secret that shows nowhere; empty when nobody can type."""
        ...

    def types(self, prompt: str) -> str:
        """Typed text, for a confirmation that no flag can give; empty when nobody can."""
        ...

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        """A typed line while somebody else looks on; empty when nobody can type.

        `meanwhile` is called at least five times a second; what it raises ends the wait,
        which has no other end.
        """
        ...

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        """A typed line, while something is held still; empty when nobody can type.

        `meanwhile` is called at least five times a second; what it raises ends the wait.

        Raises:
            SafetyRefusalError: nobody answered for minutes: what is held has to be let go.
        """
        ...

    def keys(self, prompt: str) -> AbstractContextManager[Keys]:
        """The keyboard key by key, without Enter, for the time of a block."""
        ...

    def waits_for(
        self,
        word: str,
        within: Seconds,
        prompt: Callable[[Seconds], str],
        meanwhile: Callable[[], None],
    ) -> bool:
        """Whether the person types `word` before the time is over; a countdown shows.

        `prompt` says what stands beside the countdown, by the seconds left; `meanwhile`
        is called about once a second, and what it raises ends the wait. Any other line
        ends it as well, with False; whoever cannot type is waited for in vain.
        """
        ...
