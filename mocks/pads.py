"""The pulse on every pad, as the board works it out from its settings.

An order holds as long as it holds; then, on a board with live outputs, what sticks and
attitude demand; at rest what `output.*.rest_us` says, which is nothing from the maker.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from .catalogue import OUTPUTS
from .demands import Demand, number
from .drives import SPAN_US, ZERO_US
from .timers import rate_hz, source

if TYPE_CHECKING:
    from .drives import Drives

NO_PULSE: Final = 0.0
PADS: Final = range(1, OUTPUTS + 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Signal:
    """What stands on a pad."""

    pulse_us: float = NO_PULSE
    """0 where there is none."""
    rate_hz: float = 50.0


SILENCE: Final = Signal()


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """What the board knows when it works out its outputs."""

    settings: Mapping[str, str]
    drives: "Drives"
    tilts: Demand | None
    """What the arms shall do; None: they get no pulse."""
    motors: Demand | None


def job(settings: Mapping[str, str], pad: int) -> tuple[str, str]:
    """What a pad does, and for which side: `tilt`, `left`."""
    what, _, side = settings.get(f"output.p{pad}.job", "").partition("-")
    return what, side


def signals(board: Board, pads: Iterable[int], now_us: int) -> dict[int, Signal]:
    """What stands on these pads, in their order."""
    return {pad: _signal(board, source(pad), now_us) for pad in pads}


def _signal(board: Board, pad: int, now_us: int) -> Signal:
    what, side = job(board.settings, pad)
    pulse_us = board.drives.pulse_us(pad, now_us)
    if pulse_us is None:
        pulse_us = _own_pulse_us(board, pad, what, side, now_us)
    if not pulse_us:
        return SILENCE
    return Signal(pulse_us=pulse_us, rate_hz=rate_hz(board.settings, pad))


def _own_pulse_us(board: Board, pad: int, what: str, side: str, now_us: int) -> float:
    at = f"output.p{pad}"
    if what == "tilt" and board.tilts is not None:
        pulse_us = _tilt_us(board.settings, side, board.tilts.tilt[side])
    elif what == "motor" and (power := _power(board, side, now_us)) is not None:
        return _motor_us(board.settings, side, power)
    else:
        return number(board.settings, f"{at}.rest_us", NO_PULSE)
    low_us = number(board.settings, f"{at}.low_us", 900)
    return max(low_us, min(number(board.settings, f"{at}.high_us", 2100), pulse_us))


def _power(board: Board, side: str, now_us: int) -> float | None:
    ordered = board.drives.ordered_power(side, now_us)
    if ordered is not None or board.motors is None:
        return ordered
    return board.motors.power[side]


def _tilt_us(settings: Mapping[str, str], side: str, way: float) -> float:
    at = f"tilt.{side}"
    span_us = number(settings, f"{at}.{'fore' if way > 0 else 'aft'}_us", 350)
    off_us = way * span_us
    if settings.get(f"{at}.direction") == "reversed":
        off_us = -off_us
    return number(settings, f"{at}.centre_us", 1500) + off_us


def _motor_us(settings: Mapping[str, str], side: str, power: float) -> float:
    low_us = number(settings, f"motor.{side}.low_us", ZERO_US)
    high_us = number(settings, f"motor.{side}.high_us", ZERO_US + SPAN_US)
    return low_us + (high_us - low_us) * power
