"""What may reach a motor or a servo, worked out from outside: no word of the gate's.

The referee hears what was typed and what happened at the bench, and sees what the
aircraft itself was ordered to do. It knows nothing of permits, epochs or lanes.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Final, final

import pytest

from benchlink.console.description import Cue
from benchlink.console.lanes import Pending
from benchlink.console.last_look import LastLook
from benchlink.console.waking import Waking
from benchlink.units import Seconds
from mocks.drives import Drives
from tests.support.virtual_board import US, VirtualBoard

AIRCRAFT, OPERATOR = "LW-03", "builder"
COUNTS_US: Final = 600 * US
"""How long a confirmation counts."""
UNDER_WAY_US: Final = 1 * US
"""A line that was let go may be on its way for no longer."""
UNSEEN_US: Final = 2 * US + US // 10
"""The board is asked so often; what changed since then nobody can know."""
STEP_V: Final = 2.0
PACK_IN_V: Final = 4.0
AS_MANY: Final = 200
PROOF_POWER: Final = 0.06
CAP_POWER: Final = 0.10
LONGEST_US: Final = 1 * US


@dataclass(frozen=True, slots=True)
class Confirmed:
    """Somebody typed the sentence for this aircraft, as its operator."""

    at_us: int
    life: tuple[int, int]
    volts: float


@dataclass(slots=True)
class Since:
    """A fact of the bench, and since when it is so."""

    true: bool
    at_us: int = 0

    def becomes(self, now_us: int, *, true: bool) -> None:
        if true is not self.true:
            self.true, self.at_us = true, now_us

    def known(self, now_us: int) -> bool:
        """Whether it is true for so long that it must have been noticed."""
        return self.true and now_us - self.at_us > UNSEEN_US


@dataclass(slots=True)
class Tally:
    """How often what was tried, and what of it the aircraft saw."""

    steps: int = 0
    tried: dict[str, int] = field(default_factory=dict)
    """Motions by how the confirmation stood: valid, expired, never."""
    moved: dict[str, int] = field(default_factory=dict)
    """Of these, orders to a motor that reached the aircraft."""
    servo_orders: int = 0
    proofs: int = 0
    wrong: list[str] = field(default_factory=list)

    def share(self, standing: str) -> float:
        return self.tried.get(standing, 0) / max(1, sum(self.tried.values()))


@final
class Referee:
    """Watches one board; `life` is which start and which connection it is."""

    def __init__(self, board: VirtualBoard, tally: Tally) -> None:
        self._board: Final = board
        self.tally: Final = tally
        self.connections = 1
        self.confirmed: Confirmed | None = None
        self.hands: tuple[int, int] | None = None
        self.proven: tuple[int, int] | None = None
        self._stirred_us: int | None = None
        """When something moved unasked since the confirmation."""
        self._lives: Final[list[tuple[tuple[int, int], int]]] = []
        """Starts and connections of a board that says no word at a start, since when."""
        self._stepped: Final = Since(true=False)
        self._armed: Final = Since(true=False)
        self._pack_in: Final = Since(true=False)
        self._passed: Final[set[bytes]] = set()
        self._replies: Final[set[bytes]] = set()
        self._looked = 0

    @property
    def life(self) -> tuple[int, int]:
        return self._board.device.boots, self.connections

    @property
    def volts(self) -> float:
        return self._board.device.aircraft.physical["pack-volts"]

    def begin(self) -> None:
        """Nobody watched until now."""
        self._looked = len(self._board.written)
        self.look_around()

    def plugs(self) -> Mapping[str, int | None]:
        """What hangs on which pad."""
        return self._board.device.aircraft.airframe.plugs

    def typed(self, sentence: str, aircraft: str, operator: str) -> None:
        """The person typed this when asked about props."""
        if (sentence, aircraft, operator) == (
            f"props off {AIRCRAFT}",
            AIRCRAFT,
            OPERATOR,
        ):
            now_us = self._board.now_us
            self.confirmed = Confirmed(now_us, self.life, self.volts)
            self._stirred_us = None
            self._stepped.becomes(now_us, true=False)

    def look_around(self) -> None:
        """Called after every step."""
        self._note(self._board.now_us)
        self._check_what_left()

    def _note(self, now_us: int) -> None:
        """What stands otherwise at the bench, since when."""
        self._armed.becomes(now_us, true=self._board.device.aircraft.outputs_live)
        self._lives.append((self.life, now_us))
        del self._lives[:-AS_MANY]
        self._pack_in.becomes(now_us, true=self.volts > PACK_IN_V)
        if self.confirmed:
            step = abs(self.volts - self.confirmed.volts) >= STEP_V
            self._stepped.becomes(now_us, true=step)

    def alive(self, now_us: int) -> bool:
        """Whether the confirmation counts."""
        made = self.confirmed
        return (
            made is not None
            and now_us - made.at_us <= COUNTS_US + UNDER_WAY_US
            and self._may_be(made.life, now_us)
            and not self._stepped.known(now_us)
            and (self._stirred_us is None or now_us - self._stirred_us <= UNDER_WAY_US)
        )

    def stirs(self) -> None:
        """The person's tool saw something move unasked."""
        self._stirred_us = self._board.now_us

    @property
    def stirred(self) -> bool:
        return self._stirred_us is not None

    def _may_be(self, life: tuple[int, int] | None, now_us: int) -> bool:
        """Whether nobody can know yet that this start or connection is over."""
        if self._board.description.manner.banner:
            return life == self.life
        over = [until_us for one, until_us in self._lives if one == life]
        return bool(over) and (life == self.life or now_us - over[-1] <= UNSEEN_US)

    def standing(self) -> str:
        if self.alive(self._board.now_us):
            return "valid"
        return "expired" if self.confirmed else "never"

    def tries(self) -> None:
        """A motion of a motor is about to be tried."""
        standing = self.standing()
        self.tally.tried[standing] = self.tally.tried.get(standing, 0) + 1

    def motor(self, power: float, for_us: int, now_us: int) -> None:
        """The aircraft is ordered to run a motor."""
        if power == 0:
            return
        self._note(now_us)
        standing = self.standing()
        self.tally.moved[standing] = self.tally.moved.get(standing, 0) + 1
        self._require(self.alive(now_us), "a motor without a living confirmation")
        self._require(not self._armed.known(now_us), "a motor while outputs are live")
        self._require(power <= CAP_POWER + 1e-9, f"a motor at {power}")
        self._require(for_us <= LONGEST_US, f"a motor for {for_us} us")
        proven = self._may_be(self.proven, now_us)
        self._require(
            proven or power <= PROOF_POWER, "a motor before the board's own end"
        )

    def servo(self, now_us: int) -> None:
        """The aircraft is ordered to drive an output on which no motor hangs."""
        self.tally.servo_orders += 1
        self._note(now_us)
        clear = self._may_be(self.hands, now_us)
        self._require(clear, "a servo while hands may be near")
        # A plug may be the wrong one, so with a pack in the props count as well.
        needed = self._pack_in.known(now_us)
        self._require(not needed or self.alive(now_us), "a servo with the pack in")
        self._require(not self._armed.known(now_us), "a servo while outputs are live")

    def passed(self, data: bytes) -> None:
        """The last look let these bytes go."""
        self._passed.add(data)

    def replied(self, data: bytes) -> None:
        """A cue, a pager or a prompt to be woken asked for these."""
        self._replies.add(data)

    def _check_what_left(self) -> None:
        """Whatever left was looked at, or is a reply."""
        for data in self._board.written[self._looked :]:
            known = data in self._passed or self._is_reply(data)
            self._require(known, f"{data!r} left without a look")
        self._looked = len(self._board.written)

    def _is_reply(self, data: bytes) -> bool:
        """Whether it is made of replies alone."""
        return not data or any(
            data.startswith(one) and self._is_reply(data[len(one) :])
            for one in self._replies
            if one
        )

    def _require(self, right: object, wrong: str) -> None:
        if not right:
            self.tally.wrong.append(f"{self._board.now:.3f} s: {wrong}")


@contextmanager
def watching(referee: Referee) -> Iterator[None]:
    """What the aircraft is ordered, and what leaves, told to a referee."""
    with pytest.MonkeyPatch.context() as patch:
        _watch_orders(referee, patch)
        _watch_bytes(referee, patch)
        referee.begin()
        yield


def _watch_orders(referee: Referee, patch: pytest.MonkeyPatch) -> None:
    spin, drive = Drives.spin, Drives.drive

    def spun(drives: Drives, side: str, power: float, for_us: int, now_us: int) -> None:
        referee.motor(power, for_us, now_us)
        spin(drives, side, power, for_us, now_us)

    def driven(
        drives: Drives, output: int, pulse_us: float, for_us: int, now_us: int
    ) -> None:
        plugs = referee.plugs()
        if output in {plugs.get("motor-left"), plugs.get("motor-right")}:
            referee.motor(pulse_us, for_us, now_us)
        else:
            referee.servo(now_us)
        drive(drives, output, pulse_us, for_us, now_us)

    patch.setattr(Drives, "spin", spun)
    patch.setattr(Drives, "drive", driven)


def _watch_bytes(referee: Referee, patch: pytest.MonkeyPatch) -> None:
    against, reply, push = LastLook.against, Waking.reply, Waking.push

    def looked(look: LastLook, pending: Pending, now: Seconds) -> str:
        why = against(look, pending, now)
        if not why:
            referee.passed(pending.data)
        return why

    def replied(waking: Waking, cue: Cue) -> bytes:
        data = reply(waking, cue)
        referee.replied(data)
        return data

    def pushed(waking: Waking, now: Seconds) -> bytes:
        data = push(waking, now)
        referee.replied(data)
        return data

    patch.setattr(LastLook, "against", looked)
    patch.setattr(Waking, "reply", replied)
    patch.setattr(Waking, "push", pushed)
