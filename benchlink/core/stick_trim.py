"""A trim of the transmitter, found in its channels: let go, and with the stick held.

With the stick let go a channel should stand in its middle; what it is off there is the
trim. Holding one stick over tells which channel it is, how far full stick goes, and
which way the channel then runs.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from benchlink.core.angles import Degrees, Way
from benchlink.core.servo_part import NEUTRAL_US
from benchlink.core.trim import stick_trim_deg
from benchlink.errors import UsageError
from benchlink.units import PulseUs

MIDDLE_US: Final = NEUTRAL_US
"""Where a channel without trim stands; transmitters are built so."""

HELD_US: Final = 150.0
"""A channel that goes less far was not held over; trims and shaky hands move less."""

MOST_TRIM_US: Final = 125.0
"""A quarter of a full stick of 500 us; further off, the stick was hardly let go
(guidance)."""

Channels = Mapping[int, PulseUs]
"""By number, counted from 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StickTrim:
    """One stick with its trim."""

    channel: int
    let_go_us: PulseUs
    held_us: PulseUs
    middle_us: PulseUs = MIDDLE_US

    @property
    def trim_us(self) -> float:
        """Above zero where the channel stands above its middle."""
        return self.let_go_us - self.middle_us

    def tilt_deg(self, full_deg: float, held: Way) -> Degrees:
        """What the trim does to a tilt that full stick moves by `full_deg`.

        `held` is the way in which that tilt goes when the stick is held as it was.
        """
        way = held if self.held_us > self.let_go_us else held.opposite
        return stick_trim_deg(
            self.trim_us, abs(self.held_us - self.let_go_us), full_deg, way
        )

    def __str__(self) -> str:
        off = abs(self.trim_us)
        side = "above" if self.trim_us > 0 else "below"
        return (
            f"channel {self.channel} let go at {self.let_go_us:.0f} us, {off:.0f} us"
            f" {side} its middle; held over at {self.held_us:.0f} us"
        )


def stick_trim(
    let_go: Channels, held: Channels, middle_us: PulseUs = MIDDLE_US
) -> StickTrim:
    """The one channel that the held stick moved, and its trim.

    Raises:
        UsageError: none was moved, or more than one, or that is no trim.
    """
    moved = [
        number
        for number, pulse in held.items()
        if number in let_go and abs(pulse - let_go[number]) >= HELD_US
    ]
    if len(moved) != 1:
        which = " and ".join(str(number) for number in moved)
        msg = f"channels {which} moved together" if moved else "no channel moved"
        raise UsageError(
            msg,
            hint="Nothing was written. Hold one stick fully over, alone, and let all"
            " others go; is the transmitter on, without mixes between the sticks?",
        )
    found = StickTrim(
        channel=moved[0],
        let_go_us=let_go[moved[0]],
        held_us=held[moved[0]],
        middle_us=middle_us,
    )
    if abs(found.trim_us) > MOST_TRIM_US:
        msg = f"{found}: that is more than a trim"
        raise UsageError(
            msg,
            hint="Nothing was written. Let the sticks go before the first reading; if"
            " they were, look at the sub-trims of the transmitter.",
        )
    return found
