"""Fits out one board: its settings, with the calibration that its seed gives it."""

from dataclasses import replace
from itertools import islice
from random import Random
from typing import TYPE_CHECKING

from .catalogue import FEWEST_SETTINGS, catalogue
from .quantities import quoted
from .settings import Owner
from .tables import tables

if TYPE_CHECKING:
    from .settings import Setting


def fit_out(*, count: int, seed: int) -> "tuple[Setting, ...]":
    """The settings of a board, in its own order.

    The first `count` of one fixed choice, so a larger board has all that a smaller
    one has. Read-only number and calibration come from `seed`, nothing else does.
    """
    # A board's sensors do not depend on how many settings it has: draw before cutting.
    whole = _calibrated(tuple(catalogue()), Random(seed))
    spare = count - FEWEST_SETTINGS
    chosen = []
    for setting in whole:
        if setting.first:
            chosen.append(setting)
        elif spare > 0:
            chosen.append(setting)
            spare -= 1
    return (*chosen, *islice(tables(), spare))


def _calibrated(
    settings: "tuple[Setting, ...]", random: Random
) -> "tuple[Setting, ...]":
    number = f"{random.randrange(0x10000):04X}-{random.randrange(10000):04d}"
    return tuple(_own(setting, number, random) for setting in settings)


def _own(setting: "Setting", number: str, random: Random) -> "Setting":
    if setting.name == "board.number":
        return replace(setting, factory=quoted(number))
    if setting.owner is not Owner.CALIBRATION:
        return setting
    digits = len(setting.factory.partition(".")[2])
    spread = _SPREAD[setting.name.split(".")[1].split("_")[0]]
    value = float(setting.factory) + random.uniform(-spread, spread)
    # adding zero turns a negative zero into a plain one
    return replace(setting, factory=f"{round(value, digits) + 0.0:.{digits}f}")


_SPREAD = {"offset": 30.0, "scale": 0.02, "bias": 1.5}
"""Largest distance of a sensor from perfect, in the setting's own unit."""
