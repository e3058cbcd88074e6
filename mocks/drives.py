"""Outputs that are driven by order, each until its time is over."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Final, final

from .catalogue import OUTPUTS
from .quantities import RefusalError

SIDES: Final = ("left", "right")
PULSES_US: Final = (500, 2500)
LONGEST_US: Final = 2_000_000
"""Longest time for which anything can be ordered."""
ZERO_US: Final = 1000.0
SPAN_US: Final = 1000.0
TOP_REV_MIN: Final = 24_000
"""Speed of a motor at full power."""
TOO_LONG: Final = 8
"""A board that ends an order too late takes so many times as long."""


class Expiry(Enum):
    """How the board ends what was ordered for a time."""

    KEPT = "kept"
    LONG = "long"
    """After several times the time."""
    ABSENT = "absent"
    """Never by itself."""


@dataclass(frozen=True, slots=True)
class _Order:
    value: float
    ends_us: int | None

    def holds(self, now_us: int) -> bool:
        return self.ends_us is None or now_us < self.ends_us


def _nothing(_now_us: int | None) -> None:
    """Nobody wants to know."""


def _at_rest(_side: str) -> float:
    """No motor hangs there."""
    return 0.0


@final
class Drives:
    """Pulses and powers by order; times are the board's own microseconds."""

    def __init__(
        self,
        changed: Callable[[int | None], None] = _nothing,
        speed_rev_min: Callable[[str], float] = _at_rest,
    ) -> None:
        self.expiry = Expiry.KEPT
        self._pulses: dict[int, _Order] = {}
        self._powers: dict[str, _Order] = {}
        self._changed = changed
        self._speed_rev_min = speed_rev_min

    def drive(self, output: int, pulse_us: float, for_us: int, now_us: int) -> None:
        """Put an output to a pulse for a time. Raises `RefusalError`."""
        _require_output(output)
        low, high = PULSES_US
        if not low <= pulse_us <= high:
            msg = f"a pulse is {low} to {high} us"
            raise RefusalError(msg)
        self._pulses[output] = _Order(pulse_us, self._end_us(for_us, now_us))
        self._changed(now_us)

    def release(self, output: int) -> None:
        """No pulse on an output until something else is ordered."""
        _require_output(output)
        self._pulses.pop(output, None)
        self._changed(None)

    def spin(self, side: str, power: float, for_us: int, now_us: int) -> None:
        """Run one motor at a fraction of full power. Raises `RefusalError`."""
        if side not in SIDES:
            msg = f"no motor is called '{side}'"
            raise RefusalError(msg)
        if not 0 <= power <= 1:
            msg = "that is more than full power"
            raise RefusalError(msg)
        self._powers[side] = _Order(power, self._end_us(for_us, now_us))
        self._changed(now_us)

    def stop(self) -> None:
        """Nothing is ordered any more."""
        if not (self._pulses or self._powers):
            return
        self._pulses.clear()
        self._powers.clear()
        self._changed(None)

    def pulse_us(self, output: int, now_us: int) -> float | None:
        """What an output is ordered to give now; None: nothing."""
        order = self._pulses.get(output)
        return order.value if order and order.holds(now_us) else None

    def ordered_power(self, side: str, now_us: int) -> float | None:
        """The fraction of full power that is ordered now; None: nothing is."""
        order = self._powers.get(side)
        return order.value if order and order.holds(now_us) else None

    def power(self, side: str, now_us: int) -> float:
        """The fraction of full power that is ordered now."""
        return self.ordered_power(side, now_us) or 0.0

    def speed_rev_min(self, side: str, _now_us: int) -> float:
        """How fast the motor on a side's output turns now, as its ESC tells it."""
        return self._speed_rev_min(side)

    def ends_us(self, now_us: int) -> int | None:
        """When the next order is over; None: none ends by itself."""
        orders = (*self._pulses.values(), *self._powers.values())
        ends = [o.ends_us for o in orders if o.ends_us and o.ends_us > now_us]
        return min(ends, default=None)

    def _end_us(self, for_us: int, now_us: int) -> int | None:
        if not 0 < for_us <= LONGEST_US:
            msg = f"a time is above 0 and up to {LONGEST_US // 1000} ms"
            raise RefusalError(msg)
        times = {Expiry.KEPT: 1, Expiry.LONG: TOO_LONG, Expiry.ABSENT: None}
        factor = times[self.expiry]
        return None if factor is None else now_us + for_us * factor


def _require_output(output: int) -> None:
    if not 1 <= output <= OUTPUTS:
        msg = f"there are outputs 1 to {OUTPUTS}"
        raise RefusalError(msg)
