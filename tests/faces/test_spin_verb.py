"""`benchlink spin` on the simulated aircraft, over several consoles."""

import json
import signal
import subprocess
from pathlib import Path

import pytest

from tests.faces.running import WITHIN_S, Workshop, command
from tests.faces.spinning import (
    HAND,
    IN,
    KEY,
    OPEN,
    OUT,
    PROPS,
    SENTENCE,
    SPIN,
    WAY,
    WHAT,
    Step,
    Watcher,
    lapwing,
    never_span_with_props,
    proofs,
    spinning,
)

SPINNERS = ("wader", "turnstone", "avocet", "scoter")
OUTBOARD = ("--hand", "outboard-down")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


@pytest.mark.parametrize("console", SPINNERS)
def test_a_reversed_motor_is_found_and_a_paste_runs_nothing(
    workshop: Workshop, console: str
) -> None:
    with lapwing(workshop, console) as craft:
        craft.order("motor left swapped yes")
        watcher = Watcher(craft)
        with spinning(workshop, craft, *OUTBOARD) as bench:
            bench.play(proofs())
            bench.play([Step(KEY, lambda: watcher.looks_away() * 300)])
            bench.await_words("as a paste does: nothing runs")
            assert craft.order("moved") == {}
            bench.play([*watcher.motor(), *watcher.motor()])
            assert bench.end() == 1
        said = bench.said
        assert "left meant: left, anticlockwise from above (8 % for 0.5 s" in said
        assert "right meant: right, anticlockwise from above" in said
        assert (
            "Left turns anticlockwise seen from above; for outboard-down it must turn"
            " clockwise." in said
        )
        assert "swap any two of its three motor leads, pack out; or change `" in said
        assert "Right turns" not in said
        assert never_span_with_props(craft)
    (record,) = workshop.folder.rglob("*spin.record.yaml")
    text = record.read_text(encoding="utf-8")
    assert "the board ends a run by itself" in text
    assert "anticlockwise" in text
    assert "builder" in text


def test_a_pair_in_order_is_told_and_written_as_data(workshop: Workshop) -> None:
    with lapwing(workshop, "wader") as craft:
        watcher = Watcher(craft)
        with spinning(workshop, craft, "--json", "--out", "spin.json") as bench:
            bench.play([Step(HAND, b"?\n"), *proofs()])
            bench.play([*watcher.motor(), *watcher.motor()])
            assert bench.end() == 0
        assert "It rests, and would not arm now: no radio link" in bench.said
    data = json.loads((workshop.folder / "spin.json").read_text(encoding="utf-8"))
    assert (
        data["outcome"] == "Both motors turn as ordered, a pair that is outboard-down."
    )
    assert [seen["turned"] for seen in data["seen"]] == ["left", "right"]
    assert [(proof["motor"], proof["pack_in"]) for proof in data["expiry_proofs"]] == [
        ("left", False),
        ("right", False),
        ("left", True),
        ("right", True),
    ]


def test_swapped_outputs_are_found(workshop: Workshop) -> None:
    with lapwing(workshop, "turnstone") as craft:
        craft.order("swap p1 p2")
        watcher = Watcher(craft)
        with spinning(workshop, craft, *OUTBOARD) as bench:
            bench.play([*proofs(), *watcher.motor(), *watcher.motor()])
            assert bench.end() == 1
        assert "The two motors are swapped" in bench.said


def test_what_a_spin_rests_on_is_named_and_without_a_yes_nothing_spins(
    workshop: Workshop,
) -> None:
    with lapwing(workshop, "wader") as craft:
        code, said = workshop.at_terminal(*SPIN, *OUTBOARD, answers={OPEN: "no"})
        assert code == 2
        assert "Not done yet: first power, limited; transmitter off, props off." in said
        assert "Nothing was moved." in said
        for step in ("power", "radio", "failsafe"):
            words = ("--operator", "builder", "--note", "seen")
            done = workshop.run("job", "done", step, *words)
            assert done.code == 0, done.err
        gives_up = {OUT: "", "or Enter to stop": ""}
        code, said = workshop.at_terminal(*SPIN, *OUTBOARD, answers=gives_up)
        assert code == 2
        assert "Not done yet" not in said
        assert craft.order("moved") == {}


@pytest.mark.parametrize("console", SPINNERS)
def test_without_the_sentence_nothing_spins(workshop: Workshop, console: str) -> None:
    with lapwing(workshop, console) as craft:
        craft.order("disconnect pack")
        craft.order("props on")
        with spinning(workshop, craft, *OUTBOARD) as bench:
            bench.play([Step(PROPS, b"yes\n"), Step("or Enter to stop", b"\n")])
            assert bench.end() == 2
        assert "props off was not confirmed for LW-03" in bench.said
        assert craft.order("moved") == {}
        assert never_span_with_props(craft)


@pytest.mark.parametrize(
    ("console", "expiry", "figure"),
    [
        ("wader", "long", "the board went on for"),
        ("wader", "absent", "still driving after 6"),
        ("turnstone", "long", "the board went on for"),
        ("avocet", "absent", "still driving after 6"),
        ("scoter", "long", "the board went on for"),
    ],
)
def test_a_board_that_does_not_end_a_run_in_time_is_refused(
    workshop: Workshop, console: str, expiry: str, figure: str
) -> None:
    with lapwing(workshop, console) as craft:
        craft.order(f"expiry {expiry}")
        with spinning(workshop, craft, *OUTBOARD) as bench:
            bench.play(proofs()[:2])
            bench.play([Step("Spin by radio now?", b"no\n")])
            assert bench.end() == 2
        assert figure in bench.said
        bench.await_spin(over=True)
        assert craft.order("moved") == {}


def test_nothing_but_typing_at_a_terminal_confirms(workshop: Workshop) -> None:
    said = SENTENCE.decode().strip()
    (workshop.folder / "job.yaml").write_text(f"{said}\n", encoding="utf-8")
    workshop.environment |= {"BENCHLINK_PROPS_OFF": said, "PROPS_OFF": "yes"}
    with lapwing(workshop, "wader") as craft:
        craft.order("props on")
        for more in ([], ["--yes"], ["job.yaml"], ["--profile", "job.yaml"]):
            done = subprocess.run(
                command(*SPIN, *OUTBOARD, *more),
                cwd=workshop.folder,
                env=workshop.environment,
                input=b"out\n" + SENTENCE * 9 + b" \n left\n",
                capture_output=True,
                timeout=WITHIN_S,
                check=False,
            )
            assert done.returncode == 2
            assert b"Traceback" not in done.stderr
        assert craft.order("moved") == {}
        lines = craft.order("received")["received"]
        assert isinstance(lines, list)
        assert not [line for line in lines if str(line).startswith("whirl")]
        assert never_span_with_props(craft)


def test_what_was_typed_ahead_confirms_nothing(workshop: Workshop) -> None:
    with lapwing(workshop, "wader") as craft:
        craft.order("disconnect pack")
        craft.order("props on")
        with spinning(workshop, craft, *OUTBOARD) as bench:
            bench.type(SENTENCE * 5)
            bench.play([Step(PROPS, b"\n")])
            assert bench.end() == 2
        assert never_span_with_props(craft)


def test_a_console_without_a_spin_is_refused_and_spun_by_radio(
    workshop: Workshop,
) -> None:
    with lapwing(workshop, "knot") as craft:
        with spinning(workshop, craft) as bench:
            bench.play(
                [
                    Step("Spin by radio now?", b"yes\n"),
                    Step(HAND, b"inboard-down\n"),
                    Step(PROPS, SENTENCE),
                    Step(IN, b"in\n", ("connect pack",)),
                    Step(PROPS, SENTENCE),
                    Step("Which one sped up?", b"left\n"),
                    Step(WAY, b"inboard-down\n"),
                    Step("Which one sped up?", b"right\n"),
                    Step(WAY, b"?\n"),
                ]
            )
            assert bench.end() == 2
        assert "no way to spin a motor for a time" in bench.said
        assert "`{time}` in its line, or with `expires-ms:`" in bench.said
        assert "right meant: right, way not seen (spun by radio)" in bench.said
        assert craft.order("moved") == {}


def test_an_armed_board_is_refused(workshop: Workshop) -> None:
    with lapwing(workshop, "wader") as craft:
        craft.order("outputs live")
        with spinning(workshop, craft) as bench:
            assert bench.end() == 2
        assert "are LIVE" in bench.said
        assert "Nothing was spun" in bench.said


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGHUP, signal.SIGKILL])
def test_whatever_ends_the_tool_during_a_burst_ends_the_burst(
    workshop: Workshop, number: signal.Signals
) -> None:
    with lapwing(workshop, "wader") as craft:
        with spinning(workshop, craft, "left", *OUTBOARD) as bench:
            bench.play([*proofs(), Step(KEY, b" ")])
            bench.await_spin()
            bench.process.send_signal(number)
            bench.process.wait(WITHIN_S)
            bench.await_spin(over=True)
        if number is not signal.SIGKILL:
            lines = craft.order("received")["received"]
            assert isinstance(lines, list)
            assert lines[-1] == "halt"


def test_the_answers_that_are_not_understood_are_asked_again(
    workshop: Workshop,
) -> None:
    with lapwing(workshop, "wader") as craft:
        with spinning(workshop, craft, "right") as bench:
            bench.play([Step(HAND, b"sideways\n"), Step(HAND, b"out\n"), *proofs()])
            bench.play([Step(KEY, b" "), Step(KEY, b"\n"), Step(WHAT, b"the other\n")])
            bench.play([Step(WHAT, b"right\n"), Step(WAY, b"left\n")])
            bench.play([Step(WAY, b"ccw\n")])
            assert bench.end() == 0
        assert "Right is as ordered; the other was not spun" in bench.said


def test_the_ceiling_is_bounded_and_a_high_one_is_asked_about(
    workshop: Workshop,
) -> None:
    assert workshop.run("spin", "--ceiling", "21").code == 2
    with lapwing(workshop, "wader") as craft:
        with spinning(workshop, craft, "--ceiling", "15") as bench:
            bench.play([Step("15 % is above the usual 10 %", b"no\n")])
            assert bench.end() == 2
        assert craft.order("moved") == {}


def test_a_pack_that_is_said_to_be_out_and_is_in_is_not_believed(
    workshop: Workshop,
) -> None:
    with lapwing(workshop, "wader") as craft:
        with spinning(workshop, craft, *OUTBOARD) as bench:
            bench.play([Step(OUT, b"out\n")] * 3)
            assert bench.end() == 2
        assert "The board still tells otherwise" in bench.said
        assert "the pack is not out" in bench.said
        assert IN not in bench.said
