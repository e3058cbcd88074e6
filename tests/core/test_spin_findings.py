"""From what a person saw to what is wrong with a pair of motors."""

from itertools import product

import pytest

from benchlink.core.roles import OwnSide
from benchlink.core.spin_answers import (
    Answer,
    Hand,
    SpinCheck,
    Turned,
    Turning,
    hand_seen,
    what_turned,
    which_way,
)
from benchlink.core.spin_findings import LEADS, complete, findings, verdict

LEFT, RIGHT = OwnSide.LEFT, OwnSide.RIGHT
CW, ACW = Turning.CLOCKWISE, Turning.ANTICLOCKWISE


def seen(
    left: tuple[Turned, Turning | None] | None = (Turned.LEFT, CW),
    right: tuple[Turned, Turning | None] | None = (Turned.RIGHT, ACW),
    hand: Hand | None = None,
) -> SpinCheck:
    answers = tuple(
        Answer(ordered=side, turned=given[0], turning=given[1])
        for side, given in ((LEFT, left), (RIGHT, right))
        if given is not None
    )
    return SpinCheck(aircraft="LW-03", operator="builder", answers=answers, hand=hand)


def texts(check: SpinCheck) -> list[str]:
    return [finding.text for finding in findings(check)]


def test_a_pair_that_turns_opposite_ways_is_well() -> None:
    assert texts(seen()) == []
    assert complete(seen())
    assert verdict(seen(), ()) == (
        "Both motors turn as ordered, a pair that is outboard-down."
    )


def test_a_pair_that_turns_alike_must_not_and_either_remedy_is_named() -> None:
    (finding,) = findings(seen(right=(Turned.RIGHT, CW)))
    assert finding.text == (
        "Both turn clockwise seen from above; a pair must turn opposite ways."
    )
    assert finding.remedies == (
        f"for inboard-down: on the left one {LEADS}, pack out",
        f"for outboard-down: on the right one {LEADS}, pack out",
    )


def test_a_setting_that_turns_it_round_is_named_by_its_own_name() -> None:
    check = seen(right=(Turned.RIGHT, CW), hand=Hand.OUTBOARD_DOWN)
    (finding,) = findings(check, {RIGHT: "motor.right.direction"})
    assert "or change `motor.right.direction`" in finding.remedies[0]
    assert "for outboard-down it must turn anticlockwise" in finding.text


def test_a_wanted_hand_finds_a_pair_that_is_the_other_one() -> None:
    check = seen(hand=Hand.INBOARD_DOWN)
    assert [t.split(" ")[0] for t in texts(check)] == ["Left", "Right"]
    assert texts(seen(hand=Hand.OUTBOARD_DOWN)) == []
    assert verdict(seen(hand=Hand.OUTBOARD_DOWN), ()).endswith("sheet wants it.")


def test_outputs_come_first_and_the_ways_wait() -> None:
    check = seen((Turned.RIGHT, CW), (Turned.LEFT, ACW), Hand.INBOARD_DOWN)
    (text,) = texts(check)
    assert text.startswith("The two motors are swapped")


@pytest.mark.parametrize(
    ("hand", "second"),
    [
        (
            Hand.INBOARD_DOWN,
            (
                "left turns clockwise seen from above; for inboard-down it must turn"
                " anticlockwise."
            ),
        ),
        (
            None,
            "both turn clockwise seen from above; a pair must turn opposite ways.",
        ),
    ],
)
def test_a_wrong_way_beside_a_swap_is_told_too_and_put_right_after_it(
    hand: Hand | None, second: str
) -> None:
    check = seen((Turned.RIGHT, CW), (Turned.LEFT, CW), hand)
    swap, way = findings(check)
    assert swap.text.startswith("The two motors are swapped")
    assert way.text == f"Besides the swap: {second}"
    assert all(r.startswith("mend the swap first and spin again") for r in way.remedies)
    assert verdict(check, findings(check)).startswith("Not right yet: 2 to put right")


def test_one_wrong_side_says_to_spin_the_other_as_well() -> None:
    (finding,) = findings(seen((Turned.RIGHT, CW), None))
    assert finding.text == "Left was meant, and right turned."
    assert "spin right as well" in finding.remedies[0]


@pytest.mark.parametrize(
    ("turned", "says", "remedy"),
    [
        (Turned.NOTHING, "nothing turned", "ESC"),
        (Turned.BOTH, "both turned", "one signal"),
        (Turned.TILT, "a tilt arm moved", "do not spin"),
    ],
)
def test_each_thing_that_turned_instead_has_a_remedy(
    turned: Turned, says: str, remedy: str
) -> None:
    (finding,) = findings(seen(left=(turned, None)))
    assert says in finding.text
    assert remedy in " ".join(finding.remedies)


@pytest.mark.parametrize(
    ("left", "right", "hand"),
    list(
        product(
            product(Turned, [None, *Turning]), product(Turned, Turning), [None, *Hand]
        )
    ),
)
def test_all_is_well_only_when_each_turned_for_itself_and_opposite(
    left: tuple[Turned, Turning | None],
    right: tuple[Turned, Turning],
    hand: Hand | None,
) -> None:
    check = seen(left, right, hand)
    found = findings(check)
    well = left[0] is Turned.LEFT and right[0] is Turned.RIGHT
    if well and left[1] is not None:
        pair = {hand_seen(LEFT, left[1]), hand_seen(RIGHT, right[1])}
        well = len(pair) == 1 and (hand is None or pair == {hand})
    elif well and hand is not None:
        well = hand_seen(RIGHT, right[1]) is hand
    assert (not found) is well
    assert all(finding.remedies for finding in found)


def test_what_was_not_seen_is_said() -> None:
    assert verdict(seen(None, None), ()) == "Nothing was spun, so nothing is known."
    assert "no pair yet" in verdict(seen(right=None), ())
    assert not complete(seen(right=None))
    unseen = seen(left=(Turned.LEFT, None))
    assert "which way was not seen: left" in verdict(unseen, ())
    assert not complete(unseen)


@pytest.mark.parametrize(
    ("text", "side", "way"),
    [
        ("clockwise", LEFT, CW),
        (" CW. ", RIGHT, CW),
        ("anti-clockwise", LEFT, ACW),
        ("a", RIGHT, ACW),
        ("inboard-down", LEFT, ACW),
        ("inboard down", RIGHT, CW),
        ("out", LEFT, CW),
        ("outboard-down", RIGHT, ACW),
        ("left", LEFT, None),
        ("", LEFT, None),
    ],
)
def test_ways_in_the_words_of_the_trade(
    text: str, side: OwnSide, way: Turning | None
) -> None:
    assert which_way(text, side) is way


@pytest.mark.parametrize(
    ("text", "turned"),
    [
        ("Left", Turned.LEFT),
        ("r", Turned.RIGHT),
        ("both", Turned.BOTH),
        ("nothing.", Turned.NOTHING),
        ("a tilt", Turned.TILT),
        ("yes", None),
        ("", None),
    ],
)
def test_what_turned_in_words(text: str, turned: Turned | None) -> None:
    assert what_turned(text) is turned
