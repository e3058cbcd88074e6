"""Numbers, angles and words of a record, each checked and named with its place."""

import math
import re
from collections.abc import Hashable, Mapping
from typing import Final, TypeVar

from benchlink.core.angles import UPRIGHT, Degrees, Way, leaning
from benchlink.core.document import Items, Node, Problems, Scalar, TableReader, kind_of
from benchlink.units import PulseUs, pulse_us

Word = TypeVar("Word", bound=Hashable)

_ANGLE: Final = re.compile(r"(\S+) (forward|aft)")
_WAYS: Final = {way.value: way for way in Way}


def real(reader: TableReader, key: str) -> float:
    """A number that has to stand there."""
    node = reader.need(key)
    return 0.0 if node is None else number_of(node, key, reader.problems)


def number_of(node: Node, key: str, problems: Problems) -> float:
    """A finite number; 0 where it is none, which is then a mistake."""
    found = _finite(node.text) if isinstance(node, Scalar) else None
    if found is None:
        shown = node.text if isinstance(node, Scalar) else kind_of(node)
        problems.add(node.place, f"`{key}:` must be a number, not {shown!r}")
    return found or 0.0


def numbers(
    node: Node | None, key: str, count: int, problems: Problems
) -> tuple[float, ...]:
    """So many numbers in a list."""
    if node is None:
        return (0.0,) * count
    if not isinstance(node, Items) or len(node.items) != count:
        problems.add(node.place, f"`{key}:` must be a list of {count} numbers")
        return (0.0,) * count
    return tuple(number_of(item, key, problems) for item in node.items)


def pulse(reader: TableReader, key: str) -> PulseUs:
    """A pulse that a servo could take."""
    return _pulse(reader, key, reader.need(key))


def maybe_pulse(reader: TableReader, key: str) -> PulseUs | None:
    """A pulse, where one stands there."""
    node = reader.take(key)
    return None if node is None else _pulse(reader, key, node)


def angle(reader: TableReader, key: str) -> Degrees:
    """An angle with its word."""
    return _angle(reader, key, reader.need(key))


def maybe_angle(reader: TableReader, key: str) -> Degrees | None:
    """An angle with its word, where one stands there."""
    node = reader.take(key)
    return None if node is None else _angle(reader, key, node)


def word(reader: TableReader, key: str, words: Mapping[Word, str]) -> Word:
    """One word of a closed list, which has to stand there."""
    found = {text: value for value, text in words.items()}
    default = next(iter(words))
    if reader.has(key):
        return reader.choice(key, found, default)
    reader.need(key)
    return default


def yes(reader: TableReader, key: str) -> bool:
    """Whether `yes` stands there."""
    return reader.choice(key, {"yes": True, "no": False}, default=False)


def _pulse(reader: TableReader, key: str, node: Node | None) -> PulseUs:
    if node is None:
        return PulseUs(0.0)
    found = number_of(node, key, reader.problems)
    try:
        return pulse_us(found)
    except ValueError as exc:
        reader.problems.add(node.place, f"`{key}:` {exc}")
        return PulseUs(found)


def _angle(reader: TableReader, key: str, node: Node | None) -> Degrees:
    if node is None:
        return UPRIGHT
    match = _ANGLE.fullmatch(node.text) if isinstance(node, Scalar) else None
    size = _finite(match[1]) if match else None
    if match is None or size is None or size < 0:
        reader.problems.add(
            node.place, f"`{key}:` must be an angle and its way, such as 7.5 aft"
        )
        return UPRIGHT
    return leaning(size, _WAYS[match[2]])


def _finite(text: str) -> float | None:
    try:
        found = float(text)
    except ValueError:
        return None
    return found if math.isfinite(found) else None
