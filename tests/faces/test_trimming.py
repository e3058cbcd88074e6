"""A trim after a flight, on simulated boards of three consoles, at a real terminal."""

import json
from pathlib import Path

import pytest

from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.identity import Identity
from benchlink.core.roles import OwnSide
from benchlink.core.servo_part import Turns
from benchlink.store.bench_records import BenchRecords
from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.scripted_terminal import at_terminal, nothing
from tests.support.bench_records import measured, record_of, side_work

CONSOLES = ("wader", "avocet", "turnstone")
CENTRES = ("tilt.left.centre_us", "tilt.right.centre_us")
CLEAR = {
    "Who works here": "the assistant",
    "Type 'hands clear'": "hands clear",
    "[yes/no]": "yes",
}
SMALL = ("--settings", "60")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def records(workshop: Workshop) -> BenchRecords:
    return BenchRecords(workshop.folder / "records", print)


def identity(workshop: Workshop) -> Identity:
    told = json.loads(workshop.run("identify", "--json").out)["board"]
    return Identity(
        board_type=told["type"], firmware=told["firmware"], number=told["number"]
    )


def centres(craft: Aircraft, order: str = "live") -> tuple[float, float]:
    values = craft.order(order)
    left, right = (float(str(values[name])) for name in CENTRES)
    return left, right


def measure(
    workshop: Workshop, craft: Aircraft, work: Work = Work.THROW
) -> BenchRecord:
    """What the jig would have told: left 10 us a degree, right 12 and mirrored."""
    left, right = centres(craft)
    event = record_of(
        work,
        side_work(OwnSide.LEFT, measured(Turns.FORWARD, centre_us=left), left),
        side_work(
            OwnSide.RIGHT, measured(Turns.AFT, us_per_deg=12, centre_us=right), right
        ),
        board=identity(workshop),
    )
    records(workshop).keep(event)
    return event


@pytest.mark.parametrize("console", CONSOLES)
def test_a_drift_is_trimmed_out_proven_and_recorded(
    workshop: Workshop, console: str
) -> None:
    with aircraft(workshop, *SMALL, "--console", console) as craft:
        measure(workshop, craft)
        before = craft.live()
        left, right = centres(craft)
        code, said = workshop.at_terminal(
            "trim",
            "drifts",
            "forward",
            "1,0",
            "--reason",
            "calm, full pack",
            answers=CLEAR,
        )
        assert code == 0, said
        assert "left tilt 1.0 deg aft: centre" in said
        assert "kept, and equal after the restart" in said
        # Both aft: a shorter pulse on the left, a longer one on the mirrored right.
        assert centres(craft) == pytest.approx((left - 10, right + 12), abs=1)
        assert centres(craft, "kept") == centres(craft)
        others = {n: v for n, v in craft.live().items() if n not in CENTRES}
        assert others == {n: v for n, v in before.items() if n not in CENTRES}
    kept = records(workshop).newest(Work.TRIM)
    assert kept is not None
    assert kept.operator == "the assistant"
    assert kept.reason == "drifts forward 1 deg (calm, full pack)"
    assert [w.was_centre_us for w in kept.sides] == [left, right]
    assert [round(w.by_deg or 0, 1) for w in kept.sides] == [-1.0, -1.0]


@pytest.mark.parametrize("console", CONSOLES)
def test_the_transmitters_trims_are_taken_up_and_looked_at_again(
    workshop: Workshop, console: str
) -> None:
    with aircraft(workshop, *SMALL, "--console", console) as craft:
        measure(workshop, craft)
        left, right = centres(craft)

        def sticks(pitch: int, yaw: int) -> None:
            craft.order(f"set channel-2 {pitch}")
            craft.order(f"set channel-4 {yaw}")

        # Channel 2 rises to fly forward; 10 of 400 us are 0.9 of 36 deg.
        code, said = at_terminal(
            workshop,
            ("trim", "--channel-trim", "--operator", "the builder"),
            [
                ("all sticks let go; then Enter", lambda: sticks(1510, 1480), ""),
                ("sends it forward fully over", lambda: sticks(1910, 1480), ""),
                ("turns the nose right fully over", lambda: sticks(1510, 1880), ""),
                ("Full stick forward tilts", nothing, ""),
                ("Full stick nose right tilts", nothing, "18"),
                ("Type 'hands clear'", nothing, "hands clear"),
                ("[yes/no]", nothing, "yes"),
                ("Enter when they are at zero", lambda: sticks(1500, 1480), ""),
            ],
        )
        assert code == 0, said
        # Together 0.9 forward; opposed 0.9 the other way: left 0, right 1.8 forward.
        assert centres(craft) == pytest.approx((left, right - 22), abs=1)
        assert "would get them twice" in said
        assert "Channel 4 still stands at 1480 us, not 1500" in said
        assert "Channel 2 still" not in said
    kept = records(workshop).newest(Work.TRIM)
    assert kept is not None
    assert [s.answer for s in kept.said] == ["36 deg", "18 deg"]


def test_without_a_record_it_says_what_to_do(workshop: Workshop) -> None:
    with aircraft(workshop, *SMALL) as craft:
        before = craft.live()
        code, said = workshop.at_terminal("trim", "noses", "left", answers=CLEAR)
        assert code == 2
        assert "nobody has measured the left tilt servo yet" in said
        assert "benchlink centre" in said
        assert craft.live() == before


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (("drifts", "forward", "-0.5"), "'drifts forward -0.5' is not understood"),
        (("drifts", "left"), "'drifts left' is not understood"),
        ((), "one of the two"),
        (("drifts", "aft", "--channel-trim"), "one of the two"),
        (("drifts", "aft"), "nobody can say here that hands are clear"),
        (("drifts", "aft", "--yes"), "nobody can say here that hands are clear"),
    ],
)
def test_what_is_not_understood_opens_no_board(
    workshop: Workshop, words: tuple[str, ...], what: str
) -> None:
    with aircraft(workshop, *SMALL) as craft:
        outcome = workshop.run("trim", *words)
        assert outcome.code == 2
        assert what in outcome.err
        assert craft.received() == 0


def test_hands_that_are_not_clear_leave_the_board_as_it_was(workshop: Workshop) -> None:
    with aircraft(workshop, *SMALL) as craft:
        measure(workshop, craft)
        before = craft.live()
        code, said = workshop.at_terminal(
            "trim",
            "drifts",
            "aft",
            "--yes",
            answers={"Who works here": "x", "to go on": "yes", "or Enter to stop": ""},
        )
        assert code == 2, said
        assert craft.live() == before
        assert records(workshop).newest(Work.TRIM) is None


def test_more_than_three_degrees_is_no_trim(workshop: Workshop) -> None:
    with aircraft(workshop, *SMALL) as craft:
        measure(workshop, craft)
        code, said = workshop.at_terminal("trim", "drifts", "aft", "3.1", answers=CLEAR)
        assert code == 2
        assert "is more than a trim" in said


def test_plan_only_shows_it_in_a_pipe(workshop: Workshop) -> None:
    with aircraft(workshop, *SMALL) as craft:
        measure(workshop, craft)
        before = craft.live()
        outcome = workshop.run("trim", "noses left", "--plan-only")
        assert outcome.code == 1, outcome.err
        assert "Nobody said how much for noses left: 0.5 deg." in outcome.err
        assert "tilt.left.centre_us" in outcome.out
        assert craft.live() == before


def test_an_aircrafts_record_stands_in_its_folder(workshop: Workshop) -> None:
    with aircraft(workshop, *SMALL) as craft:
        assert workshop.run("aircraft", "LW-03").code == 0
        event = measure(workshop, craft)
        folder = workshop.folder / "aircraft" / "LW-03"
        own = BenchRecords(folder / "records", print)
        own.keep(event)
        left, _ = centres(craft)
        fitted = folder / "fitted.yaml"
        text = fitted.read_text() + f"settings:\n  tilt.left.centre_us: {left:.0f}\n"
        fitted.write_text(text)
        code, said = workshop.at_terminal("trim", "drifts aft", answers=CLEAR)
        assert code == 0, said
        assert "the next `apply` takes it back: tilt.left.centre_us" in " ".join(
            said.split()
        )
    kept = own.newest(Work.TRIM)
    assert kept is not None
    assert kept.aircraft == "LW-03"
    assert records(workshop).newest(Work.TRIM) is None


def test_a_record_that_cannot_be_written_says_that_the_board_has_the_trim(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *SMALL) as craft:
        measure(workshop, craft)
        left, _ = centres(craft)

        def in_the_way() -> None:
            (workshop.folder / "records").rename(workshop.folder / "moved")
            (workshop.folder / "records").write_text("a file")

        code, said = at_terminal(
            workshop,
            ("trim", "drifts aft", "--operator", "the builder"),
            [
                ("Type 'hands clear'", nothing, "hands clear"),
                ("[yes/no]", in_the_way, "yes"),
            ],
        )
        assert code == 2
        assert "The board has the new centres (left tilt 0.5 deg forward" in said
        assert centres(craft, "kept")[0] == left + 5
