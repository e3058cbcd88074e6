"""A part of what is wanted, for one run."""

import pytest

from benchlink.core.difference import State, compare
from benchlink.core.intent import Intent, Owner
from benchlink.core.leaving import with_only, without
from benchlink.errors import UsageError
from tests.core.making import intent, num, setting, snapshot, wanted, written

ASKED = intent(
    *(wanted(name, written("2")) for name in ("mass", "rate", "slew")), waived="rate"
)
BOARD = snapshot(*(setting(name, num("1")) for name in ("mass", "rate", "slew")))


def states(asked: Intent) -> dict[str, State]:
    return {f.name: f.state for f in compare(BOARD, asked).findings}


def test_what_is_left_is_as_if_nobody_had_spoken_of_it() -> None:
    part = without(ASKED, ["mass"])
    assert states(part)["mass"] is State.LEFT_ALONE
    assert part.owner_of("mass") is Owner.UNMANAGED
    assert states(part)["slew"] is State.DIFFERS
    assert part.title == ASKED.title


def test_only_the_picked_names_stay_in_the_order_of_the_profile() -> None:
    part = with_only(ASKED, ["slew", "mass"])
    assert list(part.wanted) == ["mass", "slew"]
    assert states(part)["rate"] is State.LEFT_ALONE


def test_a_waiver_goes_and_stays_with_its_name() -> None:
    assert without(ASKED, ["rate"]).waivers == {}
    assert with_only(ASKED, ["rate"]).waivers == ASKED.waivers
    assert states(with_only(ASKED, ["rate"]))["rate"] is State.WAIVED


def test_all_may_be_left_and_one_named_twice() -> None:
    assert without(ASKED, ["mass", "rate", "slew", "mass"]).wanted == {}
    assert list(with_only(ASKED, ["mass", "mass"]).wanted) == ["mass"]


@pytest.mark.parametrize("part", [without, with_only])
def test_names_that_it_does_not_ask_for_are_refused_with_their_neighbours(
    part: object,
) -> None:
    assert callable(part)
    with pytest.raises(UsageError, match="2 of the names") as caught:
        part(ASKED, ["mass", "slow", "zzzz", "slow"])
    assert caught.value.details == (
        "slow: is slew meant?",
        "zzzz: nothing is called like it",
    )
    with pytest.raises(UsageError, match="one of the names"):
        part(ASKED, ["slow"])
