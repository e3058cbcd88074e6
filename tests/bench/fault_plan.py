"""What one run is about: board, change, faults and blows, all drawn from a seed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from random import Random
from typing import Final

from mocks.fault import Fault, Way
from mocks.fault_draw import draw
from mocks.fault_events import Event
from mocks.fault_text import spell_fault
from mocks.fault_wire import InputOverrun, WireFault
from mocks.options import Options
from tests.bench.fault_paper import Ills, When
from tests.bench.fault_subjects import PACED_BAUD, stock_of, subject_of
from tests.support.cable_board import KilledError

DESCRIBED: Final = 6
MADE_UP: Final = tuple(
    DESCRIBED + seed
    for seed in (1, 2, 3, 4, 7, 9, 10, 11, 12, 13, 14, 17, 19, 22, 23, 24, 25, 28, 30)
)
"""Those that say little in a reading, of every framing and way of keeping."""
PACED: Final = 0.2
"""How often the wire has a speed: its bytes come in small pieces then."""
WAITS_S: Final = (0.0, 30.0)
HANDS: Final = ("same", "same", "power", "other", "none")
"""What somebody does with a cable that fell out while the tool waits."""
MOST_CHANGES: Final = 8
SENTENCES: Final = 70
"""Among so many said or shown lines somebody presses Ctrl-C."""
MARKS: Final = 7
BOARDS: Final = 50
OTHER_SEED: Final = 77
"""Of a board that is none of these."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interruption:
    """What befalls one process."""

    faults: tuple[Fault, ...] = ()
    at_sent: Mapping[int, type[BaseException]] = field(default_factory=dict)
    at_said: Mapping[int, type[BaseException]] = field(default_factory=dict)
    kill_at: int = 0
    when: When = When.BEFORE
    within_bytes: int = 0
    full_from: int = 0
    full_until: int = 0
    no_backup: bool = False
    no_journal: bool = False
    resumes: bool = False
    """Whether this process, where it is a later one, finishes; it undoes otherwise."""
    power_cycle: bool = False
    """Whether somebody switches off and on before it."""
    wait_s: float = 0.0

    def ills(self) -> Ills:
        """What is wrong with its paper."""
        return Ills(
            kill_at=self.kill_at,
            when=self.when,
            within_bytes=self.within_bytes,
            full_from=self.full_from,
            full_until=self.full_until,
            no_backup=self.no_backup,
            no_journal=self.no_journal,
        )

    @property
    def quiet(self) -> bool:
        """Whether nothing befalls it at all."""
        return not (
            self.faults
            or self.at_sent
            or self.at_said
            or self.kill_at
            or self.full_from
            or self.no_backup
            or self.no_journal
        )

    def fewer(self) -> Iterator["Interruption"]:
        """The same with one thing less."""
        for fault in self.faults:
            yield replace(self, faults=tuple(f for f in self.faults if f != fault))
        if self.at_sent:
            yield replace(self, at_sent={})
        for at in self.at_said:
            left = {n: blow for n, blow in self.at_said.items() if n != at}
            yield replace(self, at_said=left)
        if self.kill_at:
            yield replace(self, kill_at=0)
        if self.full_from:
            yield replace(self, full_from=0, full_until=0)
        if self.power_cycle:
            yield replace(self, power_cycle=False)
        if self.wait_s:
            yield replace(self, wait_s=0.0)

    def __str__(self) -> str:
        """What there is of it."""
        told = [
            *(f"{blow.__name__} at sent {at}" for at, blow in self.at_sent.items()),
            *(f"{blow.__name__} at said {at}" for at, blow in self.at_said.items()),
            *([f"killed {self.when.value} mark {self.kill_at}"] * bool(self.kill_at)),
            *([f"full {self.full_from}-{self.full_until}"] * bool(self.full_from)),
            *(["no backup"] * self.no_backup),
            *(["no journal"] * self.no_journal),
            "resumes" if self.resumes else "undoes",
            *(["after a power cycle"] * self.power_cycle),
            f"waits {self.wait_s:g} s",
            *map(spell_fault, self.faults),
        ]
        return ", ".join(told)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlan:
    """All of one run."""

    seed: int
    subject: int
    changes: tuple[int, ...]
    interruptions: tuple[Interruption, ...]
    baud: int = 0
    tries: bool = False
    keeps: bool = True
    """What is typed when a trial asks."""
    hand: str = "same"

    def options(self, options: Options) -> Options:
        """How the board is started; of a made-up console the seed is the console."""
        if self.subject >= DESCRIBED:
            return replace(options, baud=self.baud)
        # Another board of the kind, and other victims of the same faults.
        seed = options.seed + self.seed % BOARDS
        return replace(options, baud=self.baud, seed=seed)

    def other_options(self, options: Options) -> Options:
        """Another board of the same kind."""
        if options.console.value == "generated":
            return options
        return replace(options, baud=self.baud, seed=OTHER_SEED)

    def fewer(self) -> Iterator["RunPlan"]:
        """The same with one thing less."""
        if len(self.interruptions) > 1:
            yield replace(self, interruptions=self.interruptions[:-1])
        for place, one in enumerate(self.interruptions):
            for less in one.fewer():
                rest = list(self.interruptions)
                rest[place] = less
                yield replace(self, interruptions=tuple(rest))
        if self.tries:
            yield replace(self, tries=False)
        if self.baud:
            yield replace(self, baud=0)
        for change in self.changes:
            if len(self.changes) > 1:
                left = tuple(c for c in self.changes if c != change)
                yield replace(self, changes=left)


def plan_of(seed: int) -> RunPlan:
    """Always the same for a seed."""
    random = Random(f"run {seed}")  # noqa: S311 - a seeded one is the point
    described = random.random() < 0.5
    subject = random.choice(range(DESCRIBED) if described else MADE_UP)
    count = random.randint(1, MOST_CHANGES)
    changes = tuple(random.randrange(1000) for _ in range(count))
    hand = random.choice(HANDS)
    if not described and hand == "other":
        hand = "same"
    interruptions = [_first(random, seed, subject)]
    while len(interruptions) < 3 and random.random() < 0.35:
        interruptions.append(_later(random, seed, len(interruptions), subject))
    # The last process of all is left in peace; what it does is drawn as well.
    interruptions.append(
        Interruption(resumes=random.random() < 0.5, power_cycle=random.random() < 0.3)
    )
    return RunPlan(
        seed=seed,
        subject=subject,
        changes=changes,
        interruptions=tuple(interruptions),
        baud=PACED_BAUD if random.random() < PACED else 0,
        tries=random.random() < 0.15,
        keeps=random.random() < 0.7,
        hand=hand,
    )


def _first(random: Random, seed: int, subject: int) -> Interruption:
    return replace(
        _befallen(random, seed * 10, subject),
        no_backup=random.random() < 0.01,
        no_journal=random.random() < 0.01,
    )


def _later(random: Random, seed: int, number: int, subject: int) -> Interruption:
    return replace(
        _befallen(random, seed * 10 + number, subject),
        resumes=random.random() < 0.5,
        power_cycle=random.random() < 0.3,
    )


def _befallen(random: Random, seed: int, subject: int) -> Interruption:
    stock = stock_of(subject)
    # A few changes do not fill as many bytes as all of them.
    received, sent = max(60, stock.received // 2), stock.sent
    faults = draw(seed, received=received, sent=sent)
    one = Interruption(faults=faults, wait_s=random.choice(WAITS_S))
    match random.randrange(12):
        case 0:
            one = replace(one, at_said=_pressed(random))
        case 1:
            one = replace(one, at_said={random.randint(1, SENTENCES): KilledError})
        case 2:
            at = random.randint(1, received)
            one = replace(one, at_sent={at: KeyboardInterrupt})
        case 3:
            one = replace(one, at_sent={random.randint(1, received): KilledError})
        case 4:
            one = replace(
                one,
                kill_at=random.randint(1, MARKS),
                when=random.choice(tuple(When)),
                within_bytes=random.randint(1, 60),
            )
        case 5:
            first = random.randint(1, MARKS)
            until = random.choice((0, first + random.randint(1, 3)))
            one = replace(one, full_from=first, full_until=until)
        case _:
            pass
    return one


def _pressed(random: Random) -> dict[int, type[BaseException]]:
    first = random.randint(1, SENTENCES)
    pressed: dict[int, type[BaseException]] = {first: KeyboardInterrupt}
    if random.random() < 0.4:
        pressed[first + random.randint(1, 40)] = KeyboardInterrupt
    return pressed


def shifted(fault: Fault, *, received: int, sent: int) -> Fault:
    """A fault that counts bytes from now on, not from power-up."""
    match fault:
        case InputOverrun(at=at) if at:
            return replace(fault, at=at + received)
        case WireFault(at=at, way=way) | Event(at=at, way=way) if at:
            return replace(fault, at=at + (received if way is Way.RECEIVED else sent))
    return fault


def named(subject: int) -> str:
    """The console of a run."""
    return subject_of(subject).name
