import pytest

from benchlink.core.identity import Identity
from benchlink.core.intent import Fits, Owner, matches_any
from tests.core.making import intent, wanted, written

WADER = Identity(board_type="wader", firmware="1.4.2")


@pytest.mark.parametrize(
    ("fits", "accepts"),
    [
        (Fits(), True),
        (Fits(board_types=("wader",)), True),
        (Fits(board_types=("gull", "wad*")), True),
        (Fits(board_types=("Wader",)), False),
        (Fits(board_types=("gull",)), False),
        (Fits(firmware=("1.4.?",)), True),
        (Fits(firmware=("1.5.*",)), False),
        (Fits(board_types=("wader",), firmware=("2.*",)), False),
    ],
)
def test_a_profile_fits_the_boards_it_names(fits: Fits, *, accepts: bool) -> None:
    assert fits.accepts(WADER) is accepts


def test_a_profile_for_some_boards_refuses_one_that_says_nothing() -> None:
    assert not Fits(board_types=("wader",)).accepts(Identity())
    assert Fits().accepts(Identity())


def test_what_a_profile_fits_reads_as_a_sentence() -> None:
    assert str(Fits()) == "any board, firmware any"
    both = Fits(board_types=("wader", "gull"), firmware=("1.*", "2.*"))
    assert str(both) == "wader or gull, firmware 1.* or 2.*"


@pytest.mark.parametrize(
    ("name", "owner"),
    [
        ("tilt.asked", Owner.KIT),
        ("accel.x", Owner.BOARD),
        ("tilt.left.centre_us", Owner.FITTED),
        ("craft.call", Owner.UNMANAGED),
    ],
)
def test_the_profile_decides_before_the_patterns_do(name: str, owner: Owner) -> None:
    asked = intent(wanted("tilt.asked", written("1"), owner=Owner.KIT))
    assert asked.owner_of(name) is owner


def test_patterns_know_case_stars_and_question_marks() -> None:
    assert matches_any(("tilt.*",), "tilt.left")
    assert matches_any(("p?", "x"), "p1")
    assert not matches_any(("Tilt.*",), "tilt.left")
    assert not matches_any((), "tilt.left")
