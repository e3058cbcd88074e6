"""The parameters of the avocet console: V.250 names of our own for the settings.

One parameter is one setting, or several settings under a letter each. Radio channels,
curves and mixed channels come in numbered families, as many as the board has.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One name behind `AT+`."""

    name: str
    cells: dict[str, str]
    """Letter to canonical name; a lone setting has the empty letter."""
    sparse: bool = False
    """Letters that hold their factory value are left out of the answer."""


def parameters(settings: Mapping[str, object]) -> dict[str, Parameter]:
    """All parameters whose settings this board has."""
    every = (*_lone(), *_lettered(), *_families(settings))
    return {p.name: p for p in every if all(n in settings for n in p.cells.values())}


def _lone() -> Iterator[Parameter]:
    for name, setting in _single_names():
        yield Parameter(name=name, cells={"": setting})


def _single_names() -> Iterator[tuple[str, str]]:
    for at, side in (("L", "left"), ("R", "right")):
        for letter, leaf in _TILT.items():
            yield f"T{at}{letter}", f"tilt.{side}.{leaf}"
        for letter, leaf in _MOTOR.items():
            yield f"M{at}{letter}", f"motor.{side}.{leaf}"
    for number in range(1, 13):
        yield f"OJ{number}", f"output.p{number}.job"
    yield from _ALONE.items()


def _lettered() -> Iterator[Parameter]:
    for at, axis in (("RLL", "roll"), ("PIT", "pitch"), ("YAW", "yaw")):
        yield _under(f"G{at}", f"steady.{axis}", _GAINS)
        yield _under(f"S{at}", f"steady.{axis}", _PHASES, sparse=True)
    for name, pattern in _SENSORS.items():
        cells = {axis.upper(): pattern.format(axis) for axis in "xyz"}
        yield Parameter(name=name, cells=cells)


def _families(settings: Mapping[str, object]) -> Iterator[Parameter]:
    for number in _numbers(settings, "radio.channel{}.low_us"):
        yield _under(f"RC{number}", f"radio.channel{number}", _CHANNEL)
    for number in _numbers(settings, "curve.c{}.soft"):
        points = {chr(ord("A") + i): f"p{i}_pct" for i in range(9)}
        yield _under(f"CV{number}", f"curve.c{number}", points | {"S": "soft"})
    for number in _numbers(settings, "channel.m{}.slow_ms"):
        yield _under(f"MX{number}", f"channel.m{number}", _MIXED)
        yield Parameter(
            name=f"TRIM{number}", cells={"": f"channel.m{number}.offset_us"}
        )
        yield Parameter(name=f"MXE{number}", cells={"": f"channel.m{number}.ends_us"})


def _numbers(settings: Mapping[str, object], pattern: str) -> Iterator[int]:
    number = 1
    while pattern.format(number) in settings:
        yield number
        number += 1


def _under(
    name: str, path: str, leaves: dict[str, str], *, sparse: bool = False
) -> Parameter:
    cells = {letter: f"{path}.{leaf}" for letter, leaf in leaves.items()}
    return Parameter(name=name, cells=cells, sparse=sparse)


_TILT: Final = {
    "C": "centre_us",
    "A": "aft_us",
    "F": "fore_us",
    "D": "direction",
    "R": "rate_hz",
    "S": "slew_deg_s",
    "B": "aft_deg",
    "N": "fore_deg",
    "H": "hold_on_halt",
}
_MOTOR: Final = {
    "O": "output",
    "I": "idle_pct",
    "D": "direction",
    "L": "low_us",
    "H": "high_us",
    "P": "poles",
    "X": "ceiling_pct",
    "Y": "ramp_ms",
}
_ALONE: Final = {
    "CCAL": "craft.call",
    "TAIL": "craft.tail_number",
    "BEND": "tilt.bend_pct",
    "TYS": "tilt.yaw_share_pct",
    "TPS": "tilt.pitch_share_pct",
    "MNY": "mount.yaw_deg",
    "MNP": "mount.pitch_deg",
    "MNR": "mount.roll_deg",
    "MNU": "mount.upside_down",
    "LVR": "level.roll_deg",
    "LVP": "level.pitch_deg",
    "LVS": "level.self_levelling",
    "LVD": "level.set",
    "LVM": "level.most_tilt_deg",
    "LVK": "level.strength",
    "SON": "steady.on",
    "RFT": "radio.failsafe.throttle_us",
    "RFA": "radio.failsafe.action",
    "RFW": "radio.failsafe.after_ms",
    "PCEL": "pack.cells",
    "PKW": "pack.warn_v",
    "PKL": "pack.land_v",
    "PCAP": "pack.capacity_mah",
    "PRES": "pack.reserve_pct",
    "RLW": "rail.warn_v",
    "RLN": "rail.nominal_v",
    "RSC": "rail.scale",
    "FGC": "filter.gyro.cut_hz",
    "FAC": "filter.accel.cut_hz",
    "NON": "filter.notch.on",
    "NCF": "filter.notch.centre_hz",
    "NWD": "filter.notch.width_hz",
    "LGO": "log.on",
    "LGR": "log.rate_hz",
    "LGS": "log.start",
}
_GAINS: Final = {"G": "gain", "H": "hold", "D": "damping", "M": "most_dps"}
_PHASES: Final = {"H": "hover_pct", "M": "middle_pct", "C": "cruise_pct"}
_SENSORS: Final = {
    "ACO": "accel.offset_{}_mg",
    "ACS": "accel.scale_{}",
    "GYB": "gyro.bias_{}_dps",
    "CMO": "compass.offset_{}_mgauss",
}
_CHANNEL: Final = {
    "L": "low_us",
    "C": "centre_us",
    "H": "high_us",
    "D": "dead_us",
    "R": "direction",
}
_MIXED: Final = {"S": "source", "P": "share_pct", "D": "direction", "W": "slow_ms"}
