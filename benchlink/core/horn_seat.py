"""Which tooth the horn sits on after it was moved.

Teeth are far apart, so one reading tells it, whatever was asked for.
"""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.angles import Degrees, Estimate, way_of
from benchlink.core.reading_words import PLAUSIBLE_SDS
from benchlink.core.seating import HornMove
from benchlink.core.servo_fit import Reading, ServoFit

SEAT_SD_DEG: Final = 0.4
"""How exactly a horn sits on the next tooth, screw tightened."""

LOST_SD_DEG: Final = 10.0
"""Where the horn is after a move, until it was read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatRead:
    """The fit with the horn where it was found, the reading itself not yet in it."""

    fit: ServoFit
    remark: str
    """What was not as asked for; empty where all was."""


def seat_read(
    fit: ServoFit, before: Estimate, move: HornMove, reading: Reading
) -> SeatRead:
    """What a reading at the pulse of `before` tells of a horn that was moved.

    `fit` has the horn somewhere (`LOST_SD_DEG`) about where it was asked to be.
    """
    moved_deg = reading.angle_deg - before.mean_deg
    steps_deg = round(moved_deg / move.step_deg) * move.step_deg
    sd_deg = (before.sd_deg**2 + SEAT_SD_DEG**2 + fit.noise_deg**2) ** 0.5
    if abs(moved_deg - steps_deg) > PLAUSIBLE_SDS * sd_deg:
        remark = f"the horn did not move by whole steps of {move.step_deg:.1f} deg"
        return SeatRead(fit=fit, remark=remark)
    seat = replace(before, mean_deg=Degrees(before.mean_deg + steps_deg))
    standing = fit.standing(reading, seat, SEAT_SD_DEG)
    remark = _moved_otherwise(steps_deg, move)
    return SeatRead(fit=standing, remark=remark)


def _moved_otherwise(moved_deg: float, move: HornMove) -> str:
    if abs(moved_deg - move.by_deg) < move.step_deg / 2:
        return ""
    asked = f"{abs(move.by_deg):.1f} deg {move.way.value}"
    if moved_deg == 0:
        return f"the horn was to move {asked} and sits where it was"
    moved = f"{abs(moved_deg):.1f} deg {way_of(moved_deg).value}"
    return f"the horn was to move {asked} and moved {moved}"
