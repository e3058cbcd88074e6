"""Time is handed in: nothing in this layer reads a clock of its own."""

from collections.abc import Callable

from benchlink.units import Seconds

Clock = Callable[[], Seconds]
"""The moment now, on a clock that never jumps."""
