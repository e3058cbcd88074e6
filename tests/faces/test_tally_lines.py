"""Owners and states as a table that fits, and banks that stand apart."""

from dataclasses import replace

import pytest

from benchlink.core.difference import Difference, Finding, State
from benchlink.core.intent import Owner
from benchlink.core.tally import Tally, tally
from benchlink.faces.tally_lines import tally_lines
from benchlink.faces.wording import state_lines

FULL = Tally(
    counts={
        (owner, state): 100 * row + column
        for row, owner in enumerate(Owner, start=1)
        for column, state in enumerate(State)
    }
)


def test_a_table_has_only_what_has_anything() -> None:
    few = Tally(
        counts={
            (Owner.KIT, State.DIFFERS): 2,
            (Owner.UNMANAGED, State.LEFT_ALONE): 450,
        }
    )
    assert tally_lines(few, 80) == [
        "             differs  left alone",
        "  kit              2           -",
        "  unmanaged        -         450",
    ]
    assert tally_lines(Tally(counts={}), 80) == []


def test_the_fullest_table_has_every_state_once() -> None:
    lines = tally_lines(FULL, 100)
    assert len(lines) == 1 + len(Owner)
    assert max(map(len, lines)) <= 100
    assert all(state.value in lines[0] for state in State)


@pytest.mark.parametrize("width", [20, 40, 60, 80])
def test_where_a_table_is_too_wide_it_becomes_sentences(width: int) -> None:
    lines = tally_lines(FULL, width)
    assert max(map(len, lines)) <= width
    said = " ".join(" ".join(lines).split())
    assert "kit: 200 differs, 201 missing, 202 refused" in said


def test_settings_of_a_bank_stand_under_its_name() -> None:
    plain = Finding(name="gain", state=State.DIFFERS, owner=Owner.BASELINE)
    found = [plain, *(replace(plain, name=n, bank="2") for n in ("b2.a", "b2.b"))]
    lines = state_lines(Difference(findings=tuple(found)), 80)
    assert [line.split("  nothing")[0].rstrip() for line in lines] == [
        "* 3 differ",
        "  gain",
        "  bank 2: 2",
        "  b2.a",
        "  b2.b",
    ]
    assert (
        tally(Difference(findings=tuple(found))).of(Owner.BASELINE, State.DIFFERS) == 3
    )
