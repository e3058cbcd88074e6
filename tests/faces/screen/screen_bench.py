"""A bench for the screen: simulated boards in virtual time, work done when told."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Final, final

from textual import events
from textual.pilot import Pilot
from textual.widgets import Static

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.schema import describe
from benchlink.core.document import Scalar
from benchlink.core.doors import LinkHealth, Person, Progress
from benchlink.core.exchange import Answer, Command
from benchlink.core.intent import Intent, Owner, Waiver, Wanted
from benchlink.errors import BenchError
from benchlink.errors import Place as FilePlace
from benchlink.faces.at_board import AtBoard
from benchlink.faces.screen.app import BenchApp
from benchlink.faces.screen.frame.sheet import Sheet
from benchlink.faces.screen.threads import errands
from benchlink.faces.screen.threads.entrance import Place
from benchlink.faces.screen.threads.home_facts import HomeFacts, Volts
from benchlink.faces.screen.threads.mailbox import Mailbox
from benchlink.faces.screen.threads.news import Errand
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.screen.threads.values_facts import Standard, ValuesFacts
from benchlink.faces.screen.threads.work import Job, Post, carry_out
from benchlink.faces.wiring import Bench
from benchlink.store.strict_yaml import load_bytes
from benchlink.units import Baud, Seconds
from benchlink.workflows.session import meet, meet_again
from mocks.options import Options
from tests.faces.screen.pictured import picture_of
from tests.support.virtual_board import VirtualBoard

if TYPE_CHECKING:
    from benchlink.core.aircraft import Aircraft
    from benchlink.faces.hands import Hands

ROOT = Path(__file__).parents[3]
SMALL, LARGE = (80, 24), (120, 40)
FIRST = Place(title="Estuary board", detail="/dev/ttyACM0 0007", url="/dev/ttyACM0")
SECOND = Place(title="/dev/ttyUSB3", detail="", url="/dev/ttyUSB3")
CHARACTERS = {"slash": "/", "question_mark": "?", "space": " "}
CROSSINGS = 5
"""News goes from a job to the mailbox, the app, its page and a widget."""


def wader() -> Description:
    path = ROOT / "profiles/consoles/wader.yaml"
    return describe(load_bytes(path.read_bytes(), "wader"))


@final
class BenchBoard:
    """A virtual board that can be lost, and remembers its live lines."""

    def __init__(
        self,
        settings: int = 60,
        damage: Callable[[bytes], bytes] = bytes,
        description: Description | None = None,
    ) -> None:
        self.description = description or wader()
        self.virtual = VirtualBoard(
            self.description, Options(settings=settings), damage=damage
        )
        self.port = "/dev/ttyACM0"
        self.speed: Baud | None = Baud(115_200)
        self.epoch = 1
        self.trouble: BenchError | None = None
        self.lines: list[tuple[str, str]] = []
        self.when_live: Callable[[str], None] = lambda _: None
        self.asked: list[str] = []

    def ask(
        self, commands: Sequence[Command], progress: Progress | None = None
    ) -> tuple[Answer, ...]:
        self._check()
        self.asked += [command.line for command in commands]
        return self.virtual.ask(commands, progress)

    def restart(
        self,
        command: Command,
        back_within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
    ) -> Answer:
        msg = f"the screen restarts nothing: {command}, {back_within}, {waiting}"
        raise AssertionError(msg)

    def come_back(
        self,
        within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        """Where it is gone for good, the test is what ends the wait."""
        if waiting:
            waiting(within)
        if self.trouble:
            raise KeyboardInterrupt
        self.epoch += 1
        if ours:
            ours()

    def live(self, slot: str, command: Command) -> None:
        self._check()
        self.lines.append((slot, command.line))
        self.when_live(slot)

    def stop(self, command: Command) -> None:
        self._check()
        self.virtual.stop(command)

    def health(self) -> LinkHealth:
        return LinkHealth(
            sent_bytes=0, received_bytes=0, answers=len(self.asked), damaged=0
        )

    def set(self, name: str, value: str) -> None:
        self.virtual.device.aircraft.write(name, value)

    def _check(self) -> None:
        if self.trouble:
            raise self.trouble


@final
class FakeEntrance:
    """Boards by their url; a simulated one under `rehearse`."""

    def __init__(self, board: BenchBoard | None = None) -> None:
        self.chosen: Place | None = None
        self.rehearse_at_once = False
        self.hands: Hands | None = None
        self.found: tuple[Place, ...] = (FIRST, SECOND)
        self.board: Final = board or BenchBoard()
        self.refuses: BenchError | None = None
        self.says: tuple[str, ...] = ()
        self.wants: Intent | Exception | None = None
        self.named = "lw-03.yaml"
        """What to name to `apply`."""
        self.aircraft: Aircraft | None = None
        self.left: tuple[str, ...] = ()
        self.job_fails: BenchError | None = None
        self.shows: HomeFacts | None = None
        """How the job stands, where the test says so."""
        self.opened: list[str] = []
        self.nameless = False
        """Whether its boards do not say which ones they are."""
        self.does: Callable[[Bench, ScreenPerson, tuple[str, ...]], int] = (
            lambda _bench, _person, _words: 0
        )
        """What a station does."""
        self.talks: Callable[[Bench], None] = lambda _: None
        self.closed = 0
        self.when_closed: Callable[[], None] = lambda: None

    def places(self) -> tuple[Place, ...]:
        return self.found

    def open(self, place: Place, person: Person) -> Bench:
        self.opened.append(place.url)
        for sentence in self.says:
            person.tell(sentence)
        if self.refuses:
            raise self.refuses
        session = meet(self.board, Grammar(self.board.description))
        if self.nameless:
            unknown = replace(session.identity, number="")
            session = replace(session, identity=unknown)
        return Bench(session=session, console_hash="", close=self.close)

    def rehearse(self, person: Person) -> Bench:
        return self.open(Place(title="", detail="", url="rehearse"), person)

    def left_open(self, bench: Bench, person: Person) -> tuple[str, ...]:  # noqa: ARG002
        return self.left

    def job(self, bench: Bench, person: Person) -> HomeFacts:  # noqa: ARG002
        """A board of no aircraft, with nothing on paper."""
        if self.job_fails:
            raise self.job_fails
        if self.shows:
            return self.shows
        session = bench.session
        return HomeFacts(
            greeting="nobody's aircraft yet",
            steps=(),
            turn=None,
            today=date(2026, 3, 4),
            identity=session.identity,
            readiness=session.readiness,
            port=session.board.port,
            speed=session.board.speed,
            health=session.board.health(),
            left=self.left,
        )

    def values(self, bench: Bench, person: ScreenPerson) -> ValuesFacts:
        again = replace(bench, session=meet_again(bench.session))
        at = AtBoard(bench=again, person=person, aircraft=self.aircraft)
        facts = errands.values(at, self._standard)
        return replace(facts, left=self.left, unfinished=bool(self.left))

    def _standard(self) -> Standard | None:
        if isinstance(self.wants, Exception):
            raise self.wants
        return Standard(intent=self.wants, profile=self.named) if self.wants else None

    def volts(self, bench: Bench) -> Volts:  # noqa: ARG002 - the door's shape
        return Volts(pack_v=None, rail_v=None, tells=False)

    def station(
        self, bench: Bench, person: ScreenPerson, words: tuple[str, ...]
    ) -> int:
        return self.does(bench, person, words)

    def talk(self, bench: Bench) -> None:
        self.talks(bench)

    def close(self) -> None:
        self.closed += 1
        self.when_closed()


@final
class HandWork:
    """Does jobs at once, or holds those of one kind until they are let through."""

    def __init__(self, post: Post) -> None:
        self.post: Final = post
        self.holds: set[Errand] = set()
        self.held: list[tuple[Errand, Job, Bench | None]] = []
        self.given: list[Errand] = []

    def give(self, errand: Errand, job: Job, bench: Bench | None = None) -> None:
        self.given.append(errand)
        if errand in self.holds or errand is Errand.RETURN:
            # A wait takes as long as it takes: never on the event loop.
            self.held.append((errand, job, bench))
        else:
            self.post(carry_out(errand, job, bench))

    def release(self) -> None:
        held, self.held = self.held, []
        self.holds.clear()
        for job in held:
            self.post(carry_out(*job))


@dataclass(frozen=True)
class Stage:
    """A running screen and everything around it."""

    app: BenchApp
    entrance: FakeEntrance
    work: HandWork
    pilot: Pilot[None]

    async def press(self, *keys: str) -> None:
        for key in keys:
            letter = CHARACTERS.get(key, key if len(key) == 1 else None)
            self.app.post_message(events.Key(key, letter))
            await self.settle()

    async def settle(self) -> None:
        """Until all queues are empty; a given delay spares the wait for a still CPU."""
        for _ in range(CROSSINGS):
            await self.pilot.pause(0)

    def picture(self) -> str:
        """What stands on the screen, without colours."""
        return picture_of(self.app)

    def text(self, part: str) -> str:
        return str(self.app.screen.query_one(f"#{part}", Static).content)

    @property
    def sheet(self) -> Sheet:
        return self.app.screen.query_one(Sheet)

    def styles_of(self, text: str) -> list[str]:
        """The styles of the pieces of the screen that hold a text."""
        strips = self.app.screen._compositor.render_strips()
        pieces = (segment for strip in strips for segment in strip)
        return [str(piece.style) for piece in pieces if text in piece.text]


@dataclass
class Stages:
    """Builds a stage; what is asked for is set before the screen starts."""

    entrance: FakeEntrance = field(default_factory=FakeEntrance)

    def app(self) -> tuple[BenchApp, HandWork]:
        mailbox = Mailbox()
        work = HandWork(mailbox.post)
        return BenchApp(
            self.entrance,
            mailbox,
            work,
            let_go=lambda job: job(),
            by_hand=lambda job: job(),
        ), work


def wanted(name: str, text: str, *, reason: str = "", quoted: bool = False) -> Wanted:
    place = FilePlace("lw-03.yaml", 7, 3)
    return Wanted(
        name=name,
        given=Scalar(text, quoted, place),
        owner=Owner.FITTED,
        place=place,
        reason=reason,
        tolerance=Decimal(0),
    )


def lw03() -> Intent:
    """One setting in each state."""
    asks = (
        wanted("tilt.left.centre_us", "1512", reason="measured on the bench"),
        wanted("tilt.right.centre_us", "1500"),
        wanted("tilt.nose.centre_us", "1500", reason="an older airframe had one"),
        wanted("motor.left.idle_pct", "slow"),
        wanted("mount.yaw_deg", "90"),
    )
    waiver = Waiver(
        name="mount.yaw_deg", reason="turned by hand", place=FilePlace("lw-03.yaml", 9)
    )
    return Intent(
        title="LW-03",
        source="lw-03.yaml",
        wanted={w.name: w for w in asks},
        waivers={waiver.name: waiver},
    )
