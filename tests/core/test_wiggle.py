"""The wiggle test as a state machine, and what its answers mean together."""

import itertools

import pytest

from benchlink.core.angles import Way
from benchlink.core.cautions import CUT_THE_POWER
from benchlink.core.jobs import Job
from benchlink.core.outputs import Output, OutputMap
from benchlink.core.roles import OwnSide
from benchlink.core.servo_part import Turns
from benchlink.core.wiggle import (
    TILTS,
    AskWay,
    Over,
    Seen,
    Watch,
    Wiggle,
    turns_of,
    wiggle_of,
)
from benchlink.core.wiggle_findings import Bench, Conclusion, Directions, conclude
from benchlink.errors import MisuseError

MOTOR = Output(pad="p1", job=Job.MOTOR_LEFT, word="motor-left", setting="p1 job")
LEFT = Output(pad="p3", job=Job.TILT_LEFT, word="tilt-left", setting="p3 job")
RIGHT = Output(pad="p4", job=Job.TILT_RIGHT, word="tilt-right", setting="p4 job")
MAP = OutputMap(outputs=(MOTOR, LEFT, RIGHT, Output(pad="p5")))
FORWARD, AFT = Way.FORWARD, Way.AFT
ALIKE = Directions(left="left way", right="right way", alike=True)
UNLIKE = Directions(left="left way", right="right way", alike=False)
FED = Bench(rail_volts=5.0)


def said(*answers: Seen | Way | None) -> Wiggle:
    test = wiggle_of(MAP)
    for answer in answers:
        test = test.advance(answer)
    return test


def concluded(*answers: Seen | Way | None, bench: Bench = FED) -> Conclusion:
    test = said(*answers)
    assert test.action == Over()
    return conclude(test.observed, bench)


def sentences(found: Conclusion) -> list[str]:
    return [finding.sentence for finding in found.findings]


# The order of things


def test_tilts_alone_are_wiggled_one_after_the_other() -> None:
    assert wiggle_of(MAP).action == Watch(output=LEFT)
    assert said(Seen.NOTHING).action == Watch(output=RIGHT)
    assert said(Seen.NOTHING, Seen.ELSE).action == Over()
    assert wiggle_of(OutputMap(outputs=(MOTOR,))).action == Over()


def test_a_tilt_that_moved_is_asked_about_again() -> None:
    asked = said(Seen.RIGHT)
    assert asked.action == AskWay(output=LEFT, side=OwnSide.RIGHT)
    assert asked.advance(None).action == Watch(output=RIGHT)


def test_a_motor_ends_it_at_once() -> None:
    assert said(Seen.MOTOR).action == Over()


@pytest.mark.parametrize("answer", [*Seen, *Way, None])
def test_every_answer_moves_it_on_or_is_refused(answer: Seen | Way | None) -> None:
    states = (wiggle_of(MAP), said(Seen.LEFT), said(Seen.NOTHING, Seen.NOTHING))
    for state in states:
        fits = {
            Watch: isinstance(answer, Seen),
            AskWay: answer is None or isinstance(answer, Way),
            Over: False,
        }[type(state.action)]
        if fits:
            assert state.advance(answer) != state
        else:
            with pytest.raises(MisuseError):
                state.advance(answer)


# What it means


def test_as_declared_there_is_nothing_to_say() -> None:
    found = concluded(Seen.LEFT, FORWARD, Seen.RIGHT, AFT)
    assert found == Conclusion(findings=())
    assert turns_of(said(Seen.LEFT, FORWARD, Seen.RIGHT, AFT).observed) == {
        OwnSide.LEFT: Turns.FORWARD,
        OwnSide.RIGHT: Turns.AFT,
    }


def test_a_swapped_pair_is_one_finding_with_its_correction() -> None:
    found = concluded(Seen.RIGHT, FORWARD, Seen.LEFT, FORWARD)
    (sentence,) = sentences(found)
    assert sentence.startswith("p3 and p4 are exchanged")
    assert found.exchange is not None
    assert (found.exchange.one, found.exchange.other) == (LEFT, RIGHT)
    assert "not both" in found.findings[0].remedies[0]


def test_one_crossed_plug_alone_proposes_no_exchange() -> None:
    found = concluded(Seen.RIGHT, None, Seen.NOTHING)
    assert found.exchange is None
    assert sentences(found) == [
        (
            "The right tilt moved when p3 was wiggled, which should move the left tilt"
            " servo."
        ),
        "Nothing moved when p4 (the right tilt servo) was wiggled.",
    ]


def test_a_job_at_two_pads_is_never_exchanged() -> None:
    third = Output(pad="p6", job=Job.TILT_LEFT, word="tilt-left", setting="p6 job")
    test = wiggle_of(OutputMap(outputs=(LEFT, RIGHT, third)))
    for answer in (Seen.RIGHT, None, Seen.LEFT, None, Seen.RIGHT, None):
        test = test.advance(answer)
    assert conclude(test.observed, FED).exchange is None


def test_jobs_that_no_setting_decides_are_not_offered_for_exchange() -> None:
    fixed = (
        Output(pad="a", job=Job.TILT_LEFT, word="l"),
        Output(pad="b", job=Job.TILT_RIGHT, word="r"),
    )
    test = wiggle_of(OutputMap(outputs=fixed))
    for answer in (Seen.RIGHT, None, Seen.LEFT, None):
        test = test.advance(answer)
    found = conclude(test.observed, FED)
    assert len(found.findings) == 1
    assert found.exchange is None


@pytest.mark.parametrize(
    ("volts", "first"),
    [
        (None, "Is the servo rail fed? USB alone feeds no servo."),
        (0.3, "The servo rail has 0.3 V: feed it from a bench supply; USB alone feeds"),
        (5.0, "Is the plug on p3, the right way round, pushed home?"),
    ],
)
def test_where_nothing_moves_the_rail_is_looked_at_first(
    volts: float | None, first: str
) -> None:
    found = concluded(Seen.NOTHING, Seen.RIGHT, FORWARD, bench=Bench(rail_volts=volts))
    assert found.findings[0].remedies[0].startswith(first)


@pytest.mark.parametrize(
    ("seen", "sentence", "remedy"),
    [
        (
            Seen.BOTH,
            "Both tilts moved when p3 (the left tilt servo)",
            "look for a Y lead",
        ),
        (
            Seen.ELSE,
            "Something else moved when p3 (the left",
            "Follow the lead from p3",
        ),
    ],
)
def test_what_else_may_move(seen: Seen, sentence: str, remedy: str) -> None:
    found = concluded(seen, Seen.RIGHT, FORWARD)
    assert found.findings[0].sentence.startswith(sentence)
    assert any(remedy in text for text in found.findings[0].remedies)


def test_a_motor_on_a_servo_pad_says_the_pack_first() -> None:
    (found,) = concluded(Seen.MOTOR).findings
    assert found.sentence.startswith("A MOTOR moved when p3 was wiggled")
    assert found.remedies[0] == f"Before anything else: {CUT_THE_POWER}"


@pytest.mark.parametrize(
    ("left", "right", "directions", "wrong"),
    [
        (FORWARD, FORWARD, ALIKE, False),
        (FORWARD, AFT, ALIKE, True),
        (AFT, FORWARD, UNLIKE, False),
        (AFT, AFT, UNLIKE, True),
        (AFT, FORWARD, None, False),
        (None, FORWARD, UNLIKE, False),
    ],
)
def test_one_arm_against_the_other_is_found_whatever_the_words_are(
    left: Way | None, right: Way, directions: Directions | None, *, wrong: bool
) -> None:
    bench = Bench(rail_volts=5.0, directions=directions)
    found = concluded(Seen.LEFT, left, Seen.RIGHT, right, bench=bench)
    assert len(found.findings) == wrong
    if wrong:
        assert "pitch becomes yaw" in found.findings[0].sentence
        assert "left way or right way" in found.findings[0].remedies[0]


def test_no_answers_are_without_a_meaning() -> None:
    for first, second in itertools.product(Seen, repeat=2):
        answers: list[Seen | Way | None] = []
        for seen in (first, second):
            answers += [seen, FORWARD] if seen in TILTS else [seen]
        if first is Seen.MOTOR:
            answers = [first]
        found = concluded(*answers, bench=Bench(directions=ALIKE))
        right = (first, second) == (Seen.LEFT, Seen.RIGHT)
        assert bool(found.findings) is not right
