"""Tilt servos centred and thrown on a jig, at a terminal, on simulated aircraft."""

import re
from pathlib import Path

import pytest

from tests.faces.jig_hand import READING, JigHand, converse, on_the_rail
from tests.faces.running import Aircraft, Workshop, aircraft

FEW = ("--settings", "80", "--tilts-follow")
OTHERS = ("turnstone", "avocet", "scoter")
WRITING = ("knot", "dunlin")
RIGHT_DEG = 1.0
"""The datum within half a degree, and half a degree of play."""


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def true_deg(craft: Aircraft, side: str) -> float:
    servo = craft.order("servos")[side]
    assert isinstance(servo, dict)
    return float(servo["true_deg"])


@pytest.mark.parametrize(
    ("console", "sides"),
    [("wader", "both"), *((name, "left") for name in (*OTHERS, *WRITING))],
)
def test_an_arm_is_centred_from_a_badly_seated_horn(
    workshop: Workshop, console: str, sides: str
) -> None:
    with aircraft(workshop, "--console", console, *FEW) as craft:
        on_the_rail(craft)
        craft.order("horn left +1")
        hand = JigHand(craft)
        code, said = converse(
            workshop, "centre", sides, "--servo", "unknown", answers=hand.answers()
        )
        unproven = console == "scoter"  # nobody sees whether it restarted
        assert code == (3 if unproven else 0), said
        assert "move it one tooth aft" in said
        assert "as it was measured" in said
        (record,) = (workshop.folder / "records").iterdir()
        text = record.read_text(encoding="utf-8")
        assert re.search(r"board's own command as measured \(\d\.\d deg", text)
        assert "forward positive" not in text
        assert "LW-03" in text
        kept = craft.order("kept tilt.left.centre_us")["tilt.left.centre_us"]
        assert kept != "1500"
        for side in ("left", "right") if sides == "both" else ("left",):
            assert abs(true_deg(craft, side)) <= RIGHT_DEG


def test_nothing_is_kept_when_nobody_sees_it_move(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        on_the_rail(craft)
        craft.order("plug tilt-left nothing")
        before = craft.live()
        hand = JigHand(craft)
        code, said = converse(
            workshop, "centre", "left", "--servo", "unknown", answers=hand.answers()
        )
        assert code == 2
        assert "nobody saw the arm move" in said
        assert "Nothing was kept" in said
        assert craft.live() == before


def test_usb_alone_moves_no_servo_and_says_so(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        craft.order("disconnect pack")
        hand = JigHand(craft)
        code, said = converse(
            workshop, "centre", "left", "--servo", "unknown", answers=hand.answers()
        )
        assert code == 2
        assert "the servo rail has no power" in said
        assert craft.order("moved") == {}


@pytest.mark.parametrize("words", [("centre", "left"), ("throw", "left")])
def test_in_a_pipe_nothing_moves(workshop: Workshop, words: tuple[str, ...]) -> None:
    with aircraft(workshop, *FEW) as craft:
        on_the_rail(craft)
        outcome = workshop.run(*words, "--yes", "--operator", "x")
        assert outcome.code == 2
        assert "at a terminal" in outcome.err
        assert craft.order("moved") == {}


def test_other_words_than_hands_clear_move_nothing(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        on_the_rail(craft)
        answers = JigHand(craft).answers() | {
            r"Type 'hands clear' to go on: $": "yes",
            r"or Enter to stop: $": "",
        }
        code, said = converse(
            workshop, "centre", "left", "--servo", "unknown", answers=answers
        )
        assert code == 2
        assert "nobody confirmed that hands are clear" in said
        assert craft.order("moved") == {}


def test_with_the_pack_in_nothing_moves_before_props_off(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        on_the_rail(craft)
        craft.order("connect pack")
        craft.order("moved")
        answers = JigHand(craft).answers() | {
            r"type `(props off [^`]+)` once": "hands clear",
            r"or Enter to stop: $": "",
        }
        code, said = converse(
            workshop, "centre", "left", "--servo", "unknown", answers=answers
        )
        assert code == 2
        assert "type `props off LW-03` once you have looked" in said
        assert "props off was not confirmed" in said
        assert "from behind the disc" in said
        assert craft.order("moved") == {}


def test_a_nudge_moves_where_the_reading_is_taken(workshop: Workshop) -> None:
    with aircraft(workshop, *FEW) as craft:
        on_the_rail(craft)
        hand = JigHand(craft)
        keys = iter(["n"])

        def nudged_once(found: object) -> str:
            del found
            return next(keys, None) or hand.answer_reading("left")

        answers = hand.answers()
        answers[READING] = nudged_once
        answers[r"Escape: back[^$]*1500 us"] = "\x1b[A\x1b[A"
        answers[r"At 1520 us the jig shows: $"] = lambda _: hand.answer_reading("left")
        code, said = converse(
            workshop, "centre", "left", "--servo", "unknown", answers=answers
        )
        assert code == 0, said
        assert "At 1520 us the jig shows" in said


def test_a_cable_that_falls_out_in_the_middle_keeps_nothing(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *FEW) as craft:
        on_the_rail(craft)
        hand = JigHand(craft)
        before = craft.order("kept tilt.left.centre_us")
        answers = hand.answers()

        def pulled(found: object) -> str:
            del found
            craft.order("unplug")
            return "3 forward"

        answers[READING] = pulled
        code, said = converse(
            workshop, "centre", "left", "--servo", "unknown", answers=answers
        )
        assert code == 2
        assert "Pull the pack" in said or "Plug it in" in said
        assert craft.order("kept tilt.left.centre_us") == before


@pytest.mark.parametrize("way", ["driven", "stick"])
@pytest.mark.parametrize("console", ["wader", "avocet", "knot"])
def test_the_throw_is_what_was_asked_for(
    workshop: Workshop, console: str, way: str
) -> None:
    if (console, way) == ("knot", "driven"):
        return  # knot drives no output: there the stick is the only way
    by_stick = ("--by-stick",) if way == "stick" else ()
    with aircraft(workshop, "--console", console, *FEW) as craft:
        on_the_rail(craft)
        craft.order("radio on")
        hand = JigHand(craft)
        assert (
            converse(
                workshop, "centre", "both", "--servo", "unknown", answers=hand.answers()
            )[0]
            == 0
        )
        code, said = converse(
            workshop,
            *("throw", "both", "--forward", "32", "--aft", "30"),
            *by_stick,
            answers=hand.answers(),
        )
        assert code == 0, said
        assert "Both sides reach the same angles" in said
        _require_reached(craft, "forward", 2000, 32.0)
        _require_reached(craft, "aft", 1000, -30.0)


def _require_reached(
    craft: Aircraft, way: str, stick_us: int, wanted_deg: float
) -> None:
    """The board's own sticks bring both arms there, levelling and steadying off."""
    craft.order("put level.self_levelling no")
    craft.order("put steady.on no")
    craft.order(f"set channel-2 {stick_us}")
    hand = JigHand(craft)
    for side in ("left", "right"):
        hand.side = side
        hand.wait_until_still()
        assert abs(true_deg(craft, side) - wanted_deg) <= RIGHT_DEG, (way, side)
    craft.order("set channel-2 1500")
