"""Which aircraft a board belongs to: by its number, or by the person's word."""

import pytest

from benchlink.core.aircraft import Aircraft, Replaced, owner_of_board
from benchlink.core.identity import Identity
from benchlink.errors import UsageError, WrongBoardError


def board(number: str, kind: str = "wader") -> Identity:
    return Identity(board_type=kind, firmware="1.4.2", number=number)


def aircraft(tail: str, identity: Identity, title: str = "") -> Aircraft:
    return Aircraft(
        tail=tail,
        title=title,
        board=identity,
        console="wader",
        console_hash="ab",
        profile=f"{tail}/fitted.yaml",
        folder=tail,
    )


THREE = aircraft("LW-03", board("A1"), "Lapwing 3")
FIVE = aircraft("LW-05", board("B2"))
FLEET = (THREE, FIVE)


def test_a_board_is_recognised_by_its_number_whatever_its_firmware() -> None:
    newer = Identity(board_type="wader", firmware="1.5", number="A1")
    assert owner_of_board(newer, FLEET) is THREE
    assert owner_of_board(board("C3"), FLEET) is None


def test_a_board_without_a_number_is_never_recognised_by_itself() -> None:
    nameless = aircraft("LW-06", board(""))
    assert owner_of_board(board(""), (*FLEET, nameless)) is None
    assert owner_of_board(board(""), (*FLEET, nameless), "LW-06") is nameless


def test_the_named_aircraft_may_have_this_very_board() -> None:
    assert owner_of_board(board("A1"), FLEET, "LW-03") is THREE


@pytest.mark.parametrize("now", [board("C3"), board(""), board("A1", "knot")])
def test_another_board_in_the_named_aircraft_is_a_question(now: Identity) -> None:
    assert owner_of_board(now, FLEET, "LW-03") == Replaced(aircraft=THREE, now=now)


def test_a_board_of_another_aircraft_is_refused_by_its_name() -> None:
    with pytest.raises(WrongBoardError, match="belongs to LW-05, not to LW-03"):
        owner_of_board(board("B2"), FLEET, "LW-03")


def test_an_unknown_tail_names_the_known_ones() -> None:
    with pytest.raises(UsageError, match="no aircraft 'LW-09'") as caught:
        owner_of_board(board("A1"), FLEET, "LW-09")
    assert "LW-03, LW-05" in caught.value.hint


def test_two_aircraft_with_one_board_are_both_named() -> None:
    twin = aircraft("LW-04", board("A1"))
    with pytest.raises(UsageError, match="more than one") as caught:
        owner_of_board(board("A1"), (*FLEET, twin))
    assert caught.value.details == ("LW-03: LW-03", "LW-04: LW-04")


def test_an_aircraft_is_told_by_tail_and_title() -> None:
    assert (str(THREE), str(FIVE)) == ("LW-03, Lapwing 3", "LW-05")
