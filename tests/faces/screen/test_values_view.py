"""Which rows show, how they are laid out, and what is typed to find them."""

from dataclasses import replace

import pytest

from benchlink.core.intent import Owner
from benchlink.faces.screen.frame.marks import Mark
from benchlink.faces.screen.frame.page import LEAST_COLUMNS
from benchlink.faces.screen.threads.rows import Row, Use
from benchlink.faces.screen.values.columns import columns, heads, pieces
from benchlink.faces.screen.values.search_line import SearchLine
from benchlink.faces.screen.values.values_words import owners
from benchlink.faces.screen.values.view import Shown, View, show
from tests.faces.screen.values_bench import lw03_facts, row

STRANGE = Row(name="tilt.left.centre_us", mark=Mark.STRANGE, reason="r")
ROWS = (
    row("tilt.left", owner=Owner.FITTED, changed=True),
    row("tilt.right", Mark.AS_INTENDED, Use.NOTHING, Owner.FITTED),
    row("pack.cells", Mark.AS_INTENDED, Use.NOTHING, changed=True),
    row("accel.zero", Mark.LEFT_ALONE, Use.NOTHING, Owner.BOARD),
    STRANGE,
)


def names(shown: Shown) -> list[str]:
    return [r.name for r in shown.rows]


def test_owner_state_search_and_change_narrow_each_other() -> None:
    assert names(show(View(owner=Owner.FITTED), ROWS)) == ["tilt.left", "tilt.right"]
    fitted = View(owner=Owner.FITTED, only=Mark.AS_INTENDED)
    assert names(show(fitted, ROWS)) == ["tilt.right"]
    assert names(show(replace(fitted, search="LEFT"), ROWS)) == []
    assert names(show(View(changed=True, search="tilt"), ROWS)) == ["tilt.left"]


def test_states_are_counted_of_the_owner_whatever_is_searched_for() -> None:
    shown = show(View(owner=Owner.FITTED, search="left"), ROWS)
    assert (shown.states[Mark.DIFFERS], shown.states[Mark.AS_INTENDED]) == (1, 1)
    assert shown.among == 2
    assert show(View(changed=True), ROWS).among == 2
    assert shown.owners == {Owner.FITTED: 2, Owner.BASELINE: 1, Owner.BOARD: 1}
    assert (shown.total, shown.changed) == (5, 2)


def test_a_number_shows_as_many_rows_as_stand_beside_it() -> None:
    for owner in (None, *Owner):
        for only in Mark:
            shown = show(View(owner=owner, only=only), ROWS)
            assert len(shown.rows) == shown.states.get(only, 0)


def test_owners_that_are_there_are_gone_through_both_ways() -> None:
    shown = show(View(), ROWS)
    gone_through = []
    for _ in range(4):
        shown = show(shown.owner_beside(1), ROWS)
        gone_through.append(shown.view.owner)
    assert gone_through == [Owner.BASELINE, Owner.FITTED, Owner.BOARD, None]
    assert shown.owner_beside(-1).owner is Owner.BOARD


def test_an_owner_that_has_no_rows_any_more_still_shows_and_can_be_left() -> None:
    shown = show(View(owner=Owner.KIT), ROWS)
    assert Owner.KIT in shown.choices
    assert shown.owner_beside(1).owner is Owner.FITTED


@pytest.mark.parametrize("width", [58, 78, 118, 198])
def test_the_line_of_owners_fits_whatever_is_in_it(width: int) -> None:
    many = tuple(row(f"{o.value}{n}", owner=o) for o in Owner for n in range(999))
    facts = replace(lw03_facts(), copied="24 Nov 2025 10:12", gone=12)
    shown = show(View(owner=Owner.FITTED), many)
    line = owners(shown, facts, width)
    assert len(line) == width
    assert "[fitted 999]" in line
    assert "c changed" in line
    assert ".." not in line


def test_what_is_typed_grows_and_shrinks_and_ends() -> None:
    line = SearchLine(typing=True)
    for key, character in (("t", "t"), ("space", " "), ("backspace", "\x7f")):
        line = line.pressed(key, character) or SearchLine()
    assert line == SearchLine(text="t", typing=True)
    assert line.pressed("down", None) is None
    assert line.pressed("tab", "\t") is None
    assert line.pressed("enter", "\r") == SearchLine(text="t")
    assert line.pressed("escape", "\x1b") == SearchLine()
    assert line.pasted("ilt\x1b\nq").text == "tilt"


@pytest.mark.parametrize("width", range(LEAST_COLUMNS - 4, 200))
@pytest.mark.parametrize("compared", [True, False])
@pytest.mark.parametrize("copied", [True, False])
def test_a_row_never_takes_more_than_its_width(
    width: int, *, compared: bool, copied: bool
) -> None:
    layout = columns(width, compared=compared, copied=copied)
    drawn = "".join(text for text, _ in pieces(STRANGE, layout, "leave"))
    assert len(drawn.rstrip()) <= width
    assert len(heads(layout).rstrip()) <= width


@pytest.mark.parametrize("width", [76, 116, 196])
def test_name_values_copy_state_and_mark_fit_an_ordinary_terminal(width: int) -> None:
    layout = columns(width, compared=True, copied=True)
    shown = heads(layout).split()
    assert shown[:6] == ["name", "now", "wanted", "copy", "state", "mark"]
    assert ("owner" in shown) is (width > 100)


def test_heads_stand_over_their_columns() -> None:
    layout = columns(140, compared=True, copied=True)
    stranger = replace(STRANGE, owner=Owner.BASELINE, copy="1444")
    drawn = "".join(text for text, _ in pieces(stranger, layout, "leave"))
    for text, head in (
        ("1444", "copy"),
        ("?? not", "state"),
        ("leave", "mark"),
        ("baseline", "owner"),
    ):
        assert drawn.index(text) == heads(layout).index(head)
