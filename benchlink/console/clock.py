"""Times as a clock shows them: `6:30`, which is a number of seconds."""

from decimal import Decimal
from enum import Enum
from typing import Final

SIXTY: Final = 60
TWO: Final = 2


class Clock(Enum):
    """What stands between the colons; the first part is as long as it needs to be."""

    HOURS_MINUTES = "h:mm"
    HOURS_MINUTES_SECONDS = "h:mm:ss"
    MINUTES_SECONDS = "m:ss"

    @property
    def parts(self) -> int:
        """How many parts it has."""
        return self.value.count(":") + 1

    @property
    def last(self) -> int:
        """Seconds that one of its last part is."""
        return 1 if self.value.endswith("ss") else SIXTY


def seconds_or_none(clock: Clock, text: str) -> Decimal | None:
    """The seconds that a clock's text tells; None where it is no such text."""
    parts = text.removeprefix("-").split(":")
    plain = all(part.isdigit() and part.isascii() for part in parts)
    later = parts[1:]
    if len(parts) != clock.parts or not plain:
        return None
    if any(len(part) != TWO or int(part) >= SIXTY for part in later):
        return None
    count = Decimal(parts[0])
    for part in later:
        count = count * SIXTY + int(part)
    return count * clock.last * (-1 if text.startswith("-") else 1)


def shown_by(clock: Clock, seconds: Decimal, digits: int) -> str:
    """Seconds as the clock shows them, its first part filled up to so many digits.

    Raises:
        ValueError: it shows no such fraction.
    """
    count, rest = divmod(abs(seconds), clock.last)
    if rest:
        msg = f"{seconds:f} s cannot be told as {clock.value}"
        raise ValueError(msg)
    whole = int(count)
    parts: list[str] = []
    for _ in range(clock.parts - 1):
        whole, part = divmod(whole, SIXTY)
        parts.insert(0, f"{part:02}")
    sign = "-" if seconds < 0 else ""
    return sign + ":".join([str(whole).zfill(digits), *parts])
