"""How long a step still takes, measured from its own pace since it began."""

from typing import Final, final

from benchlink.core.advance import Advance
from benchlink.units import Seconds

MEASURED_AFTER: Final = Seconds(1.0)
"""Less tells more of the start than of the pace."""
STALLED_AFTER: Final = Seconds(3.0)
"""When nothing came for so long, the pace from before tells nothing."""
RISES_BY: Final = 1.5
"""A time that was told is corrected upwards only when it was this far off ..."""
RISES_FROM: Final = Seconds(2.0)
"""... and this much more."""


@final
class TimeLeft:
    """One step after the other; whoever asks says what time it is."""

    def __init__(self) -> None:
        self._what = ""
        self._began = Seconds(0.0)
        self._first = self._last = 0
        self._came = Seconds(0.0)
        self._ends: Seconds | None = None
        """When it will be through, as was told last."""

    def forget(self) -> None:
        """The step is over."""
        self._what = ""

    def after(self, advance: Advance, now: Seconds) -> Seconds | None:
        """What is left; None while that would be a guess, and where nobody knows."""
        measure = advance.measure
        done = measure.done if measure else 0
        if advance.what != self._what or done < self._last:
            self._begin(advance.what, done, now)
        if measure is None or measure.total is None:
            return None
        if done > self._last:
            self._last, self._came = done, now
            self._measure(measure.total, now)
        elif now - self._came >= STALLED_AFTER:
            self._ends = None
        if self._ends is None or done >= measure.total:
            return None
        return Seconds(max(0.0, self._ends - now))

    def _begin(self, what: str, done: int, now: Seconds) -> None:
        self._what, self._began, self._came = what, now, now
        self._first = self._last = done
        self._ends = None

    def _measure(self, total: int, now: Seconds) -> None:
        took = now - self._began
        if took < MEASURED_AFTER:
            return
        left = took * (total - self._last) / (self._last - self._first)
        told = None if self._ends is None else self._ends - now
        if told is None or left <= told or left > told * RISES_BY + RISES_FROM:
            self._ends = Seconds(now + left)
