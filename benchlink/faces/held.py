"""How long something is held for a person who does not answer, and what is said then."""

from typing import Final

from benchlink.errors import SafetyRefusalError
from benchlink.units import MINUTE_S, Seconds

MINUTES: Final = 3
HELD_FOR: Final = Seconds(float(MINUTES * MINUTE_S))
"""A held servo warms; whoever has gone away does not smell it."""
LET_GO: Final = (
    f"Nobody answered for {MINUTES} minutes: the servo is let go, it may fall."
)

LOST: Final = (
    "The terminal follows no more: whatever was driven is let go, and an arm may fall."
)


def unreachable() -> SafetyRefusalError:
    """What ends it where whoever sits there sees nothing and is not heard."""
    msg = "nobody could be reached at the terminal while something was held"
    return SafetyRefusalError(
        msg, hint="It was let go of, and nothing was kept. Start again when it follows."
    )


def unanswered() -> SafetyRefusalError:
    """What ends the procedure, so that all that it holds goes back."""
    msg = f"nobody answered for {MINUTES} minutes while something was held"
    return SafetyRefusalError(
        msg, hint="It was let go of, and nothing was kept. Start again when ready."
    )
