"""`benchlink job` as a process: the steps, what a person says, and a signature."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faces.jig_hand import JigHand, converse
from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.scripted_terminal import at_terminal, nothing

BY_HAND = ("--operator", "the assistant", "--note", "as it should be")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


@pytest.fixture
def wader(workshop: Workshop) -> Iterator[Aircraft]:
    with aircraft(workshop, "--settings", "80", "--tilts-follow") as running:
        made = workshop.run("aircraft", "LW-03", "--title", "Lapwing 3")
        assert made.code == 0, made.err
        yield running


def states(workshop: Workshop) -> dict[str, dict[str, object]]:
    done = workshop.run("job", "--json")
    return {step["step"]: step for step in json.loads(done.out)["steps"]}


def records(workshop: Workshop) -> list[str]:
    folder = workshop.folder / "aircraft/LW-03/records"
    return [path.read_text() for path in sorted(folder.glob("*"))]


def change(workshop: Workshop, name: str, value: str) -> None:
    done = workshop.run("change", name, value, "--reason", "a trial", "--yes")
    assert done.code == 0, done.err


@pytest.mark.usefixtures("wader")
def test_the_steps_are_told_with_what_is_next(workshop: Workshop) -> None:
    assert workshop.run("backup").code == 0
    done = workshop.run("job")
    assert done.code == 1
    lines = done.out.splitlines()
    assert lines[0].startswith("LW-03, as backed up on ")
    assert lines[0].endswith("; 17 steps open.")
    assert lines[2] == "[>] next     papers       papers, masses and parts"
    assert any(line.startswith("[x] done     copy ") for line in lines)
    assert "[ ] open     centre       centre of both tilts" in lines
    assert "Next: papers, masses and parts." in done.out
    assert "`benchlink job done papers` writes it down." in " ".join(done.out.split())


@pytest.mark.usefixtures("wader")
def test_a_step_by_hand_is_recorded_and_counts_until_what_it_rests_on_changes(
    workshop: Workshop,
) -> None:
    done = workshop.run("job", "done", "mounting", *BY_HAND)
    assert done.code == 0, done.err
    (record,) = records(workshop)
    assert 'work: step\nabout: "mounting"\n' in record
    assert 'operator: "the assistant"' in record
    assert '  - {name: "mount.yaw_deg", value: "0.0"}' in record
    assert states(workshop)["mounting"]["state"] == "done"
    code, said = at_terminal(
        workshop,
        ("change", "mount.yaw_deg", "90", "--reason", "turned round"),
        [("Type 'hands clear'", nothing, "hands clear"), ("[yes/no]", nothing, "yes")],
    )
    assert code == 0, said
    told = states(workshop)["mounting"]
    assert (told["state"], told["why"]) == (
        "to do again",
        "mount.yaw_deg is 90.0 now, 0.0 then",
    )


@pytest.mark.usefixtures("wader")
def test_how_the_board_sits_is_shown_as_often_as_it_is_laid_down(
    workshop: Workshop,
) -> None:
    code, said = at_terminal(
        workshop,
        ("job", "done", "mounting"),
        [
            ("in another pose? [yes/no]", nothing, "yes"),
            ("in another pose? [yes/no]", nothing, "no"),
            ("Is all of that done, and right?", nothing, "yes"),
            ("Who works here", nothing, "the builder"),
            ("What was read or seen", nothing, "level, nose down, right side down"),
        ],
    )
    assert code == 0, said
    assert said.count("accelerometer") == 2
    assert said.count("not pitching") == 2
    assert states(workshop)["mounting"]["state"] == "done"


@pytest.mark.usefixtures("wader")
def test_something_new_on_the_aircraft_undoes_its_steps(workshop: Workshop) -> None:
    assert workshop.run("job", "done", "radio", *BY_HAND).code == 0
    done = workshop.run("job", "changed", "radio", *BY_HAND)
    assert done.code == 0, done.err
    assert "sticks and switches; transmitter off, props off" in done.out
    assert states(workshop)["radio"]["state"] == "to do again"


@pytest.mark.usefixtures("wader")
def test_at_a_terminal_it_asks_for_all_that_a_record_needs(workshop: Workshop) -> None:
    code, said = at_terminal(
        workshop,
        ("job", "done", "papers"),
        [
            ("Is all of that done, and right?", nothing, "yes"),
            ("Who works here", nothing, ""),
            ("A name or initials are needed. Who works here", nothing, "the builder"),
            ("What was read or seen", nothing, "1.12 kg"),
        ],
    )
    assert code == 0, said
    assert 'result: "1.12 kg"' in records(workshop)[0]
    code, said = at_terminal(
        workshop,
        ("job", "changed"),
        [
            ("What was changed?", nothing, "the pack"),
            ("Not one of: ", nothing, "battery"),
            ("Who works here", nothing, "the builder"),
            ("Which one, and why", nothing, "new strap"),
        ],
    )
    assert code == 0, said
    assert 'result: "the battery sits elsewhere: new strap"' in records(workshop)[1]
    assert "Enter: the builder" not in said


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("done", "centre"), "nobody's word proves that"),
        (("done", "papers"), "nobody said that this is done"),
        (("done", "sign"), "steps are open, and nobody said why that may be"),
        (("changed",), "nobody said what was changed"),
        (("changed", "battery"), "nobody said who is working here"),
    ],
)
@pytest.mark.usefixtures("wader")
def test_what_nobody_said_is_not_written(
    workshop: Workshop, words: tuple[str, ...], told: str
) -> None:
    done = workshop.run("job", *words)
    assert done.code == 2
    assert told in done.err
    assert records(workshop) == []


@pytest.mark.parametrize("words", [("done", "nonsense"), ("done",), ("changed", "x")])
def test_a_word_that_names_nothing_is_refused_before_a_port_is_opened(
    workshop: Workshop, words: tuple[str, ...]
) -> None:
    done = workshop.run("job", *words)
    assert done.code == 2
    assert "One of: " in done.err


def test_what_a_station_recorded_counts_until_the_board_holds_another_centre(
    workshop: Workshop, wader: Aircraft
) -> None:
    for order in ("disconnect pack", "connect rail"):
        wader.order(order)
    hand = JigHand(wader)
    for hand.side in ("left", "right"):
        hand.wait_until_still()
    wader.order("moved")
    code, said = converse(
        workshop,
        *("centre", "both", "--servo", "unknown"),
        answers=hand.answers(),
    )
    assert code == 0, said
    assert states(workshop)["centre"]["state"] == "done"
    code, said = at_terminal(
        workshop,
        ("change", "tilt.left.centre_us", "1530", "--reason", "a trial"),
        [("Type 'hands clear'", nothing, "hands clear"), ("[yes/no]", nothing, "yes")],
    )
    assert code == 0, said
    why = str(states(workshop)["centre"]["why"])
    assert why.startswith("the left centre is 1530 us now, ")


@pytest.mark.usefixtures("wader")
def test_a_signature_keeps_a_copy_and_names_what_was_changed_since(
    workshop: Workshop,
) -> None:
    done = workshop.run("job", "done", "sign", *BY_HAND)
    assert done.code == 0, done.err
    (record,) = records(workshop)
    (copy,) = (workshop.folder / "aircraft/LW-03/backups").iterdir()
    assert f'  - "copy: {copy.name}"' in record
    assert 'what: "open: first power, limited", reason: "as it should be"' in record
    assert "signed by the assistant" in copy.read_text()
    change(workshop, "craft.call", "Tern")
    told = workshop.run("job").out
    assert ", as signed on " in told
    assert ", except 1 value; " in told
    assert states(workshop)["sign"]["why"] == "changed since it was signed: craft.call"


@pytest.mark.usefixtures("wader")
def test_nothing_is_done_on_a_recording(workshop: Workshop) -> None:
    assert workshop.run("job", "--record", "x.jsonl").code == 1
    replay = ("--port", "replay://x.jsonl")
    assert workshop.run("job", *replay).code == 1
    done = workshop.run("job", "done", "papers", *BY_HAND, *replay)
    assert done.code == 2
    assert "a recording plays the board" in done.err
