"""One part as a file, as its maker prints it; a figure that nobody printed is left out.

benchlink-part: 1           the version of this format, always the first key
kind: servo                 servo, motor or pack
name: sedge-9               what it is asked for by
title: Sedge 9, small analogue servo, plastic gears
neutral-us: 1500            servo: its middle,
shortest-us: 1000           what it may be sent,
longest-us: 2000
us-per-deg: 9.5             pulse for one degree,
rate-hz: 50                 most frames a second (50 where nobody printed it)
dead-band-us: 8             and, all optional: dead-band-us, teeth, arms (of the horn
stall-a: 0.8                that would fit as well), s-per-60-deg, play-deg, bend-deg
least-v: 4.8                (100 us away from the middle), slope-share, stall-a,
most-v: 6.0                 least-v, most-v

A motor has rev-min-per-v, poles, most-a, least-v and most-v; a pack cells,
capacity-mah, most-a and full-cell-v (4.2 where nobody printed it).
"""

import re
from collections.abc import Callable, Mapping
from typing import Final

from benchlink.core.document import Node, Problems, Scalar, Table, TableReader, kind_of
from benchlink.core.parts import (
    FULL_CELL_V,
    SURE_RATE_HZ,
    UNKNOWN_MAKE,
    MotorPart,
    PackPart,
    Part,
    ServoMake,
)
from benchlink.core.servo_part import (
    LONGEST_US,
    NEUTRAL_US,
    SHORTEST_US,
    UNKNOWN_SERVO,
    ServoPart,
)
from benchlink.errors import FileError, Place, Problem
from benchlink.units import PULSE_MAX, PULSE_MIN, PulseUs

VERSION_KEY: Final = "benchlink-part"
VERSION: Final = "1"
_NAME: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}", re.ASCII)
_US_PER_S: Final = 1_000_000


def read_part(root: Node, problems: Problems) -> Part:
    """Check one file; every mistake goes to `problems`.

    Raises:
        FileError: it is no part of this version, so nothing else in it can be judged.
    """
    _require_version(root)
    reader = TableReader(root, problems, "a part")
    reader.take(VERSION_KEY)
    kind = reader.take("kind")
    read = _KINDS.get(kind.text) if isinstance(kind, Scalar) else None
    if read is None:
        place = kind.place if kind else root.place
        raise _no_part(place, f"a part needs `kind:`, one of {', '.join(_KINDS)}")
    return read(reader)


def _require_version(root: Node) -> None:
    if not isinstance(root, Table) or not root.entries:
        told = f"a part is a table of keys, not {kind_of(root)}"
        raise _no_part(root.place, told)
    first = root.entries[0]
    if first.key.text != VERSION_KEY:
        raise _no_part(first.key.place, f"a part begins with `{VERSION_KEY}: 1`")
    if not isinstance(first.value, Scalar) or first.value.text != VERSION:
        told = f"this benchlink reads parts of version {VERSION}, not"
        raise _no_part(first.value.place, f"{told} {kind_of(first.value)}")


def _no_part(place: Place, text: str) -> FileError:
    msg = f"{place.file} is no part that this benchlink can read"
    return FileError(msg, problems=(Problem(place, text),))


def _servo(reader: TableReader) -> ServoMake:
    guess = UNKNOWN_SERVO
    name, title = _named(reader)
    neutral = _needed(reader, "neutral-us", NEUTRAL_US)
    shortest = _needed(reader, "shortest-us", SHORTEST_US)
    longest = _needed(reader, "longest-us", LONGEST_US)
    part = ServoPart(
        neutral_us=PulseUs(neutral),
        shortest_us=PulseUs(shortest),
        longest_us=PulseUs(longest),
        us_per_deg=_needed(reader, "us-per-deg", guess.us_per_deg),
        slope_share=reader.number("slope-share", guess.slope_share),
        bend_deg=reader.number("bend-deg", guess.bend_deg),
        dead_band_us=reader.number("dead-band-us", guess.dead_band_us),
        play_deg=reader.number("play-deg", guess.play_deg),
        teeth=reader.whole("teeth", guess.teeth, least=1),
        arms=reader.whole("arms", guess.arms, least=1),
        s_per_60_deg=reader.number("s-per-60-deg", guess.s_per_60_deg),
    )
    rate = reader.number("rate-hz", SURE_RATE_HZ)
    least_v, most_v = _given(reader, "least-v"), _given(reader, "most-v")
    stall = _given(reader, "stall-a")
    reader.finish()
    _check(
        reader,
        {
            f"pulses go from {PULSE_MIN:g} to {PULSE_MAX:g} us, with the neutral one"
            " between the shortest and the longest": not (
                PULSE_MIN <= shortest < neutral < longest <= PULSE_MAX
            ),
            f"a pulse of {longest:g} us is longer than a frame at {rate:g} Hz": (
                longest >= _US_PER_S / rate
            ),
            "`least-v:` is above `most-v:`": (
                least_v is not None and most_v is not None and least_v > most_v
            ),
        },
    )
    return ServoMake(
        name=name,
        title=title,
        part=part,
        most_rate_hz=rate,
        stall_a=stall,
        least_v=least_v,
        most_v=most_v,
        source=reader.place.file,
    )


def _motor(reader: TableReader) -> MotorPart:
    name, title = _named(reader)
    motor = MotorPart(
        name=name,
        title=title,
        rev_min_per_v=_needed(reader, "rev-min-per-v", 1.0),
        poles=_count(reader, "poles", 2),
        most_a=_needed(reader, "most-a", 1.0),
        least_v=_needed(reader, "least-v", 1.0),
        most_v=_needed(reader, "most-v", 1.0),
        source=reader.place.file,
    )
    reader.finish()
    _check(
        reader,
        {
            "`least-v:` is above `most-v:`": motor.least_v > motor.most_v,
            "`poles:` of a motor come in pairs": motor.poles % 2 == 1,
        },
    )
    return motor


def _pack(reader: TableReader) -> PackPart:
    name, title = _named(reader)
    pack = PackPart(
        name=name,
        title=title,
        cells=_count(reader, "cells", 1),
        capacity_mah=_needed(reader, "capacity-mah", 1.0),
        most_a=_needed(reader, "most-a", 1.0),
        full_cell_v=reader.number("full-cell-v", FULL_CELL_V),
        source=reader.place.file,
    )
    reader.finish()
    return pack


_KINDS: Final[Mapping[str, Callable[[TableReader], Part]]] = {
    "servo": _servo,
    "motor": _motor,
    "pack": _pack,
}


def _named(reader: TableReader) -> tuple[str, str]:
    name, title = reader.need_text("name"), reader.need_text("title")
    if name and not _NAME.fullmatch(name):
        reader.problems.add(
            reader.place,
            f"{name!r} cannot name a part: letters, digits, `-`, `_` and `.`, at most"
            " 40",
        )
    if name == UNKNOWN_MAKE.name:
        reader.problems.add(
            reader.place, f"{name!r} is the servo that nobody knows; name it otherwise"
        )
    return name, title


def _needed(reader: TableReader, key: str, default: float) -> float:
    _require(reader, key)
    return reader.number(key, default)


def _count(reader: TableReader, key: str, least: int) -> int:
    _require(reader, key)
    return reader.whole(key, least, least=least)


def _require(reader: TableReader, key: str) -> None:
    if not reader.has(key):
        reader.problems.add(reader.place, f"{reader.what} needs `{key}:`")


def _given(reader: TableReader, key: str) -> float | None:
    return reader.number(key, 1.0) if reader.has(key) else None


def _check(reader: TableReader, wrong: Mapping[str, bool]) -> None:
    for text, is_wrong in wrong.items():
        if is_wrong:
            reader.problems.add(reader.place, text)
