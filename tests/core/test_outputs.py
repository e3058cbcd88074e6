"""Findings on a declared map of outputs: the trade's figures, and each finding's words."""

from collections.abc import Sequence

import pytest

from benchlink.core.jobs import Job
from benchlink.core.output_findings import (
    OutputFinding,
    ServoLimit,
    Wrong,
    brought_about,
    findings,
)
from benchlink.core.outputs import Output, OutputMap
from benchlink.errors import SafetyRefusalError
from benchlink.units import PulseUs

LEFT, RIGHT = Job.TILT_LEFT, Job.TILT_RIGHT
DIGITAL = ServoLimit(name="A digital servo", rate_hz=333.0)
ANY = ServoLimit(name="A narrow-pulse servo", rate_hz=1000.0)


def pad(
    name: str,
    job: Job | None,
    rate_hz: float | None = 50.0,
    *,
    timer: str = "",
    longest: float | None = 2100.0,
    joined: str = "",
    word: str = "",
) -> Output:
    return Output(
        pad=name,
        job=job,
        word=word or (job.value if job else ""),
        rate_hz=rate_hz,
        longest_us=None if longest is None else PulseUs(longest),
        timer=timer,
        joined=joined,
    )


def plain_map(*others: Output) -> OutputMap:
    """A map with nothing wrong in it, some of its pads replaced."""
    pads = {
        "p1": pad("p1", Job.MOTOR_LEFT, timer="A"),
        "p2": pad("p2", Job.MOTOR_RIGHT, timer="A"),
        "p3": pad("p3", LEFT, timer="B"),
        "p4": pad("p4", RIGHT, timer="B"),
    }
    pads |= {output.pad: output for output in others}
    return OutputMap(outputs=tuple(pads.values()))


def about(found: Sequence[OutputFinding]) -> list[Wrong]:
    return [finding.about for finding in found]


def test_a_sound_map_has_no_findings() -> None:
    assert findings(plain_map(pad("p5", None))) == ()


def test_the_worked_example_of_the_trade_gives_its_findings() -> None:
    """M1, M2, S1 on one timer, S1 slow; S2 too fast for its servo; S2 and S3 on one pin."""
    outputs = (
        pad("m1", Job.MOTOR_LEFT, 400, timer="3"),
        pad("m2", Job.MOTOR_RIGHT, 400, timer="3"),
        pad("s1", LEFT, 50, timer="3", longest=2000),
        pad("B1", RIGHT, 333, timer="4", longest=2000),
        pad("B1", None, 50, timer="8", word="rudder"),
    )
    found = findings(OutputMap(outputs=outputs))
    assert [(f.about, f.pads) for f in found] == [
        (Wrong.SAME_PAD, ("B1",)),
        (Wrong.TIMER, ("s1", "m1")),
        (Wrong.TIMER, ("s1", "m2")),
        (Wrong.LIMIT, ("B1",)),
    ]


@pytest.mark.parametrize(
    ("rate_hz", "longest_us", "fits"),
    [
        (50, 2500, True),
        (333, 2500, True),
        (333, 2000, True),
        (400, 2000, True),
        (400, 2100, False),
        (490, 2000, False),
        (560, 2000, False),
        (560, 960, True),
    ],
)
def test_a_pulse_needs_its_gap(
    rate_hz: float, longest_us: float, *, fits: bool
) -> None:
    fast = pad("p3", LEFT, rate_hz, timer="C", longest=longest_us)
    found = findings(plain_map(fast), {LEFT: ANY})
    assert about(found) == ([] if fits else [Wrong.FRAME])


def test_the_remedy_of_a_tight_frame_is_the_highest_whole_rate() -> None:
    tight = pad("p3", LEFT, 490, timer="C", longest=2250)
    (found,) = findings(plain_map(tight), {LEFT: ANY})
    assert "2250 us, does not fit its frame: 490 Hz leave 2041 us" in found.sentence
    assert found.remedies == ("Set its rate to 363 Hz or less.",)


def test_without_a_limit_of_the_board_the_servo_s_own_longest_pulse_counts() -> None:
    silent = pad("p3", LEFT, 490, timer="C", longest=None)
    narrow = ServoLimit(name="Narrow", rate_hz=560, longest_us=PulseUs(960))
    assert about(findings(plain_map(silent), {LEFT: ANY})) == [Wrong.FRAME]
    assert findings(plain_map(silent), {LEFT: narrow}) == ()


def test_an_unknown_servo_is_taken_for_fifty_hertz_and_that_is_said() -> None:
    (found,) = findings(plain_map(pad("p3", LEFT, 51, timer="C")))
    assert found.sentence.startswith("Nobody said which servo hangs on p3")
    assert "Say which servo it is" in found.remedies[0]


def test_a_known_servo_has_its_makers_limit() -> None:
    at_limit = plain_map(pad("p3", LEFT, 333, timer="C"))
    beyond = plain_map(pad("p3", LEFT, 334, timer="C"))
    assert findings(at_limit, {LEFT: DIGITAL}) == ()
    (found,) = findings(beyond, {LEFT: DIGITAL})
    assert found.about is Wrong.LIMIT
    assert found.sentence.startswith(
        "A digital servo on p3 (the left tilt servo) takes"
    )


def test_a_motor_may_run_at_any_rate() -> None:
    motors = (
        pad("p1", Job.MOTOR_LEFT, 490, timer="A"),
        pad("p2", Job.MOTOR_RIGHT, 490, timer="A"),
    )
    assert findings(plain_map(*motors)) == ()


def test_a_servo_on_a_motor_s_timer_would_get_its_rate() -> None:
    fast = pad("p1", Job.MOTOR_LEFT, 400, timer="B")
    first, second = findings(plain_map(fast))
    assert first.sentence == (
        "p3 (the left tilt servo, 50 Hz) and p1 (the left motor, 400 Hz) share timer B:"
        " the left tilt servo would get 400 Hz, too fast for it."
    )
    assert first.remedies == (
        "Move the servo to a pad on another timer.",
        "Or set both to 50 Hz, if the ESC takes it.",
        "Never raise the servo's rate.",
    )
    assert second.pads == ("p4", "p1")


def test_two_servos_on_one_timer_need_one_rate() -> None:
    (found,) = findings(
        plain_map(pad("p4", RIGHT, 100, timer="B")), {LEFT: DIGITAL, RIGHT: DIGITAL}
    )
    assert found.sentence.endswith("the left tilt servo would get 100 Hz.")
    assert found.remedies[1] == "Or set both to 50 Hz."


def test_a_motor_slower_than_the_servo_beside_it_is_told_too() -> None:
    slow = pad("p1", Job.MOTOR_LEFT, 50, timer="B")
    servos = (pad("p3", LEFT, 100, timer="B"), pad("p4", RIGHT, 100, timer="B"))
    known = {LEFT: DIGITAL, RIGHT: DIGITAL}
    found = findings(plain_map(slow, *servos), known)
    assert about(found) == [Wrong.TIMER, Wrong.TIMER]
    assert found[0].sentence.endswith(
        "the left motor would get 100 Hz, as the servo asks."
    )


def test_two_motors_on_one_timer_need_one_rate_too() -> None:
    fast = pad("p2", Job.MOTOR_RIGHT, 400, timer="A")
    (found,) = findings(plain_map(fast))
    assert found.sentence.endswith("share timer A: the left motor would get 400 Hz.")
    assert found.remedies == (
        "Set both to 50 Hz, or move one of them to a pad on another timer.",
    )


def test_rates_or_timers_that_nobody_tells_give_no_finding() -> None:
    unsaid = (pad("p3", LEFT, None, timer="B"), pad("p4", RIGHT, 50, timer=""))
    assert findings(plain_map(*unsaid)) == ()


def test_free_pads_share_timers_and_channels_in_peace() -> None:
    free = pad("p5", None, 400, timer="B", joined="p3+p5")
    assert findings(plain_map(pad("p3", LEFT, joined="p3+p5"), free)) == ()


def test_pads_of_one_channel_always_move_together() -> None:
    joined = (pad("p3", LEFT, joined="x"), pad("p4", RIGHT, joined="x"))
    (found,) = findings(plain_map(*joined))
    assert found.about is Wrong.JOINED
    assert "these two always move together" in found.sentence


def test_a_job_at_two_pads_and_a_job_at_none_are_named() -> None:
    twice, nowhere = findings(plain_map(pad("p4", LEFT, timer="B")))
    assert twice.sentence == "The left tilt servo has 2 pads: p3, p4."
    assert nowhere.sentence == "No pad drives the right tilt servo."


def test_a_number_alone_is_called_a_pad() -> None:
    assert pad("3", LEFT).name == "pad 3"


def test_what_a_change_brings_about_is_told_from_what_was_wrong_before() -> None:
    before = findings(plain_map(pad("p3", LEFT, 60, timer="C")))
    worse = plain_map(pad("p3", LEFT, 60, timer="C"), pad("p4", None))
    new, old = brought_about(before, findings(worse))
    assert about(new) == [Wrong.NOWHERE]
    assert old == before


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("p1", "p1 drives the left motor, by the board's settings"),
        ("p5", "p5 drives nothing, by the board's settings"),
        ("p6", "p6 drives something else (rudder), by the board's settings"),
        ("p9", "the board's settings do not say what p9 drives"),
        ("p3", "p3 and p6 carry the same pulse"),
    ],
)
def test_only_a_pad_that_drives_a_tilt_alone_is_a_servo_pad(
    name: str, why: str
) -> None:
    declared = plain_map(
        pad("p3", LEFT, joined="x"),
        pad("p5", None),
        pad("p6", None, word="rudder", joined="x"),
    )
    assert declared.require_servo("p4").job is RIGHT
    with pytest.raises(
        SafetyRefusalError, match=f"no servo is moved on {name}"
    ) as caught:
        declared.require_servo(name)
    assert str(caught.value).endswith(why)
