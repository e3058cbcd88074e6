"""How far a long step has come, in one line; the same on a page and at a plain terminal."""

from typing import TYPE_CHECKING, Final, final

from benchlink.core.time_left import TimeLeft
from benchlink.units import MINUTE_S, Seconds

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchlink.core.advance import Advance, Amount

GAP: Final = "   "
COARSE_FROM_S: Final = 10
COARSE_S: Final = 5
"""Nobody needs every second of a long wait."""


@final
class AdvanceWords:
    """Follows one step after the other, so that it can say what is left of each."""

    def __init__(self) -> None:
        self._left: Final = TimeLeft()

    def line(self, advance: "Advance", now: Seconds) -> str:
        """One line, without anything that it does not know."""
        left = self._left.after(advance, now)
        told = ", ".join(_parts(advance, left))
        return f"{advance.what}{GAP}{told}" if told else advance.what

    def over(self) -> None:
        """The step has ended; one of the same name begins anew."""
        self._left.forget()


def _parts(advance: "Advance", left: Seconds | None) -> "Iterator[str]":
    if advance.settings:
        yield _counted(advance.settings, "settings")
    if advance.size:
        yield _counted(advance.size, "bytes")
    if advance.wait:
        yield f"{advance.wait.so_far:.0f} s of at most {advance.wait.at_most:.0f} s"
    if left is not None:
        yield f"about {_time(left)} left"


def _counted(amount: "Amount", of: str) -> str:
    if not amount.within:
        return f"{amount.done:,} {of}"
    about = "about " if amount.about else ""
    return f"{amount.done:,} of {about}{amount.total:,} {of}"


def _time(left: Seconds) -> str:
    seconds = max(1, round(left))
    if seconds > COARSE_FROM_S:
        seconds = -(-seconds // COARSE_S) * COARSE_S
    minutes, rest = divmod(seconds, MINUTE_S)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"
