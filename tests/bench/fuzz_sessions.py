"""Whole sessions with simulated boards, recorded in virtual time as steps to replay."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache
from typing import Final, final

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane
from benchlink.core.doors import LinkHealth, Progress
from benchlink.core.exchange import Answer, Command
from benchlink.errors import BenchError
from benchlink.units import Baud, Seconds
from benchlink.workflows.session import meet
from mocks.options import ConsoleKind, Options
from tests.consoles.consoles import CASES, carry_out
from tests.consoles.consoles import described as described_case
from tests.consoles.generated import data_of
from tests.consoles.generated import described as described_made_up
from tests.support.virtual_board import VirtualBoard

NOTHING: Final[Mapping[str, str]] = {}
PAUSE: Final = Seconds(0.03)
"""A gap in which a prompt counts as standing still."""


@dataclass(frozen=True, slots=True)
class Says:
    """The board says this."""

    data: bytes


@dataclass(frozen=True, slots=True)
class Passes:
    """Time passes."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Asks:
    """A command is submitted."""

    command: Command
    lane: Lane = Lane.BULK


@dataclass(frozen=True, slots=True)
class Hushes:
    """The link is closing."""


@dataclass(frozen=True, slots=True)
class Loses:
    """The wire is gone."""


Step = Says | Passes | Asks | Hushes | Loses


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """A console to talk to, and what its board is started with."""

    name: str
    description: Description
    options: Options
    told: Mapping[str, str] = field(default_factory=dict)
    changes: Mapping[str, str] = field(default_factory=dict)
    refused: tuple[str, str] = ("", "")
    clock: str = ""
    """The setting that differs at every look."""

    def board(
        self, damage: Callable[[bytes], bytes] = bytes, piece_bytes: int = 0
    ) -> VirtualBoard:
        """A board that was just switched on."""
        return VirtualBoard(
            self.description,
            self.options,
            speed=Baud(self.options.baud) if self.options.baud else None,
            damage=damage,
            told=self.told,
            piece_bytes=piece_bytes,
        )

    def shown(self, board: VirtualBoard) -> dict[str, str]:
        """What the board itself says that it holds, without its clock."""
        held = board.device.shown()
        return {name: raw for name, raw in held.items() if name != self.clock}


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One recorded session."""

    subject: Subject
    steps: tuple[Step, ...]


def subjects(made_up: int) -> tuple[Subject, ...]:
    """All described consoles, and some made-up ones."""
    return (*_described(), *map(_made_up, range(made_up)))


def _described() -> tuple[Subject, ...]:
    return tuple(
        Subject(
            name=str(case),
            description=described_case(case.kind),
            options=case.options,
            told=case.told,
            changes=case.changes,
            refused=case.refused,
            clock=case.clock,
        )
        for case in CASES
    )


@cache
def _made_up(seed: int) -> Subject:
    (clock,) = (
        s["name"] for s in data_of(seed)["settings"] if s["meaning"] == "board.uptime_s"
    )
    return Subject(
        name=f"made-up {seed}",
        description=described_made_up(seed, pages=bool(seed % 2)),
        options=Options(console=ConsoleKind.GENERATED, seed=seed),
        clock=clock,
    )


@final
class _Recorder:
    """A board that notes what is asked of it and what it says."""

    def __init__(self, subject: Subject) -> None:
        self.steps: Final[list[Step]] = []
        self._board: VirtualBoard | None = None
        self._heard_at = Seconds(0)
        self._board = subject.board(self._note)

    @property
    def board(self) -> VirtualBoard:
        """The board itself."""
        assert self._board is not None
        return self._board

    def _note(self, data: bytes) -> bytes:
        now = Seconds(self._heard_at + PAUSE) if self._board is None else self.board.now
        if now - self._heard_at >= PAUSE:
            self.steps.append(Passes(now - self._heard_at))
        self._heard_at = now
        self.steps.append(Says(data))
        return data

    @property
    def port(self) -> str:
        return self.board.port

    @property
    def speed(self) -> Baud | None:
        return self.board.speed

    @property
    def epoch(self) -> int:
        return self.board.epoch

    def ask(
        self, commands: Sequence[Command], progress: Progress | None = None
    ) -> tuple[Answer, ...]:
        self.steps.extend(Asks(command) for command in commands)
        return self.board.ask(commands, progress)

    def restart(
        self,
        command: Command,
        back_within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
    ) -> Answer:
        self.steps.append(Asks(command))
        return self.board.restart(command, back_within, waiting)

    def come_back(
        self,
        within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        self.board.come_back(within, waiting, ours)

    def live(self, slot: str, command: Command) -> None:
        self.steps.append(Asks(command, Lane.LIVE))
        self.board.live(slot, command)

    def stop(self, command: Command) -> None:
        self.steps.append(Asks(command, Lane.STOP))
        self.board.stop(command)

    def health(self) -> LinkHealth:
        return self.board.health()


_RECORDED: Final[dict[str, Session]] = {}


def recorded(subject: Subject) -> Session:
    """The session of one console, recorded once."""
    if subject.name not in _RECORDED:
        _RECORDED[subject.name] = _record(subject)
    return _RECORDED[subject.name]


def _record(subject: Subject) -> Session:
    """Met, read, changed, kept, restarted, refused."""
    recorder = _Recorder(subject)
    grammar = Grammar(subject.description)
    session = meet(recorder, grammar)
    if subject.changes:
        carry_out(session, subject.changes)
        with suppress(BenchError):
            carry_out(session, dict([subject.refused]))
    else:
        listing = grammar.asks(subject.description.sources[0])
        for utterance in listing[:20]:
            recorder.ask(utterance.commands)
    for verb in ("stop", "keep", "restart"):
        if grammar.can(verb):
            recorder.ask(grammar.utter(verb).commands)
    recorder.board.become_ready()
    return Session(subject=subject, steps=tuple(recorder.steps))
