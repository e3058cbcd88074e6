"""What every console tells of the aircraft, held against the aircraft's true values."""

from collections.abc import Mapping

import pytest

from benchlink.console.live import LiveGrammar
from benchlink.core.readings import Quantity
from benchlink.core.utterance import Utterance
from benchlink.errors import UsageError
from benchlink.units import Power, PulseUs, Seconds
from benchlink.workflows.readings import look
from benchlink.workflows.say import say
from benchlink.workflows.session import Session
from mocks.physical import Physical
from tests.consoles.consoles import (
    AVOCET,
    DUNLIN,
    KNOT,
    SCOTER,
    TURNSTONE,
    WADER,
    Case,
    board_of,
    meet_board,
)
from tests.support.permits import permitted
from tests.support.virtual_board import US, VirtualBoard

TELLING = (WADER, TURNSTONE, DUNLIN, SCOTER, AVOCET)
TIPPED: Mapping[str, str] = {
    "roll": "-7.5",
    "pitch": "3.3",
    "yaw": "-21.0",
    "roll-rate": "12.5",
    "pitch-rate": "-33.0",
    "yaw-rate": "100",
    "pack-volts": "14.41",
    "rail-volts": "5.11",
    "current": "1.27",
    "temperature": "-4.5",
    "channel-3": "1123",
    "channel-8": "1987",
}
ONE_OF: Mapping[str, Quantity] = {
    name: Quantity(name) for name in TIPPED if not name.startswith("channel")
}
NEAR = 0.051
"""Half of the coarsest step that a console prints."""

telling = pytest.mark.parametrize("case", TELLING, ids=str)


def tipped(case: Case) -> tuple[VirtualBoard, Session]:
    board = board_of(case)
    for name, value in TIPPED.items():
        board.device.aircraft.physical.set(name, value)
    return board, meet_board(case, board)


def readings(session: Session) -> dict[tuple[Quantity, int], float]:
    seen = look(session)
    assert seen.not_believed == ()
    assert all(r.between is None for r in seen.readings)
    return {(r.quantity, r.number): r.value for r in seen.readings}


def at(session: Session, quantity: Quantity, number: int = 0) -> float:
    return readings(session)[quantity, number]


def tell(session: Session, said: Utterance) -> None:
    (reply,) = say(session.board, session.grammar, [said])
    assert reply.trusted
    assert reply.verdict.value == "ok", reply.remark


@telling
def test_every_quantity_is_the_true_one_in_our_unit_and_sign(case: Case) -> None:
    board, session = tipped(case)
    found = readings(session)
    physical = board.device.aircraft.physical
    told = 0
    for name, quantity in ONE_OF.items():
        if (quantity, 0) in found:
            assert found[quantity, 0] == pytest.approx(physical[name], abs=NEAR), name
            told += 1
    assert told >= 7
    channels = [found[Quantity.CHANNEL, n] for n in range(1, 9)]
    assert channels == pytest.approx(list(physical.channels_us))
    uptime_s = board.device.aircraft.uptime_ms(board.now_us) / 1000
    assert found[Quantity.UPTIME, 0] == pytest.approx(uptime_s, abs=2)


@pytest.mark.parametrize("case", [WADER, DUNLIN, SCOTER], ids=str)
def test_the_accelerometer_feels_what_holds_it(case: Case) -> None:
    board, session = tipped(case)
    found = readings(session)
    forward, right, down = (
        found[quantity, 0]
        for quantity in (
            Quantity.ACCELERATION_FORWARD,
            Quantity.ACCELERATION_RIGHT,
            Quantity.ACCELERATION_DOWN,
        )
    )
    pull = board.device.aircraft.physical.pull_g
    assert (forward, right, down) == pytest.approx(pull, abs=0.006)
    assert forward > 0, "nose up: held from behind its belly"
    assert right > 0, "left side down: held towards the right"
    assert down < -0.9


def test_level_and_at_rest_the_accelerometer_tells_one_g_up() -> None:
    physical = Physical()
    physical.set("roll", "0")
    physical.set("pitch", "0")
    assert physical.pull_g == (0, 0, -1)


def test_a_pack_that_is_out_is_not_zero_volts() -> None:
    board, session = tipped(DUNLIN)
    board.device.aircraft.physical.set("pack-volts", "0")
    seen = look(session)
    assert Quantity.PACK_VOLTS in seen.unmeasured
    assert Quantity.RAIL_VOLTS in {r.quantity for r in seen.readings}


def test_a_console_without_readings_says_so_and_the_rest_works() -> None:
    session = meet_board(KNOT, board_of(KNOT))
    with pytest.raises(UsageError, match="no way to tell readings") as caught:
        look(session)
    assert "readings:" in caught.value.hint
    assert session.identity.number


@telling
@pytest.mark.parametrize("piece_bytes", [1, 7])
def test_any_way_of_cutting_the_bytes_gives_the_same_readings(
    case: Case, piece_bytes: int
) -> None:
    whole = readings(meet_board(case, board_of(case)))
    cut = readings(meet_board(case, board_of(case, piece_bytes=piece_bytes)))
    drop = {(Quantity.UPTIME, 0)}
    assert {k: v for k, v in cut.items() if k not in drop} == {
        k: v for k, v in whole.items() if k not in drop
    }


# What moves outputs, told by nobody but these tests

MOVING = (WADER, TURNSTONE, SCOTER, AVOCET)
OUTPUTS = {"wader": "p3", "turnstone": "p3", "scoter": "3", "avocet": "3"}
MOTORS = {"wader": "right", "turnstone": "right", "scoter": "RIGHT", "avocet": "2"}
moving = pytest.mark.parametrize("case", MOVING, ids=str)


def move(session: Session, board: VirtualBoard, said: Utterance) -> None:
    """Say what moves something, past the gate: here the words are on trial."""
    manner = session.grammar.description.manner
    tell(session, permitted(said, manner, board.epoch, board.now))


def pass_time(board: VirtualBoard, seconds: float) -> None:
    until_us = board.now_us + int(seconds * US)
    board.now_us = until_us
    board.line.from_board(until_us)


@moving
def test_an_output_is_driven_until_the_board_ends_it(case: Case) -> None:
    board = board_of(case)
    session = meet_board(case, board)
    live = LiveGrammar(session.grammar)
    verb = session.grammar.description.live.verbs["drive"]
    run_for = Seconds(0.5) if verb.timed else None
    craft = board.device.aircraft
    move(session, board, live.drive(OUTPUTS[str(case)], PulseUs(1512), run_for))
    assert craft.pulses_us(board.now_us)[2] == pytest.approx(1512)
    assert at(session, Quantity.OUTPUT, 3) == pytest.approx(1512)
    pass_time(board, 0.6)
    assert craft.pulses_us(board.now_us)[2] == 0
    assert (Quantity.OUTPUT, 3) not in readings(session) or (
        at(session, Quantity.OUTPUT, 3) == 0
    )


@moving
def test_an_output_is_released(case: Case) -> None:
    board = board_of(case)
    session = meet_board(case, board)
    live = LiveGrammar(session.grammar)
    board.device.aircraft.drives.drive(3, 1800, 2 * US, board.now_us)
    move(session, board, live.release(OUTPUTS[str(case)]))
    assert board.device.aircraft.pulses_us(board.now_us)[2] == 0


@moving
def test_one_motor_is_spun_until_the_board_ends_it_or_a_stop(case: Case) -> None:
    board = board_of(case)
    session = meet_board(case, board)
    live = LiveGrammar(session.grammar)
    drives = board.device.aircraft.drives
    spin = live.spin(MOTORS[str(case)], Power(0.125), Seconds(0.8))
    move(session, board, spin)
    assert drives.power("right", board.now_us) == pytest.approx(0.125)
    assert drives.power("left", board.now_us) == 0
    pass_time(board, 0.9)
    assert drives.power("right", board.now_us) == 0
    move(session, board, spin)
    tell(session, session.grammar.utter("stop"))
    assert drives.power("right", board.now_us) == 0


@moving
def test_what_a_description_declares_is_what_its_board_takes(case: Case) -> None:
    board = board_of(case)
    session = meet_board(case, board)
    grammar = session.grammar
    assert list(LiveGrammar(grammar).untellable()) == []
    for name, verb in grammar.description.live.verbs.items():
        for end in ("least", "most"):
            values = {
                key: dial.ours(getattr(dial, end)) for key, dial in verb.dials.items()
            }
            run_for = Seconds(values["time"]) if "time" in values else None
            live = LiveGrammar(grammar)
            if name == "drive":
                pulse = PulseUs(values["pulse"])
                said = live.drive(OUTPUTS[str(case)], pulse, run_for)
                move(session, board, said)
            elif name == "spin":
                given = Power(values["percent"])
                said = live.spin(MOTORS[str(case)], given, run_for)
                move(session, board, said)
