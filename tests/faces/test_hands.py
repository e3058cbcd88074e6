"""The hands on a simulated aircraft: orders, deeds in words, and what is hidden."""

import os
import signal
import subprocess
import threading
import time
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from benchlink.errors import RigError
from benchlink.faces import hidden_faults, simulated
from benchlink.faces.hand_keys import COLUMNS, SIDE_KEY, hint_for, side_in, words_of
from benchlink.faces.hands import DEEDS, Look, deed_of, do, look
from benchlink.faces.simulated import SimulatedAircraft
from tests.faces.running import WITHIN_S, Workshop, command

FEW = ("--settings", "60")
EVERYTHING_ON = Look(
    pack=True, supply=True, usb=False, props=True, radio=True, stick="back"
)


@pytest.fixture
def aircraft(tmp_path: Path) -> Iterator[SimulatedAircraft]:
    with SimulatedAircraft(FEW, tmp_path) as started:
        yield started


def said(aircraft: SimulatedAircraft, words: str) -> str:
    deed = deed_of(words)
    assert deed is not None
    return do(deed, aircraft).sentence


def until_still(aircraft: SimulatedAircraft) -> None:
    """Until the left arm has arrived where it was sent."""
    by = time.monotonic() + WITHIN_S
    while "'still'" not in str(aircraft.order("servos")["left"]):
        assert time.monotonic() < by


def test_every_deed_can_be_done(aircraft: SimulatedAircraft) -> None:
    for words in DEEDS:
        if words == "cable out":
            continue
        assert "cannot be done" not in said(aircraft, words), words


@pytest.mark.parametrize("seen", [Look(), EVERYTHING_ON])
def test_every_key_has_a_deed_of_its_own(seen: Look) -> None:
    keys = [key for column in COLUMNS for key, _ in column]
    assert len(set(keys)) == len(keys)
    done = [words_of(key, seen, "right") for key in keys if key != SIDE_KEY]
    assert [words for words in done if deed_of(words) is None] == []
    assert len(set(done)) == len(done)


def test_every_deed_has_a_key() -> None:
    keyed = {
        words_of(key, seen, side)
        for seen in (Look(), EVERYTHING_ON)
        for side in ("left", "right")
        for column in COLUMNS
        for key, _ in column
    }
    assert set(DEEDS) <= keyed


def test_what_is_done_is_told_in_words_of_the_bench(
    aircraft: SimulatedAircraft,
) -> None:
    assert "servo rail 5.0 V" in said(aircraft, "supply on")
    assert said(aircraft, "Left  Jig").startswith("The jig on the left arm shows ")
    assert said(aircraft, "what moved").startswith("Nothing has moved")
    aircraft.order("tilts follow")
    said(aircraft, "stick forward")
    until_still(aircraft)
    moved = said(aircraft, "what moved")
    assert "the left arm went" in moved
    assert "deg forward" in moved
    assert "tilt-left on p4" in said(aircraft, "swap tilt plugs")
    assert "`props off` would be a lie" in said(aircraft, "props on")
    assert str(look(aircraft)) == (
        "pack out, supply on, cable in, props on, radio on, stick forward"
    )


def test_the_jig_reads_as_the_question_takes_it(aircraft: SimulatedAircraft) -> None:
    for way, offset in (("forward", 9), ("aft", -9)):
        aircraft.order(f"servo left offset-deg {offset}")
        deed = deed_of("left jig")
        assert deed is not None
        assert do(deed, aircraft).reading.endswith(f" {way}")


def test_a_cable_that_was_out_has_another_port(aircraft: SimulatedAircraft) -> None:
    told: list[str] = []
    aircraft.on_new_port = told.append
    first = aircraft.port
    said(aircraft, "cable out")
    back = said(aircraft, "cable in")
    assert aircraft.port in back
    assert aircraft.port != first
    assert told == [aircraft.port]


def test_orders_from_several_threads_get_their_own_answers(
    aircraft: SimulatedAircraft,
) -> None:
    wrong: list[Mapping[str, object]] = []

    def ask(number: int) -> None:
        for _ in range(30):
            answer = aircraft.order(f"set roll {number}")
            if answer != {"roll": float(number)}:
                wrong.append(answer)

    threads = [threading.Thread(target=ask, args=(n,)) for n in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(WITHIN_S)
    assert wrong == []


def test_an_answer_that_came_too_late_is_no_answer_to_the_next_order(
    aircraft: SimulatedAircraft, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.kill(aircraft.process.pid, signal.SIGSTOP)
    monkeypatch.setattr(simulated, "ANSWER_WITHIN_S", 0.0)
    with pytest.raises(RigError, match="does not answer"):
        aircraft.order("set roll 1")
    os.kill(aircraft.process.pid, signal.SIGCONT)
    monkeypatch.setattr(simulated, "ANSWER_WITHIN_S", WITHIN_S)
    assert aircraft.order("set pitch 2") == {"pitch": 2.0}


def test_line_ends_in_an_order_make_it_no_second_one(
    aircraft: SimulatedAircraft,
) -> None:
    assert "error" in aircraft.order("props on\nquit")
    assert aircraft.order("set roll 1") == {"roll": 1.0}


def test_an_aircraft_that_is_gone_is_told_at_every_order(
    aircraft: SimulatedAircraft,
) -> None:
    aircraft.order("quit")
    for _ in range(2):
        with pytest.raises(RigError, match="the simulated aircraft is gone"):
            aircraft.order("look")


def test_what_was_hidden_is_told_with_what_became_of_it(tmp_path: Path) -> None:
    with SimulatedAircraft((*hidden_faults.ARGUMENTS, *FEW), tmp_path) as craft:
        before = "\n".join(hidden_faults.reveal(craft))
        said(craft, "left horn aft")
        said(craft, "right motor leads")
        after = "\n".join(hidden_faults.reveal(craft))
        said(craft, "left horn aft")
        worse = "\n".join(hidden_faults.reveal(craft))
    assert "it is still there" in before
    assert "both still turn the same way" in before
    assert "it sits right now" in after
    assert "they turn against each other now" in after
    assert "it is 1 too far aft now" in worse


def test_the_side_in_question_is_the_one_that_is_named_alone() -> None:
    assert side_in("the right tilt arm at 1500 us", "left") == "right"
    assert side_in("left or right?", "left") == "left"
    assert side_in("The jig shows: ", "right") == "right"


def test_a_hint_fits_a_line_and_each_station_has_one() -> None:
    verbs = ("", "apply", "outputs", "centre", "throw", "trim", "spin")
    assert len({hint_for(verb) for verb in verbs}) == len(verbs)
    assert max(len(hint_for(verb)) for verb in verbs) <= 78


def test_a_served_aircraft_takes_words_of_the_bench_and_orders(tmp_path: Path) -> None:
    typed = "hands\nsupply on\n\nRIGHT jig\nset roll 3\nnonsense\ncable in\nquit\n"
    workshop = Workshop(tmp_path)
    served = subprocess.run(
        command("rehearse", "--serve", *FEW),
        input=typed,
        cwd=workshop.folder,
        env=workshop.environment,
        capture_output=True,
        text=True,
        timeout=WITHIN_S,
        check=False,
    )
    lines = served.stdout.splitlines()
    assert "supply on            a bench supply of 5 V on the servo rail" in lines
    assert "Pack 0.0 V, servo rail 5.0 V." in lines
    assert any(line.startswith("The jig on the right arm shows ") for line in lines)
    assert '{"roll": 3.0}' in lines
    assert any("no such order: 'nonsense'" in line for line in lines)
    assert any(line.startswith("port /") for line in lines)
    assert "`hands` lists it all" in served.stderr
    assert served.returncode == 0
