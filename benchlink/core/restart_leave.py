"""Leave to restart a board: when it starts, arms may jump and outputs come up anew.

Somebody typed that hands are clear in this epoch, or the board's own meters tell that
nothing can move: the pack out and the servo rail without power. No flag gives it.
"""

from dataclasses import dataclass, field
from typing import Final

from benchlink.core.confirmation import HandsClear
from benchlink.core.gate import PACK_IN_VOLTS
from benchlink.core.may_move import MayMove
from benchlink.errors import MisuseError

RAIL_DEAD_VOLTS: Final = 3.0
"""Below this no servo moves."""

RESTART_MOVES: Final = MayMove("the restart: arms may jump")
"""What is asked about before a restart, as a line beside what else may move."""
BY_HANDS: Final = "arms may jump: hands clear"
BY_METERS: Final = (
    "pack out and servo rail dead by the board's own meters: nothing can move"
)

_SEAL: Final = object()


@dataclass(frozen=True, slots=True, kw_only=True)
class RestartLeave:
    """The board may be started anew, out of this epoch."""

    epoch: int
    why: str
    """A clause for the person, when it is used."""
    seal: object = field(repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse to exist without typed words or volts that were read."""
        if self.seal is not _SEAL:
            msg = "leave to restart is given by hands that are clear or by dead meters"
            raise MisuseError(msg)


def leave_by_hands(hands: HandsClear | None, epoch: int) -> RestartLeave | None:
    """By what somebody typed since the board last started."""
    if hands is None or hands.epoch != epoch:
        return None
    return RestartLeave(epoch=epoch, why=BY_HANDS, seal=_SEAL)


def leave_by_meters(
    pack_volts: float | None, rail_volts: float | None, epoch: int
) -> RestartLeave | None:
    """By what the board tells of its power right now; a reading that is missing is none."""
    if pack_volts is None or rail_volts is None:
        return None
    # Asked so that what is no number gives no leave.
    if not (pack_volts <= PACK_IN_VOLTS and rail_volts < RAIL_DEAD_VOLTS):
        return None
    return RestartLeave(epoch=epoch, why=BY_METERS, seal=_SEAL)
