"""Outputs that are driven by order, each until its time is over."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, final

from .catalogue import OUTPUTS
from .quantities import RefusalError

if TYPE_CHECKING:
    from collections.abc import Mapping

SIDES: Final = ("left", "right")
PULSES_US: Final = (500, 2500)
LONGEST_US: Final = 2_000_000
"""Longest time for which anything can be ordered."""
NO_PULSE: Final = 0.0
ZERO_US: Final = 1000.0
SPAN_US: Final = 1000.0
CENTRE_US: Final = 1500.0
TOP_REV_MIN: Final = 24_000
"""Speed of a motor at full power."""


@dataclass(frozen=True, slots=True)
class _Order:
    value: float
    ends_us: int


@final
class Drives:
    """Pulses and powers by order; times are the board's own microseconds."""

    def __init__(self) -> None:
        self._pulses: dict[int, _Order] = {}
        self._powers: dict[str, _Order] = {}

    def drive(self, output: int, pulse_us: float, for_us: int, now_us: int) -> None:
        """Put an output to a pulse for a time. Raises `RefusalError`."""
        _require_output(output)
        low, high = PULSES_US
        if not low <= pulse_us <= high:
            msg = f"a pulse is {low} to {high} us"
            raise RefusalError(msg)
        self._pulses[output] = _Order(pulse_us, now_us + _time(for_us))

    def release(self, output: int) -> None:
        """No pulse on an output until something else is ordered."""
        _require_output(output)
        self._pulses.pop(output, None)

    def spin(self, side: str, power: float, for_us: int, now_us: int) -> None:
        """Run one motor at a fraction of full power. Raises `RefusalError`."""
        if side not in SIDES:
            msg = f"no motor is called '{side}'"
            raise RefusalError(msg)
        if not 0 <= power <= 1:
            msg = "that is more than full power"
            raise RefusalError(msg)
        self._powers[side] = _Order(power, now_us + _time(for_us))

    def stop(self) -> None:
        """Nothing is ordered any more."""
        self._pulses.clear()
        self._powers.clear()

    def power(self, side: str, now_us: int) -> float:
        """What a motor is given now, as a fraction."""
        order = self._powers.get(side)
        return order.value if order and now_us < order.ends_us else 0.0

    def speed_rev_min(self, side: str, now_us: int) -> float:
        """How fast a motor turns now."""
        return self.power(side, now_us) * TOP_REV_MIN

    def pulses_us(
        self, settings: "Mapping[str, str]", now_us: int, *, live: bool
    ) -> tuple[float, ...]:
        """The pulse on every output; 0 where there is none."""
        return tuple(
            self._pulse(output, settings, now_us, live=live)
            for output in range(1, OUTPUTS + 1)
        )

    def _pulse(
        self, output: int, settings: "Mapping[str, str]", now_us: int, *, live: bool
    ) -> float:
        order = self._pulses.get(output)
        if order and now_us < order.ends_us:
            return order.value
        what, _, side = settings.get(f"output.p{output}.job", "").partition("-")
        if what == "motor" and (live or self.power(side, now_us)):
            return ZERO_US + SPAN_US * self.power(side, now_us)
        return CENTRE_US if what == "tilt" and live else NO_PULSE


def _require_output(output: int) -> None:
    if not 1 <= output <= OUTPUTS:
        msg = f"there are outputs 1 to {OUTPUTS}"
        raise RefusalError(msg)


def _time(for_us: int) -> int:
    if not 0 < for_us <= LONGEST_US:
        msg = f"a time is above 0 and up to {LONGEST_US // 1000} ms"
        raise RefusalError(msg)
    return for_us
