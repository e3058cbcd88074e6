"""Counts by owner and state, banks apart, and what a failed change leaves to report."""

from dataclasses import replace

import pytest

from benchlink.core.difference import Difference, Finding, State, compare
from benchlink.core.intent import Owner
from benchlink.core.refusal import not_taken
from benchlink.core.tally import by_bank, tally
from tests.core.making import intent, num, setting, snapshot, wanted, written


def finding(name: str, state: State, owner: Owner, bank: str = "") -> Finding:
    return Finding(name=name, state=state, owner=owner, bank=bank)


FINDINGS = Difference(
    findings=(
        finding("a", State.DIFFERS, Owner.KIT),
        finding("b", State.DIFFERS, Owner.KIT, "2"),
        finding("c", State.AS_INTENDED, Owner.BASELINE, "1"),
        finding("d", State.LEFT_ALONE, Owner.UNMANAGED, "2"),
    )
)


def test_a_tally_has_only_rows_and_columns_with_anything_in_them() -> None:
    counts = tally(FINDINGS)
    assert counts.owners == (Owner.BASELINE, Owner.KIT, Owner.UNMANAGED)
    assert counts.states == (State.DIFFERS, State.AS_INTENDED, State.LEFT_ALONE)


def test_every_cell_of_a_tally_adds_up_to_all_settings() -> None:
    counts = tally(FINDINGS)
    assert counts.of(Owner.KIT, State.DIFFERS) == 2
    assert counts.of(Owner.FITTED, State.WAIVED) == 0
    cells = [counts.of(o, s) for o in Owner for s in State]
    assert sum(cells) == len(FINDINGS.findings)


def test_settings_of_a_bank_stand_together_after_those_of_none() -> None:
    names = {
        b: [f.name for f in found] for b, found in by_bank(FINDINGS.findings).items()
    }
    assert names == {"": ["a"], "2": ["b", "d"], "1": ["c"]}
    assert by_bank(()) == {}


def test_a_finding_knows_the_bank_of_its_setting() -> None:
    banked = replace(setting("b2.gain", num("1")), address={"bank": "2"})
    board = snapshot(banked, setting("other", num("1")))
    difference = compare(board, intent(wanted("b2.gain", written("2"))))
    assert [f.bank for f in difference.findings] == ["2", ""]


@pytest.mark.parametrize(
    ("owners", "states", "names"),
    [
        ([], [], "abcd"),
        ([Owner.KIT], [], "ab"),
        ([], [State.DIFFERS, State.LEFT_ALONE], "abd"),
        ([Owner.BASELINE], [State.DIFFERS], ""),
    ],
)
def test_findings_are_filtered_by_owner_and_state(
    owners: list[Owner], states: list[State], names: str
) -> None:
    left = FINDINGS.only(owners, states)
    assert "".join(f.name for f in left.findings) == names


def test_a_missing_setting_can_be_waived() -> None:
    difference = compare(snapshot(), intent(wanted("a", written("2")), waived="a"))
    (only,) = difference.findings
    assert (only.state, only.trouble) == (State.WAIVED, "old servo")
    assert difference.same


def test_what_the_board_refused_is_told_from_what_it_stored_otherwise() -> None:
    told = not_taken(
        FINDINGS, refused={"a": "above 36"}, untaken={"a": "x", "b": "it holds 3"}
    )
    states = {f.name: (f.state, f.trouble) for f in told.findings}
    assert states["a"] == (State.REFUSED, "above 36")
    assert states["b"] == (State.DIFFERS, "it holds 3")
    assert states["c"] == (State.AS_INTENDED, "")
    assert not told.same
