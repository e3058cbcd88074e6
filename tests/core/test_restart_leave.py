"""Leave to restart: typed in this epoch, or by meters that were read, and by nothing else."""

import math

import pytest

from benchlink.core.confirmation import HANDS_CLEAR, confirm_hands_clear
from benchlink.core.restart_leave import (
    BY_HANDS,
    BY_METERS,
    RestartLeave,
    leave_by_hands,
    leave_by_meters,
)
from benchlink.errors import MisuseError


@pytest.mark.parametrize(("pack", "rail"), [(0.0, 0.0), (4.0, 2.99), (-0.1, 0.4)])
def test_a_pack_that_is_out_and_a_dead_rail_give_leave(
    pack: float, rail: float
) -> None:
    leave = leave_by_meters(pack, rail, 3)
    assert leave is not None
    assert (leave.epoch, leave.why) == (3, BY_METERS)


@pytest.mark.parametrize(
    ("pack", "rail"),
    [
        (4.01, 0.0),
        (0.0, 3.0),
        (15.9, 5.0),
        (None, 0.0),
        (0.0, None),
        (None, None),
        (math.nan, 0.0),
        (0.0, math.nan),
    ],
)
def test_power_or_a_reading_that_is_missing_gives_none(
    pack: float | None, rail: float | None
) -> None:
    assert leave_by_meters(pack, rail, 1) is None


def test_what_was_typed_gives_leave_in_its_own_epoch_alone() -> None:
    hands = confirm_hands_clear(HANDS_CLEAR, 2)
    leave = leave_by_hands(hands, 2)
    assert leave is not None
    assert (leave.epoch, leave.why) == (2, BY_HANDS)
    assert leave_by_hands(hands, 3) is None
    assert leave_by_hands(None, 2) is None


def test_nobody_makes_it_by_hand() -> None:
    with pytest.raises(MisuseError, match="leave to restart"):
        RestartLeave(epoch=1, why="a flag", seal=object())
