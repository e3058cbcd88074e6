"""`benchlink outputs` as a process: the map, what a plan would do to it, the wiggle test."""

import json
from pathlib import Path

import pytest

from benchlink.faces.exit_codes import ExitCode
from tests.faces.running import Aircraft, Workshop, aircraft, clean
from tests.faces.wiggling import Watcher, at_terminal

DRIVEN = ("wader", "turnstone", "avocet", "scoter")
"""Consoles that can drive an output."""
FEW = ("--settings", "60")
MOVERS = ("swing p", "send 1", "AT+PUSH", "*CLS;:OUTPut:DRIVe")
"""How the lines begin that move an output."""
ON_TIMER_A = "change output.p2.job tilt-left --reason moved --plan-only"


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def power(craft: Aircraft, pack: str) -> None:
    """The servos have volts, from the pack or from a bench supply."""
    leads = {"in": ("connect pack",), "out": ("disconnect pack", "connect rail")}
    for order in leads[pack]:
        craft.order(order)


def moved_anything(craft: Watcher) -> bool:
    lines = craft.craft.order("received")["received"]
    assert isinstance(lines, list)
    return any(str(line).startswith(MOVERS) for line in lines)


# The map


def test_a_sound_map_is_shown_and_exits_with_nothing_to_do(workshop: Workshop) -> None:
    with aircraft(workshop) as craft:
        done = workshop.run("outputs", "--port", craft.port)
    assert (done.code, done.err) == (ExitCode.SAME, "")
    assert clean(done.out)
    told = done.out.splitlines()
    assert "p3  the left tilt servo   50 Hz  900 to 2100 us  timer B" in told
    assert "free: p5, p6, p7, p8, p9, p10, p11, p12" in told
    assert "Nothing is wrong with this map, as far as settings tell." in told


def test_findings_come_with_their_remedies_and_exit_with_one(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        craft.order("put output.p4.job tilt-left")
        craft.order("put tilt.left.rate_hz 333")
        done = workshop.run("outputs", "--port", craft.port)
        named = workshop.run("outputs", "--json", "--port", craft.port)
    assert done.code == named.code == ExitCode.DIFFERS
    assert "! The left tilt servo has 2 pads: p3, p4." in done.out
    assert "! No pad drives the right tilt servo." in done.out
    assert "! Nobody said which servo hangs on p3 (the left tilt servo)" in done.out
    assert "Nothing is wrong" not in done.out
    data = json.loads(named.out)
    assert [finding["about"] for finding in data["findings"]] == [
        "faster than the servo takes",
        "faster than the servo takes",
        "one job at two pads",
        "a job at no pad",
    ]
    assert data["outputs"][2]["drives"] == "tilt-left"
    assert data["outputs"][2]["rate_hz"] == 333


def test_a_servo_that_was_named_has_its_makers_limit(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        for side in ("left", "right"):
            craft.order(f"put tilt.{side}.rate_hz 200")
        unknown = workshop.run("outputs", "--port", craft.port)
        named = workshop.run("outputs", "--port", craft.port, "--servo", "samphire-20")
        nobody = workshop.run("outputs", "--port", craft.port, "--servo", "no-such")
    assert (unknown.code, named.code) == (ExitCode.DIFFERS, ExitCode.SAME)
    assert nobody.code == ExitCode.TROUBLE
    assert "there is no servo 'no-such'" in nobody.err


# What a plan would bring about


def test_a_plan_says_what_it_would_do_to_the_outputs(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        craft.order("put output.p1.rate_hz 400")
        craft.order("put output.p4.job nothing")
        done = workshop.run(*ON_TIMER_A.split(), "--port", craft.port)
    assert done.code == ExitCode.DIFFERS
    plan = " ".join(done.out.split())
    assert "! This plan brings about: p2 (the left tilt servo, 50 Hz) and p1" in plan
    assert "! This plan brings about: No pad drives the right motor." in plan
    assert "! About the outputs one thing was to look at before already" in plan
    assert plan.index("MAY MOVE A MOTOR") < plan.index("This plan brings about")


# The wiggle test


@pytest.mark.parametrize("console", DRIVEN)
@pytest.mark.parametrize("pack", ["in", "out"])
def test_exchanged_plugs_are_found(workshop: Workshop, console: str, pack: str) -> None:
    with aircraft(workshop, *FEW, "--console", console) as craft:
        craft.order("swap p3 p4")
        power(craft, pack)
        before = craft.live()
        person = Watcher(craft)
        code, said = at_terminal(
            workshop,
            *("outputs", "--wiggle", "--port", craft.port, "--console", console),
            answer=person.answer,
        )
        assert code == ExitCode.DIFFERS, said
        assert "are exchanged" in said
        told = " ".join(said.split())
        assert "NO, the right tilt moved; a longer pulse tilts it forward" in told
        assert ("Type `out` then" in said) is (pack == "in")
        assert "type `props off" not in said
        assert moved_anything(person)
        assert craft.live() == before
        (record,) = workshop.folder.rglob("*outputs*.record.yaml")
        assert "are exchanged" in record.read_text(encoding="utf-8")
        assert craft.order("props")["ever-span-with-props"] is False


@pytest.mark.parametrize("console", ["wader", "turnstone"])
def test_the_correction_is_a_change_like_any_other(
    workshop: Workshop, console: str
) -> None:
    wiggle = ("outputs", "--wiggle", "--console", console, "--port")
    with aircraft(workshop, *FEW, "--console", console) as craft:
        craft.order("swap p3 p4")
        power(craft, "out")
        person = Watcher(craft, exchange="yes")
        code, said = at_terminal(workshop, *wiggle, craft.port, answer=person.answer)
        assert code == ExitCode.SAME, said
        assert "Done: 2 values written, read back, kept, and equal" in said
        assert craft.order("kept output.p3.job") == {"output.p3.job": "tilt-right"}
        again = Watcher(craft)
        code, said = at_terminal(workshop, *wiggle, craft.port, answer=again.answer)
        assert code == ExitCode.SAME, said
        assert "Every tilt servo hangs where the settings say." in said


def test_arms_that_would_go_against_each_other_are_found(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        craft.order("servo right reversed yes")
        power(craft, "out")
        person = Watcher(craft)
        code, said = at_terminal(
            workshop, "outputs", "--wiggle", "--port", craft.port, answer=person.answer
        )
        assert code == ExitCode.DIFFERS
        assert "tilt.left.direction or tilt.right.direction" in " ".join(said.split())
        craft.order("put tilt.right.direction reversed")
        code, said = at_terminal(
            workshop, "outputs", "--wiggle", "--port", craft.port, answer=person.answer
        )
        assert code == ExitCode.SAME, said


def test_a_dead_rail_is_said_before_and_after(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        craft.order("disconnect pack")
        person = Watcher(craft)
        code, said = at_terminal(
            workshop, "outputs", "--wiggle", "--port", craft.port, answer=person.answer
        )
    assert code == ExitCode.DIFFERS
    assert said.index("The servo rail has 0.0 V: no servo will move.") < said.index(
        "What moved?"
    )
    assert said.count("! Nothing moved when") == 2


def test_a_motor_on_a_servo_pad_ends_it_with_a_stop(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        craft.order("swap p1 p3")
        power(craft, "in")
        person = Watcher(craft, watching="motor")
        code, said = at_terminal(
            workshop, "outputs", "--wiggle", "--port", craft.port, answer=person.answer
        )
        received = craft.order("received")["received"]
        assert code == ExitCode.DIFFERS
        assert "! A MOTOR moved when p3 was wiggled" in said
        assert isinstance(received, list)
        assert received[-2:] == ["slack p3", "halt"]


def test_whoever_is_not_understood_is_asked_again_and_then_let_be(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        power(craft, "out")
        person = Watcher(craft, moved="that one")
        code, said = at_terminal(
            workshop, "outputs", "--wiggle", "--port", craft.port, answer=person.answer
        )
        received = craft.order("received")["received"]
        assert code == ExitCode.TROUBLE
        assert said.count("What moved?") == 5
        assert "nobody said what moved" in said
        assert isinstance(received, list)
        assert received[-1] == "halt"


def test_nothing_moves_while_a_pack_is_in(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        power(craft, "in")
        person = Watcher(craft, pack="props off LW-03")
        code, said = at_terminal(
            workshop, "outputs", "--wiggle", "--port", craft.port, answer=person.answer
        )
        assert code == ExitCode.TROUBLE
        assert "the pack is not out, or nobody said so" in said
        assert not moved_anything(person)


def test_in_a_pipe_nothing_moves(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        done = workshop.run("outputs", "--wiggle", "--port", craft.port)
        assert done.code == ExitCode.TROUBLE
        assert "Nothing was sent. Run it at a terminal." in done.err
        assert craft.received() == 0


def test_a_console_that_cannot_drive_says_what_to_do(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW, "--console", "knot") as craft:
        person = Watcher(craft)
        code, said = at_terminal(
            workshop,
            *("outputs", "--wiggle", "--port", craft.port, "--console", "knot"),
            answer=person.answer,
        )
    assert code == ExitCode.TROUBLE
    assert "has no way to drive an output" in said
    assert "Move each stick instead" in said
