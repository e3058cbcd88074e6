"""How one tilt arm is moved: by driving its output, or by writing its centre.

The second way is for boards without a drive verb: the arm then stands wherever its
centre setting says. Each write wears the board a little and stays in its memory, so it
is limited to the open window, and the bench state guard puts the old value back.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol, final

from benchlink.console.roles import RoleBook
from benchlink.core.angles import Way
from benchlink.core.approach import Route, Window
from benchlink.core.roles import TILT_ROLES, OwnSide
from benchlink.core.settings import Snapshot
from benchlink.errors import UsageError
from benchlink.units import PulseUs, Seconds
from benchlink.workflows.mover import Mover

Pause = Callable[[Seconds], None]
"""Waits; only the faces know how."""

HOLD_EVERY: Final = Seconds(0.1)


class Tilt(Protocol):
    """One arm under the tool's hand."""

    @property
    def at(self) -> PulseUs | None:
        """The pulse that it was last told; None before the first."""
        ...

    def to(self, pulse: PulseUs) -> None:
        """Move it, and see that the board takes it."""
        ...

    def nudge(self, pulse: PulseUs) -> None:
        """Move it at once; a newer nudge replaces one that waits."""
        ...

    def hold(self) -> None:
        """Keep it where it is, while somebody is asked."""
        ...

    def let_go(self) -> None:
        """Nothing of ours stands on it any more."""
        ...

    def hand_words(self, pulse: PulseUs) -> str:
        """What the person has to do with a stick for this pulse; empty for nothing."""
        ...


@final
@dataclass(frozen=True, slots=True)
class DrivenTilt:
    """An arm whose output is driven."""

    mover: Mover
    output: str

    @property
    def at(self) -> PulseUs | None:
        """The pulse that it was last told; None before the first."""
        return self.mover.at(self.output)

    def to(self, pulse: PulseUs) -> None:
        """Move it, and see that the board takes it."""
        self.mover.drive(self.output, pulse)

    def nudge(self, pulse: PulseUs) -> None:
        """Move it at once; a newer nudge replaces one that waits."""
        self.mover.nudge(self.output, pulse)

    def hold(self) -> None:
        """Keep it where it is, while somebody is asked."""
        self.mover.hold()

    def let_go(self) -> None:
        """Nothing of ours stands on it any more."""
        self.mover.release(self.output)

    def hand_words(self, pulse: PulseUs) -> str:  # noqa: ARG002 - the door's shape
        """Nothing: the tool drives it."""
        return ""


@final
class WrittenTilt:
    """An arm that stands where its centre setting says."""

    def __init__(self, mover: Mover, side: OwnSide, snapshot: Snapshot) -> None:
        self._mover: Final = mover
        self._role: Final = TILT_ROLES[side].centre
        self._book: Final = RoleBook(mover.session.grammar.description)
        self._snapshot: Final = snapshot
        self.at: PulseUs | None = self._book.pulse(self._role, snapshot)
        """Where the setting has it."""

    def to(self, pulse: PulseUs) -> None:
        """Move it, and see that the board takes it."""
        name = self._book.require(self._role)
        value = self._book.value_for(self._role, pulse)
        self._mover.write(name, value, pulse, self._snapshot)
        self.at = pulse

    def nudge(self, pulse: PulseUs) -> None:
        """The same: what is written is answered."""
        self.to(pulse)

    def hold(self) -> None:
        """The board does that by itself."""

    def let_go(self) -> None:
        """The guard of the bench state puts the old value back."""

    def hand_words(self, pulse: PulseUs) -> str:  # noqa: ARG002 - the door's shape
        """Nothing: the sticks stay in the middle."""
        return ""


@final
class StickTilt:
    """An arm that the person holds at an end with the stick, while the end is written."""

    def __init__(
        self,
        mover: Mover,
        side: OwnSide,
        snapshot: Snapshot,
        *,
        longer_is_forward: bool,
    ) -> None:
        self._mover: Final = mover
        self._roles: Final = TILT_ROLES[side]
        self._book: Final = RoleBook(mover.session.grammar.description)
        self._snapshot: Final = snapshot
        self._forward: Final = longer_is_forward
        centre = self._book.pulse(self._roles.centre, snapshot)
        if centre is None:
            msg = f"the board has no setting for the {self._roles.centre.words}"
            raise UsageError(msg, hint="Nothing moved.")
        self.centre: Final = centre
        self.at: PulseUs | None = centre
        """Where it stands, the stick held as it was last asked for."""

    def to(self, pulse: PulseUs) -> None:
        """Write the end that way; in the middle there is nothing to write."""
        way = self._way(pulse)
        if way is not None:
            role = self._roles.end(way)
            value = self._book.end_value(role, pulse, self.centre)
            name = self._book.require(role)
            self._mover.write(name, value, pulse, self._snapshot)
        self.at = pulse

    def nudge(self, pulse: PulseUs) -> None:
        """The same: what is written is answered."""
        self.to(pulse)

    def hold(self) -> None:
        """The person's thumb does that."""

    def let_go(self) -> None:
        """The guard of the bench state puts the old values back."""

    def hand_words(self, pulse: PulseUs) -> str:
        """Which way to hold the stick."""
        way = self._way(pulse)
        if way is None:
            return "Let the stick go: the arm comes back to its centre."
        return f"Hold the stick that tilts {way.value} at its end, without pressing."

    def _way(self, pulse: PulseUs) -> Way | None:
        if pulse == self.centre:
            return None
        return Way.FORWARD if (pulse > self.centre) == self._forward else Way.AFT


def travel(
    tilt: Tilt,
    way: Route,
    pause: Pause,
    sent: Callable[[PulseUs], None] = lambda _: None,
) -> None:
    """Send the pulses of a route one after the other, and wait at each.

    `sent` hears of each pulse that the board took.
    """
    for hop in way:
        tilt.to(hop.pulse_us)
        sent(hop.pulse_us)
        rest(tilt, hop.rest_s, pause)


def rest(tilt: Tilt, for_s: Seconds, pause: Pause) -> None:
    """Wait, and keep the arm where it is."""
    left = float(for_s)
    while left > 0:
        pause(Seconds(min(HOLD_EVERY, left)))
        tilt.hold()
        left -= HOLD_EVERY


def window_words(window: Window) -> str:
    """A window of pulses, for a question."""
    return f"{window.low_us:.0f} to {window.high_us:.0f} us"
