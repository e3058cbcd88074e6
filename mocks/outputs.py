"""The board's outputs and what hangs on them, from one change to the next.

Between two changes everything is worked out, never stepped through. Changes are: an
order, one that ends, a setting, a stick, how the aircraft is held, volts that come and
go, and an arm that arrives. The device tells the time before and after every command.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Final, final

from .airframe import Airframe
from .demands import demand
from .drives import Drives
from .pads import PADS, SILENCE, Board, Signal, signals
from .physical import Physical

QUIET_US: Final = 500_000
"""A board that holds its arms at rest begins so long after power-up."""
_REST: Final = tuple(f"output.p{pad}.rest_us" for pad in PADS)


@final
class Outputs:
    """Pulses, and what they do. Times are integer microseconds."""

    def __init__(self, settings: Callable[[], Mapping[str, str]], seed: int) -> None:
        self.airframe = Airframe(seed)
        self.physical = Physical(self.changed)
        self.drives = Drives(self.changed, self._speed_rev_min)
        self.collapsed_us: int | None = None
        """When the board last had too few volts; the device resets it and this."""
        self._settings = settings
        self._live = self._tilts_follow = False
        self._held_deg = (0.0, 0.0)
        self._now_us = self._boot_us = 0
        self._idle = False
        self._due_us: int | None = None

    @property
    def due_us(self) -> int | None:
        """When to settle next, so that nothing comes too late; None: no need to."""
        return self._due_us

    @property
    def live(self) -> bool:
        """Sticks and attitude drive everything."""
        return self._live

    @live.setter
    def live(self, live: bool) -> None:
        if live is self._live:
            return
        if live:
            self._held_deg = (self.physical["pitch"], self.physical["yaw"])
        self._live = live
        self.changed(None)

    @property
    def tilts_follow(self) -> bool:
        """The arms follow sticks and attitude at rest too."""
        return self._tilts_follow

    @tilts_follow.setter
    def tilts_follow(self, follow: bool) -> None:
        if follow:
            self._held_deg = (self.physical["pitch"], self.physical["yaw"])
        self._tilts_follow = follow
        self.changed(None)

    def boot(self, now_us: int) -> None:
        """The board starts: nothing is ordered, nothing is live."""
        self.settle(now_us)
        self._boot_us = self._now_us
        self._live = False
        self._held_deg = (self.physical["pitch"], self.physical["yaw"])
        self.collapsed_us = None
        self.drives.stop()
        self.changed(now_us)

    def settle(self, now_us: int) -> None:
        """Let all happen up to this time."""
        now_us = max(now_us, self._now_us)
        while (due_us := self._due_us) is not None and due_us <= now_us:
            self._step(due_us)
        self._now_us = now_us
        if self._due_us is not None:
            self.airframe.settle(now_us)
            self.physical.measure(self.airframe.readings())

    def review(self, now_us: int) -> None:
        """Let all happen up to this time, and what may have changed take effect."""
        self.settle(now_us)
        if not self._idle or self._rests_with_pulse():
            self._step(self._now_us)

    def changed(self, now_us: int | None) -> None:
        """Something is otherwise from this time on; None: from the last one."""
        self.settle(self._now_us if now_us is None else now_us)
        self._step(self._now_us)

    def pulses_us(self, now_us: int) -> tuple[float, ...]:
        """The pulse on every output; 0 where there is none."""
        self.review(now_us)
        return tuple(signal.pulse_us for signal in self._signals(PADS).values())

    def angle_deg(self, side: str, now_us: int, preload: float = 0.0) -> float:
        """Where an arm truly stands: fore is above 0, upright 0.

        Args:
            side: `left` or `right`, the nose away from you.
            now_us: The time.
            preload: Above 0 it is pressed lightly forward, below 0 aft.
        """
        self.settle(now_us)
        return self.airframe.servos[side].angle_deg(self.physical["pitch"], preload)

    def _step(self, now_us: int) -> None:
        self.airframe.settle(now_us)
        self._now_us = now_us
        given = self._signals(self.airframe.plugged)
        self.airframe.aim(given, self._settings(), self.physical["pitch"])
        self.physical.measure(self.airframe.readings())
        if self.airframe.browns_out and self.collapsed_us is None:
            self.collapsed_us = now_us
            self.airframe.power.collapses += 1
        moves_us = self.airframe.due_us
        known = (moves_us, self.drives.ends_us(now_us), self._begins_us())
        self._due_us = min((at for at in known if at is not None), default=None)
        self._idle = self._due_us is None and not any(
            signal.pulse_us for signal in given.values()
        )

    def _signals(self, pads: Iterable[int]) -> Mapping[int, Signal]:
        """What stands on some pads now."""
        if not self.airframe.power.board_on:
            return dict.fromkeys(pads, SILENCE)
        settings = self._settings()
        tilts = None
        if self._live or self._holds_at_rest():
            tilts = demand(settings, self.physical, self._held_deg)
        board = Board(
            settings=settings,
            drives=self.drives,
            tilts=tilts,
            motors=tilts if self._live else None,
        )
        return signals(board, pads, self._now_us)

    def _holds_at_rest(self) -> bool:
        return self._tilts_follow and self._now_us >= self._boot_us + QUIET_US

    def _begins_us(self) -> int | None:
        begins_us = self._boot_us + QUIET_US
        waits = self._tilts_follow and self.airframe.power.board_on
        return begins_us if waits and self._now_us < begins_us else None

    def _rests_with_pulse(self) -> bool:
        settings = self._settings()
        return any(settings.get(name, "0") != "0" for name in _REST)

    def _speed_rev_min(self, side: str) -> float:
        return self.airframe.speed_rev_min(self._settings(), side)
