"""What a conversation is about at the moment; the whole of it is this table.

Commands other than a stop leave only in READY. A doubt (an answer missing, an echo
that is not ours) goes back to WAKING: the board has to show its prompt again.
"""

from enum import Enum
from typing import Final

from benchlink.errors import MisuseError


class Phase(Enum):
    """Where the conversation stands."""

    WAKING = "waiting for the board's prompt"
    READY = "ready"
    FAILED = "the board gives no prompt"
    LOST = "the port is gone"


class Input(Enum):
    """What moves it on."""

    PROMPT = "the prompt stands still"
    DOUBT = "an answer is missing or damaged"
    PATIENCE_OVER = "no prompt for too long"
    RESTART = "the board restarts"
    WIRE_LOST = "the port went away"


TRANSITIONS: Final[dict[tuple[Phase, Input], Phase]] = {
    (Phase.WAKING, Input.PROMPT): Phase.READY,
    (Phase.WAKING, Input.DOUBT): Phase.WAKING,
    (Phase.WAKING, Input.PATIENCE_OVER): Phase.FAILED,
    (Phase.WAKING, Input.RESTART): Phase.WAKING,
    (Phase.WAKING, Input.WIRE_LOST): Phase.LOST,
    (Phase.READY, Input.DOUBT): Phase.WAKING,
    (Phase.READY, Input.RESTART): Phase.WAKING,
    (Phase.READY, Input.WIRE_LOST): Phase.LOST,
    (Phase.FAILED, Input.RESTART): Phase.WAKING,
    (Phase.FAILED, Input.WIRE_LOST): Phase.LOST,
    (Phase.LOST, Input.WIRE_LOST): Phase.LOST,
}


def step(phase: Phase, given: Input) -> Phase:
    """The next phase.

    Raises:
        MisuseError: that cannot happen there.
    """
    try:
        return TRANSITIONS[phase, given]
    except KeyError:
        msg = f"{given.name} cannot happen while {phase.name}"
        raise MisuseError(msg) from None
