"""What the board wants of tilts and motors: sticks, levelling, stabilisation.

Channel 1 rolls (above the middle: right side down), 2 pitches (nose down, both arms
forward), 3 is power, 4 yaws (nose right: left arm forward, right arm aft).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from .physical import Physical

ROLL, PITCH, POWER, YAW = 1, 2, 3, 4
DEAD_US: Final = 4
_THROW_DEG: Final = 30.0
"""What a correction in degrees is measured against."""
_DEGREES_PER_RATE: Final = 0.05
"""Degrees of arm for a degree a second, at a gain of 1."""
_ROLL_SHARE: Final = 0.2
"""Of full power, that a full roll stick adds on one side and takes on the other."""
_PERCENT: Final = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What is wanted: arms from -1 (aft) to 1 (fore), powers from 0 to 1."""

    tilt: Mapping[str, float]
    power: Mapping[str, float]


def number(settings: Mapping[str, str], name: str, default: float) -> float:
    """A setting as a number; the default on a board that has no such setting."""
    try:
        return float(settings.get(name, default))
    except ValueError:
        return default


def demand(
    settings: Mapping[str, str], physical: "Physical", held_deg: tuple[float, float]
) -> Demand:
    """All of it.

    Args:
        settings: Live values.
        physical: How the aircraft is held, and what the radio sends.
        held_deg: Pitch and yaw when the outputs went live.
    """
    share = {
        axis: number(settings, f"tilt.{axis}_share_pct", full) / _PERCENT
        for axis, full in (("pitch", 100), ("yaw", 60))
    }
    lean = _pitch_correction_deg(settings, physical, held_deg[0]) / _THROW_DEG
    turn = _yaw_correction_deg(settings, physical, held_deg[1]) / _THROW_DEG
    pitch = stick(settings, physical, PITCH) * share["pitch"] + lean
    yaw = stick(settings, physical, YAW) * share["yaw"] + turn
    tilt = {"left": pitch + yaw, "right": pitch - yaw}
    return Demand(
        tilt={side: _bent(settings, _within(way)) for side, way in tilt.items()},
        power=_powers(settings, physical),
    )


def stick(settings: Mapping[str, str], physical: "Physical", channel: int) -> float:
    """Where a stick is, from -1 to 1."""
    at = f"radio.channel{channel}"
    centre_us = number(settings, f"{at}.centre_us", 1500)
    off_us = physical[f"channel-{channel}"] - centre_us
    if abs(off_us) <= number(settings, f"{at}.dead_us", DEAD_US):
        return 0.0
    end, plain = ("high_us", 2000) if off_us > 0 else ("low_us", 1000)
    span_us = abs(number(settings, f"{at}.{end}", plain) - centre_us) or 1
    return _within(off_us / span_us) * _sense(settings, at)


def throttle(settings: Mapping[str, str], physical: "Physical") -> float:
    """Where the power stick is, from 0 to 1."""
    at = f"radio.channel{POWER}"
    low_us = number(settings, f"{at}.low_us", 1000)
    high_us = number(settings, f"{at}.high_us", 2000)
    over_us = physical[f"channel-{POWER}"] - low_us
    share = max(0.0, min(1.0, over_us / max(1.0, high_us - low_us)))
    if _sense(settings, at) < 0:
        share = 1.0 - share
    return share if share * (high_us - low_us) > DEAD_US else 0.0


def _sense(settings: Mapping[str, str], at: str) -> int:
    return -1 if settings.get(f"{at}.direction") == "reversed" else 1


def _pitch_correction_deg(
    settings: Mapping[str, str], physical: "Physical", held_deg: float
) -> float:
    """Nose down: both arms aft; above 0 is forward."""
    gain = number(settings, "steady.pitch.gain", 1.2)
    found_deg = 0.0
    if settings.get("level.self_levelling") == "yes":
        strength = number(settings, "level.strength", 5.0) / 5.0
        lean_deg = physical["pitch"] - number(settings, "level.pitch_deg", 0.0)
        found_deg += gain * strength * lean_deg
    if settings.get("steady.on") == "yes":
        hold = number(settings, "steady.pitch.hold", 0.6)
        found_deg += hold * (physical["pitch"] - held_deg)
        found_deg += gain * _DEGREES_PER_RATE * physical["pitch-rate"]
    return found_deg


def _yaw_correction_deg(
    settings: Mapping[str, str], physical: "Physical", held_deg: float
) -> float:
    """Nose pushed left: left arm forward, right arm aft; above 0 is that."""
    if settings.get("steady.on") != "yes":
        return 0.0
    gain = number(settings, "steady.yaw.gain", 1.2)
    hold = number(settings, "steady.yaw.hold", 0.6)
    off_deg = hold * (physical["yaw"] - held_deg)
    return -(off_deg + gain * _DEGREES_PER_RATE * physical["yaw-rate"])


def _powers(settings: Mapping[str, str], physical: "Physical") -> dict[str, float]:
    """With the power stick low both motors rest."""
    share = throttle(settings, physical)
    if not share:
        return {"left": 0.0, "right": 0.0}
    apart = _ROLL_SHARE * stick(settings, physical, ROLL)
    if settings.get("level.self_levelling") == "yes":
        lean_deg = physical["roll"] - number(settings, "level.roll_deg", 0.0)
        gain = number(settings, "steady.roll.gain", 1.2)
        apart -= _ROLL_SHARE * gain * lean_deg / _THROW_DEG
    return {
        side: _limited(settings, side, share + way * apart)
        for side, way in (("left", 1), ("right", -1))
    }


def _limited(settings: Mapping[str, str], side: str, share: float) -> float:
    idle = number(settings, f"motor.{side}.idle_pct", 5.5) / _PERCENT
    ceiling = number(settings, f"motor.{side}.ceiling_pct", _PERCENT) / _PERCENT
    return max(idle, min(ceiling, idle + (1 - idle) * share))


def _bent(settings: Mapping[str, str], way: float) -> float:
    """The curve `tilt.bend_pct`: where the arm goes for -1, -0.5, 0, 0.5 and 1."""
    try:
        curve = [float(p) / _PERCENT for p in settings["tilt.bend_pct"].split(",")]
    except (KeyError, ValueError):
        return way
    if len(curve) < 2:
        return way
    step = 2 / (len(curve) - 1)
    for index, (low, high) in enumerate(pairwise(curve)):
        from_way = -1 + index * step
        if way <= from_way + step:
            return low + (high - low) * (way - from_way) / step
    return curve[-1]


def _within(way: float) -> float:
    return max(-1.0, min(1.0, way))
