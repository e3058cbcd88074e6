"""Work at the jig that is broken off: what was read is on paper, and can be gone on from."""

import json
import re
import signal
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.faces.jig_hand import READING, Answer, JigHand, converse, on_the_rail
from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.spinning import KEY, Step, Watcher, lapwing, proofs, spinning
from tests.faces.wiggling import Watcher as Wiggler
from tests.faces.wiggling import at_terminal

if TYPE_CHECKING:
    from subprocess import Popen

FEW = ("--settings", "80", "--tilts-follow")
CENTRE = ("centre", "left", "--servo", "unknown")
GO_ON = r"Go on from (\d+) readings?\? Is all as it was.*\[yes/no\] $"
RIGHT_DEG = 1.0


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def records(workshop: Workshop) -> list[str]:
    found = sorted(workshop.folder.rglob("*.record.yaml"))
    return [path.read_text(encoding="utf-8") for path in found]


def readings(record: str) -> tuple[int, int]:
    """Of a record: all, and the earlier ones among them."""
    taken = re.findall(r"^      - \{.* for: .*\}$", record, re.MULTILINE)
    return len(taken), sum("earlier: yes" in line for line in taken)


def step(workshop: Workshop, name: str) -> dict[str, str]:
    steps = json.loads(workshop.run("job", "--json").out)["steps"]
    return next(one for one in steps if one["step"] == name)


def after(count: int, hand: JigHand, act: Callable[[], object]) -> Answer:
    """Read the jig so many times; at the next one something else happens."""
    left = [count]

    def read(found: re.Match[str]) -> str:
        left[0] -= 1
        if left[0] >= 0:
            return hand.answer_reading(found[1])
        act()
        return ""

    return read


def broken_off(workshop: Workshop, craft: Aircraft, hand: JigHand, count: int) -> str:
    """Centre the left arm until the cable falls out, and plug it in again."""
    pulled = after(count, hand, lambda: craft.order("unplug"))
    code, said = converse(
        workshop, *CENTRE, answers={**hand.answers(), READING: pulled}
    )
    assert code == 2, said
    craft.order("replug")
    return said


def test_a_cable_that_falls_out_loses_no_reading_and_centring_goes_on_from_them(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        hand = on_the_rail(craft)
        said = broken_off(workshop, craft, hand, 3)
        (record,) = records(workshop)
        assert "Nothing read is lost: 3 readings of the left arm, in records/" in said
        assert said.index("Nothing read is lost") < said.index("benchlink: /dev/pts")
        assert readings(record) == (3, 0)
        assert "begun again today, can go on from what was read." in said
        assert 'went away while it was open; 3 readings of the left arm"' in record
        assert "right: no" in record
        told = step(workshop, "centre")
        assert told["state"] != "done"
        assert re.match(
            r"broken off at \d\d:\d\d after 3 readings of the left arm", told["why"]
        )
        hand.wait_until_still()
        code, said = converse(
            workshop, *CENTRE, answers={**hand.answers(), GO_ON: "yes"}
        )
        assert code == 0, said
        assert "(builder): 3 readings of it can still count." in said
        proven = records(workshop)[1]
        assert "broken_off" not in proven
        assert "right: no" not in proven
        count, earlier = readings(proven)
        assert earlier == 3
        assert f"readings, beside {earlier} earlier)" in proven
        servo = craft.order("servos")["left"]
        assert isinstance(servo, dict)
        assert abs(float(servo["true_deg"])) <= RIGHT_DEG
        assert step(workshop, "centre")["why"] == "the right side is still to do"
        fresh = _fresh(workshop, hand)
        assert count - earlier < fresh


def _fresh(workshop: Workshop, hand: JigHand) -> int:
    """How many readings it takes without any that were taken before."""
    code, said = converse(workshop, *CENTRE, answers=hand.answers())
    assert code == 0, said
    assert "Go on from" not in said
    return readings(records(workshop)[-1])[0]


def test_without_a_yes_it_begins_afresh_and_a_moved_horn_is_not_asked_about(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        hand = on_the_rail(craft)
        broken_off(workshop, craft, hand, 2)
        pulled = after(1, hand, lambda: craft.order("unplug"))
        answers = {**hand.answers(), GO_ON: "no", READING: pulled}
        code, said = converse(workshop, *CENTRE, answers=answers)
        assert code == 2, said
        assert "The left arm is begun afresh." in said
        assert readings(records(workshop)[1]) == (1, 0)
        craft.order("replug")
        by_hand = ("--operator", "builder", "--note", "new horn")
        assert workshop.run("job", "changed", "servo", *by_hand).code == 0
        answers |= {READING: after(0, hand, lambda: craft.order("unplug"))}
        code, said = converse(workshop, *CENTRE, answers=answers)
        assert "Go on from" not in said
        assert "Nothing read is lost" not in said
        assert len(records(workshop)) == 3


def test_readings_from_before_a_horn_was_moved_are_kept_and_not_gone_on_from(
    workshop: Workshop,
) -> None:
    horn = r"(?s)move it (one|\d+) (?:tooth|teeth) (forward|aft).*Enter when it sits"
    with aircraft(workshop, *FEW) as craft:
        hand = on_the_rail(craft)
        craft.order("horn left +1")
        answers = {**hand.answers(), horn: "s"}
        code, said = converse(workshop, *CENTRE, answers=answers)
        assert code == 2
        assert "Nothing read is lost: 1 reading of the left arm" in said
        (record,) = records(workshop)
        assert "horn_moved: yes" in record
        assert "begun again today" not in said
        code, said = converse(workshop, *CENTRE, answers=hand.answers())
        assert code == 0, said
        assert "Go on from" not in said


@pytest.mark.parametrize("at", ["agreeing", "proving"])
def test_after_the_last_reading_as_well_nothing_is_lost(
    workshop: Workshop, at: str
) -> None:
    with aircraft(workshop, *FEW) as craft:
        hand = on_the_rail(craft)
        running: list[Popen[bytes]] = []

        def interrupts(_: re.Match[str]) -> str:
            running[0].send_signal(signal.SIGINT)
            return ""

        prompts = {
            "agreeing": r"Write .* values? to the board\? \[yes/no\] $",
            "proving": r"(?s)Proof, (left|right)[^$]*The jig shows.*: $",
        }
        answers = {**hand.answers(), prompts[at]: interrupts}
        code, said = converse(
            workshop, *CENTRE, answers=answers, started=running.append
        )
        assert code == 130, said
        (record,) = records(workshop)
        count, _ = readings(record)
        assert f"Nothing read is lost: {count} readings of the left arm" in said
        assert '  - "found: left: centre 14' in record
        kept = "the board holds it: kept, and equal after the restart" in record
        assert kept is (at == "proving")
        assert step(workshop, "centre")["state"] != "done"


def test_where_no_file_can_be_written_both_are_said_and_the_readings_stand_there(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        hand = on_the_rail(craft)

        def no_room() -> None:
            (workshop.folder / "records").write_text("")
            craft.order("unplug")

        answers = {**hand.answers(), READING: after(1, hand, no_room)}
        code, said = converse(workshop, *CENTRE, answers=answers)
        assert code == 2
        assert "NOT written down: 1 reading of the left arm. " in said
        assert re.search(r"left: \d+\.\d deg (aft|forward) at 1500 us", said)
        assert "went away while it was open" in said


@pytest.mark.timeout(120)
def test_an_interrupt_in_the_throw_of_the_second_arm_keeps_what_both_showed(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        hand = on_the_rail(craft)
        both = ("both", "--servo", "unknown")
        assert converse(workshop, "centre", *both, answers=hand.answers())[0] == 0
        throw = ("throw", "both", "--forward", "32", "--aft", "30")
        running: list[Popen[bytes]] = []

        def read(found: re.Match[str]) -> str:
            if found[1] == "right":
                return interrupted(found)
            return hand.answer_reading(found[1])

        interrupted = after(1, hand, lambda: running[0].send_signal(signal.SIGINT))
        code, said = converse(
            workshop,
            *throw,
            answers={**hand.answers(), READING: read},
            started=running.append,
        )
        assert code == 130, said
        assert "1 reading of the right arm, in records/" in said
        record = records(workshop)[-1]
        assert 'result: "broken off: interrupted; ' in record
        assert "\n  left:\n" in record
        assert '  - "found: left: 3' in record
        assert step(workshop, "throw")["why"].startswith("broken off at ")
        assert step(workshop, "centre")["state"] == "done"
        code, said = converse(
            workshop, *throw, answers={**hand.answers(), GO_ON: "yes"}
        )
        assert code == 0, said
        assert "Go on from 1 reading?" in said
        assert step(workshop, "throw")["state"] == "done"


def test_a_cable_that_falls_out_in_the_spin_loses_no_motor(workshop: Workshop) -> None:
    with lapwing(workshop, "wader") as craft:
        watcher = Watcher(craft)
        with spinning(workshop, craft, "--hand", "outboard-down") as bench:
            bench.play([*proofs(), *watcher.motor(), Step(KEY, b"", ("unplug",))])
            assert bench.end() == 2
        assert (
            "Nothing read is lost: 1 motor tried, 4 runs that the board" in bench.said
        )
        (record,) = records(workshop)
        assert 'about: "left motor"' in record
        assert 'answer: "left"' in record
        assert record.count("the board ends a run by itself") == 4
        craft.order("replug")
        told = step(workshop, "spin")
        assert told["state"] != "done"
        assert "after 1 motor tried" in told["why"]


def test_a_cable_that_falls_out_in_the_wiggle_test_loses_no_answer(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        on_the_rail(craft)
        person, watched = Wiggler(craft), list[str]()

        def answer(prompt: str) -> str | None:
            if "press Enter" in prompt and prompt.endswith(": "):
                watched.append(prompt)
                if len(watched) > 1:
                    craft.order("unplug")
                    return ""
            return person.answer(prompt)

        code, said = at_terminal(workshop, "outputs", "--wiggle", answer=answer)
        assert code == 2, said
        assert "Nothing read is lost: 1 output tried, in records/" in said
        (record,) = records(workshop)
        assert 'answer: "the left tilt, forward with a longer pulse"' in record
        craft.order("replug")
        assert "after 1 output tried" in step(workshop, "wiggle")["why"]
