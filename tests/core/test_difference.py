from dataclasses import replace
from decimal import Decimal

import pytest

from benchlink.core.difference import Difference, Finding, State, compare
from benchlink.core.intent import Owner
from benchlink.core.values import Switch, Word
from tests.core.making import HERE, intent, num, setting, snapshot, wanted, written


def judged(difference: Difference) -> Finding:
    (finding,) = difference.findings
    return finding


def test_an_equal_value_is_as_intended_whatever_its_spelling() -> None:
    board = snapshot(setting("a", num("1.50")))
    finding = judged(compare(board, intent(wanted("a", written("1.5")))))
    assert finding.state is State.AS_INTENDED
    assert (finding.now, finding.wanted) == (num("1.5"), num("1.5"))


def test_another_value_differs_and_brings_reason_group_owner_and_place() -> None:
    board = snapshot(setting("a", Switch(on=False)))
    asked = wanted("a", written("on"), owner=Owner.KIT)
    finding = judged(compare(board, intent(asked)))
    assert finding.state is State.DIFFERS
    assert (finding.now, finding.wanted) == (Switch(on=False), Switch(on=True))
    assert (finding.reason, finding.group) == ("because", "tilt")
    assert (finding.owner, finding.place) == (Owner.KIT, HERE)


def test_a_setting_that_the_board_lacks_is_missing() -> None:
    finding = judged(compare(snapshot(), intent(wanted("a", written("1")))))
    assert finding.state is State.MISSING
    assert finding.trouble == "the board has no such setting"
    assert finding.now is None


def test_a_missing_setting_with_a_close_name_is_asked_about() -> None:
    board = snapshot(setting("tilt.left.centre_us", num("1")))
    asked = intent(wanted("tilt.left.center_us", written("1")))
    finding = compare(board, asked).findings[0]
    assert finding.trouble.endswith("is tilt.left.centre_us meant?")


def test_a_value_of_another_kind_is_impossible() -> None:
    board = snapshot(setting("a", num("1")))
    finding = judged(compare(board, intent(wanted("a", written("fast")))))
    assert finding.state is State.IMPOSSIBLE
    assert "must be a number" in finding.trouble
    assert finding.wanted is None


def test_a_read_only_setting_is_impossible_only_where_it_differs() -> None:
    board = snapshot(setting("a", num("1"), writable=False))
    same = judged(compare(board, intent(wanted("a", written("1")))))
    other = judged(compare(board, intent(wanted("a", written("2")))))
    assert same.state is State.AS_INTENDED
    assert (other.state, other.trouble) == (State.IMPOSSIBLE, "read-only")


@pytest.mark.parametrize("writable", [True, False])
def test_a_waived_difference_is_accepted_with_its_reason(*, writable: bool) -> None:
    board = snapshot(setting("a", num("1"), writable=writable))
    difference = compare(board, intent(wanted("a", written("2")), waived="a"))
    assert judged(difference).state is State.WAIVED
    assert judged(difference).trouble == "old servo"
    assert difference.same


def test_a_waiver_does_not_hide_an_equal_or_an_impossible_value() -> None:
    board = snapshot(setting("a", num("1")))
    equal = compare(board, intent(wanted("a", written("1")), waived="a"))
    wrong = compare(board, intent(wanted("a", written("x")), waived="a"))
    assert judged(equal).state is State.AS_INTENDED
    assert judged(wrong).state is State.IMPOSSIBLE


def test_a_value_within_its_tolerance_is_as_intended() -> None:
    board = snapshot(setting("a", num("10.4")))
    asked = wanted("a", written("10"), tolerance=Decimal("0.5"))
    assert judged(compare(board, intent(asked))).state is State.AS_INTENDED


@pytest.mark.parametrize(
    ("name", "board_owned", "owner"),
    [
        ("craft.call", False, Owner.UNMANAGED),
        ("craft.call", True, Owner.BOARD),
        ("tilt.left.centre_us", False, Owner.FITTED),
        ("tilt.left.centre_us", True, Owner.BOARD),
        ("accel.x", False, Owner.BOARD),
    ],
)
def test_what_no_profile_speaks_of_is_left_alone_with_its_owner(
    name: str, *, board_owned: bool, owner: Owner
) -> None:
    board = snapshot(setting(name, num("1"), board_owned=board_owned))
    finding = judged(compare(board, intent()))
    assert (finding.state, finding.owner) == (State.LEFT_ALONE, owner)
    assert finding.now == num("1")


def every_state() -> Difference:
    board = snapshot(
        setting("other", num("1")),
        setting("differs", num("1")),
        setting("same", num("1")),
        setting("kind", Word("up")),
        setting("waived", num("1")),
        setting("fixed", num("1"), writable=False),
        replace(setting("passing", num("1")), never_kept=True),
    )
    names = ("same", "differs", "waived", "missing", "fixed", "passing")
    asked = [wanted(name, written("1" if name == "same" else "2")) for name in names]
    return compare(board, intent(*asked, waived="waived"))


def test_findings_follow_the_profile_and_then_the_board() -> None:
    assert [f.name for f in every_state().findings] == [
        "same",
        "differs",
        "waived",
        "missing",
        "fixed",
        "passing",
        "other",
        "kind",
    ]


def test_every_state_is_counted_even_when_empty() -> None:
    counts = every_state().counts
    assert dict(counts) == {State.LEFT_ALONE: 2} | {
        state: int(state is not State.REFUSED)
        for state in State
        if state is not State.LEFT_ALONE
    }
    assert set(compare(snapshot(), intent()).counts) == set(State)


def test_what_the_board_never_keeps_says_so_only_while_it_is_not_as_wanted() -> None:
    board = snapshot(replace(setting("a", num("1")), never_kept=True))
    same = judged(compare(board, intent(wanted("a", written("1")))))
    other = judged(compare(board, intent(wanted("a", written("2")))))
    waived = judged(compare(board, intent(wanted("a", written("2")), waived="a")))
    assert same.state is State.AS_INTENDED
    assert (other.state, other.trouble) == (
        State.NEVER_KEPT,
        "the board never keeps it: it is lost at every restart",
    )
    assert waived.state is State.WAIVED


@pytest.mark.parametrize("state", State)
def test_only_what_is_left_to_do_keeps_it_from_being_the_same(state: State) -> None:
    finding = Finding(name="a", state=state, owner=Owner.BASELINE)
    to_do = {State.DIFFERS, State.MISSING, State.REFUSED, State.IMPOSSIBLE}
    assert Difference(findings=(finding,)).same is (state not in to_do)


def test_findings_are_picked_by_state() -> None:
    picked = every_state().of(State.MISSING, State.WAIVED)
    assert [f.name for f in picked] == ["waived", "missing"]
