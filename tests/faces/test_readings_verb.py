"""`benchlink readings` as a process, on a real port, beside the aircraft's true values."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchlink.core.readings import (
    Look,
    Measured,
    NotBelieved,
    Quantity,
    Reading,
    settled,
)
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.reading_words import look_data, look_lines
from tests.faces.running import Aircraft, Workshop, aircraft, clean


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


@pytest.fixture
def wader(workshop: Workshop) -> Iterator[Aircraft]:
    with aircraft(workshop, "--settings", "60") as running:
        yield running


def reading(quantity: Quantity, value: float, number: int = 0) -> Reading:
    return Reading(quantity=quantity, value=value, number=number)


def lines(*readings: Reading) -> list[str]:
    return look_lines(Look(readings=readings))


# In words


@pytest.mark.parametrize(
    ("quantity", "value", "told"),
    [
        (Quantity.ROLL, 1.25, "roll           1.2 deg right side down"),
        (Quantity.ROLL, -1.25, "roll           1.2 deg left side down"),
        (Quantity.PITCH, 3.0, "pitch          3.0 deg nose up"),
        (Quantity.PITCH, -3.0, "pitch          3.0 deg nose down"),
        (Quantity.PITCH, -0.04, "pitch          0.0 deg"),
        (Quantity.YAW, -90, "yaw            90.0 deg nose to the left"),
        (Quantity.YAW_RATE, 5, "turning        5.0 deg/s nose going right"),
        (Quantity.ROLL_RATE, 0, "turning        not rolling"),
        (Quantity.ACCELERATION_DOWN, -1, "accelerometer  1.00 g up"),
        (Quantity.TEMPERATURE, -4.5, "temperature    -4.5 C"),
        (Quantity.CURRENT, -0.001, "current        0.00 A"),
        (Quantity.PACK_VOLTS, 15.9, "pack           15.90 V"),
        (Quantity.UPTIME, 59.94, "running for    59.9 s"),
        (Quantity.UPTIME, 61, "running for    1 min 1 s"),
        (Quantity.UPTIME, 7300, "running for    2 h 1 min"),
    ],
)
def test_a_reading_is_told_in_words(
    quantity: Quantity, value: float, told: str
) -> None:
    assert lines(reading(quantity, value)) == [told]


def test_outputs_without_a_pulse_are_not_listed_one_by_one() -> None:
    silent = [reading(Quantity.OUTPUT, 0, n) for n in (1, 2, 4)]
    assert lines(*silent) == ["outputs        no pulse on any of 3"]
    driven = reading(Quantity.OUTPUT, 1512, 3)
    assert lines(*silent, driven) == [
        "outputs        3: 1512 us, no pulse on the others"
    ]


def test_a_number_and_its_unit_stay_on_one_line() -> None:
    told = lines(*(reading(Quantity.CHANNEL, 1500, n) for n in range(1, 17)))
    assert len(told) > 1
    assert all(line.rstrip(",").endswith("1500 us") for line in told)
    assert all(len(line) <= 80 for line in told)


def test_what_is_not_steady_not_believed_or_not_told_is_said() -> None:
    moving = settled([[Measured(quantity=Quantity.ROLL, value=v)] for v in (5, -12)])
    doubt = NotBelieved(
        asked="feel",
        quantities=(Quantity.YAW, Quantity.ROLL_RATE),
        why="'x' is no number for yaw",
    )
    look = Look(
        readings=moving,
        not_believed=(doubt,),
        unmeasured=(Quantity.PACK_VOLTS,),
        untold=(Quantity.MOTOR_SPEED,),
    )
    assert look_lines(look) == [
        "roll           NOT STEADY: 12.0 deg left side down to 5.0 deg right side down",
        "! no trustworthy answer about yaw, roll-rate: 'x' is no number for yaw",
        "nothing told now: pack",
        "this console does not tell: motor speeds",
    ]
    data = json.loads(json.dumps(look_data(look)))
    (told,) = data["readings"]
    assert (told["value"], told["between"]) == (None, [-12, 5])


# As a process


def test_one_look_tells_the_true_values(workshop: Workshop, wader: Aircraft) -> None:
    wader.order("tip roll -7.5")
    wader.order("tip pitch 3.5")
    wader.order("set pack-volts 14.25")
    done = workshop.run("readings", "--port", wader.port)
    assert (done.code, done.err) == (ExitCode.SAME, "")
    assert clean(done.out)
    told = done.out.splitlines()
    assert told[0].startswith("wader, firmware")
    assert "outputs   at rest" in told
    assert "roll           7.5 deg left side down" in told
    assert "pitch          3.5 deg nose up" in told
    assert "pack           14.25 V" in told


def test_the_same_for_a_program(workshop: Workshop, wader: Aircraft) -> None:
    wader.order("set channel-2 1234")
    done = workshop.run("readings", "--port", wader.port, "--json")
    data = json.loads(done.out)
    by_name = {(r["quantity"], r["number"]): r for r in data["readings"]}
    felt = wader.order("felt")
    assert by_name["channel", 2]["value"] == felt["channel-2"] == 1234
    assert by_name["pitch", None]["value"] == pytest.approx(felt["pitch"])
    assert by_name["pitch", None]["words"] == "0.6 deg nose down"
    assert data["not_believed"] == data["not_told"] == []
    assert data["outputs"]["live"] is False


def test_a_console_that_tells_nothing_says_so(workshop: Workshop) -> None:
    with aircraft(workshop, "--console", "knot", "--settings", "60") as knot:
        done = workshop.run("readings", "--port", knot.port)
        assert done.code == ExitCode.TROUBLE
        assert "no way to tell readings" in done.err
        assert workshop.run("identify", "--port", knot.port).code == ExitCode.SAME


@pytest.mark.parametrize("console", ["turnstone", "scoter", "avocet"])
def test_other_consoles_tell_the_same_aircraft(
    workshop: Workshop, console: str
) -> None:
    with aircraft(workshop, "--console", console, "--settings", "60") as board:
        board.order("tip pitch -12.0")
        done = workshop.run("readings", "--port", board.port)
        assert done.code == ExitCode.SAME, done.err
        assert "pitch          12.0 deg nose down" in done.out.splitlines()


def test_the_dunlin_tells_it_once_somebody_has_logged_in(workshop: Workshop) -> None:
    with aircraft(workshop, "--console", "dunlin", "--settings", "60") as board:
        board.order("tip pitch 12.0")
        answers = {"User of the board": "bench", "Word of that user": "reed"}
        code, said = workshop.at_terminal(
            "readings", "--port", board.port, answers=answers
        )
        assert code == ExitCode.SAME
        assert "pitch          12.0 deg nose up" in said


def test_orders_that_make_no_sense_are_answered(wader: Aircraft) -> None:
    assert wader.order("set lean 5")["error"]
    assert wader.order("set roll up")["error"]
    assert wader.order("tip nose 5") == {"error": "say it as: tip roll 5"}
