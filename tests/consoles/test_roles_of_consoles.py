"""What the shipped descriptions say settings are for, held against the aircraft."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

import pytest

from benchlink.console.roles import RoleBook
from benchlink.core.angles import Way
from benchlink.core.roles import (
    MOTOR_DIRECTIONS,
    TILT_ROLES,
    Direction,
    Measure,
    OwnSide,
    Role,
)
from benchlink.core.settings import Snapshot
from benchlink.core.values import Switch
from benchlink.units import PulseUs
from benchlink.workflows.read import read_settled
from mocks.catalogue import MOST_SETTINGS
from tests.consoles.consoles import (
    CASES,
    Case,
    board_of,
    carry_out,
    described,
    meet_board,
)
from tests.support.people import ScriptedPerson
from tests.support.virtual_board import VirtualBoard

SETTINGS: Final = 260
"""Enough for everything that has a role, and few enough to be read quickly."""

ON_BOARD: Final[Mapping[str, str]] = {
    "tilt.left.centre_us": "1487",
    "tilt.left.aft_us": "402",
    "tilt.left.fore_us": "396",
    "tilt.left.direction": "reversed",
    "tilt.left.rate_hz": "100",
    "tilt.left.aft_deg": "36.5",
    "tilt.left.fore_deg": "35.5",
    "tilt.right.centre_us": "1516",
    "tilt.right.aft_us": "398",
    "tilt.right.fore_us": "405",
    "tilt.right.direction": "normal",
    "tilt.right.rate_hz": "120",
    "tilt.right.aft_deg": "34.5",
    "tilt.right.fore_deg": "33.5",
    "motor.left.direction": "reversed",
    "motor.right.direction": "normal",
    "mount.yaw_deg": "90.0",
    "mount.pitch_deg": "-1.5",
    "mount.roll_deg": "0.5",
    "mount.upside_down": "yes",
    "level.roll_deg": "0.35",
    "level.pitch_deg": "-0.80",
    "level.self_levelling": "no",
    "level.set": "yes",
    "steady.on": "yes",
}
"""The aircraft's own names, and what it is made to hold."""


def _of_side(side: OwnSide) -> dict[Role, str]:
    tilt, at = TILT_ROLES[side], f"tilt.{side.value}"
    return {
        tilt.centre: f"{at}.centre_us",
        tilt.aft: f"{at}.aft_us",
        tilt.fore: f"{at}.fore_us",
        tilt.direction: f"{at}.direction",
        tilt.rate: f"{at}.rate_hz",
        tilt.aft_angle: f"{at}.aft_deg",
        tilt.fore_angle: f"{at}.fore_deg",
        MOTOR_DIRECTIONS[side]: f"motor.{side.value}.direction",
    }


MEANT: Final[Mapping[Role, str]] = {
    **_of_side(OwnSide.LEFT),
    **_of_side(OwnSide.RIGHT),
    Role.SELF_LEVELLING: "level.self_levelling",
    Role.STABILISATION: "steady.on",
    Role.MOUNT_YAW: "mount.yaw_deg",
    Role.MOUNT_PITCH: "mount.pitch_deg",
    Role.MOUNT_ROLL: "mount.roll_deg",
    Role.MOUNT_UPSIDE_DOWN: "mount.upside_down",
    Role.LEVEL_ROLL: "level.roll_deg",
    Role.LEVEL_PITCH: "level.pitch_deg",
    Role.LEVEL_SET: "level.set",
}


def fitted(case: Case) -> VirtualBoard:
    board = board_of(case, replace(case.options, settings=SETTINGS))
    for name, value in ON_BOARD.items():
        board.device.aircraft.put(name, value)
    board.device.aircraft.keep()
    return board


def told(book: RoleBook, role: Role, snapshot: Snapshot) -> str:
    """What the description makes of the setting, spelled as the aircraft does."""
    match role.measure:
        case Measure.DIRECTION:
            direction = book.direction(role, snapshot)
            return direction.value if direction else "nothing"
        case Measure.SWITCH:
            value = book.value(role, snapshot)
            return "yes" if value == Switch(on=True) else f"no ({value})"
        case _:
            return f"{book.number(role, snapshot):g}"


def meant(role: Role) -> str:
    value = ON_BOARD[MEANT[role]]
    if role.measure is Measure.SWITCH:
        return value if value == "yes" else "no (off)"
    return value if role.measure is Measure.DIRECTION else f"{float(value):g}"


@pytest.mark.parametrize("case", CASES, ids=str)
def test_every_role_is_the_setting_that_it_says(case: Case) -> None:
    assert set(MEANT) == set(Role)
    assert MOST_SETTINGS > SETTINGS
    board = fitted(case)
    snapshot = read_settled(meet_board(case, board), ScriptedPerson())
    book = RoleBook(described(case.kind))
    assert {r: told(book, r, snapshot) for r in Role} == {r: meant(r) for r in Role}


@pytest.mark.parametrize("case", CASES, ids=str)
def test_what_is_written_for_a_role_is_what_the_board_then_holds(case: Case) -> None:
    board = fitted(case)
    session = meet_board(case, board)
    book = RoleBook(described(case.kind))
    wanted = {
        Role.LEFT_CENTRE: book.value_for(Role.LEFT_CENTRE, 1493.6),
        Role.RIGHT_FORE: book.end_value(Role.RIGHT_FORE, PulseUs(1111), PulseUs(1516)),
        Role.RIGHT_DIRECTION: book.direction_value(
            Role.RIGHT_DIRECTION, Direction.REVERSED
        ),
        Role.LEVEL_ROLL: book.value_for(Role.LEVEL_ROLL, -1.234),
        Role.LEFT_AFT_ANGLE: book.value_for(Role.LEFT_AFT_ANGLE, 35.8),
    }
    carry_out(session, {book.require(role): str(v) for role, v in wanted.items()})
    kept = board.device.aircraft.kept()
    assert {kept[MEANT[role]] for role in wanted} == {
        "1494",
        "405",
        "reversed",
        "-1.25",
        "36.0",
    }


@pytest.mark.parametrize(
    ("direction", "centre", "longer"),
    [("normal", 1487, True), ("reversed", 1487, False)],
)
def test_the_ends_of_the_simulated_aircraft_are_counted_from_its_centre(
    direction: str, centre: int, *, longer: bool
) -> None:
    case = CASES[0]
    board = fitted(case)
    aircraft = board.device.aircraft
    aircraft.put("tilt.left.direction", direction)
    aircraft.outputs_live = aircraft.radio_link = True
    snapshot = read_settled(meet_board(case, board), ScriptedPerson())
    book = RoleBook(described(case.kind))
    tilt = TILT_ROLES[OwnSide.LEFT]
    for way, stick_us in ((Way.FORWARD, 2000), (Way.AFT, 1000)):
        aircraft.physical.set("channel-2", str(stick_us))
        value = book.value(tilt.end(way), snapshot)
        assert value is not None
        side = longer if way is Way.FORWARD else not longer
        at = book.end_pulse(tilt.end(way), value, centre=PulseUs(centre), longer=side)
        assert aircraft.pulses_us(board.now_us)[2] == at
