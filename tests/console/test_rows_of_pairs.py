"""Rows with marks within and between cells, cells left out, and letters."""

import pytest

from benchlink.console.cells import Cell, Layout
from benchlink.console.forms import CellStyle, Row
from benchlink.console.grammar import Grammar
from benchlink.console.template import template
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.values import Number, decimal_or_none
from tests.console.talking import command, console, listed

PAIRS = Row(
    template=template("{thing}: {cells}"),
    style=CellStyle.PAIRS,
    between=" / ",
    equals="=",
    quote='"',
)
LEFT_OUT = Row(
    template=template("{thing}: {cells}"),
    style=CellStyle.LETTERS,
    empty="-",
    absent={"H": "100", "M": "90"},
)


def cells(form: Row, line: str) -> dict[str, str] | None:
    taken: tuple[Cell, ...] | None = form.take(line, Layout())
    return None if taken is None else {cell.name: cell.raw for cell in taken}


def test_a_row_of_pairs_has_names_with_blanks_and_values_with_marks() -> None:
    line = 'tilt: hold on=yes / note="a / b=c" / ends=1,2'
    assert cells(PAIRS, line) == {
        "tilt.hold on": "yes",
        "tilt.note": '"a / b=c"',
        "tilt.ends": "1,2",
    }


@pytest.mark.parametrize("line", ["tilt: 5", "tilt: =5", "tilt: a=1 / b", "tilt"])
def test_a_line_that_does_not_fall_into_pairs_is_another(line: str) -> None:
    assert cells(PAIRS, line) is None


def test_a_cell_that_is_left_out_holds_its_default() -> None:
    assert cells(LEFT_OUT, "S: M80") == {"S.M": "80", "S.H": "100"}
    assert cells(LEFT_OUT, "S: -") == {"S.H": "100", "S.M": "90"}


def test_a_letter_is_written_right_before_its_value() -> None:
    description = console(
        settings='[{list: {line: all}, forms: [{row: "{thing}: {cells}",'
        " cells: letters, written-by: write-letter}]}]",
        verbs='{write-letter: {line: "put {thing} {letter}{value}"}}',
    )
    answer = Answer(command=command("all"), verdict=Verdict.OK, lines=("S: H1 M2",))
    snapshot = listed(answer, description)
    value = decimal_or_none("7.5")
    assert value is not None
    said = Grammar(description).write(snapshot.settings["S.M"], Number(value))
    assert [c.line for c in said.commands] == ["put S M7.5"]


def test_a_letter_is_one_and_the_value_all_that_follows() -> None:
    form = template("put {letter}{value}")
    assert form.match("put M7.5") == {"letter": "M", "value": "7.5"}
    assert form.match("put M") == {"letter": "M", "value": ""}
    assert form.match("put 7") is None
    assert form.match("put ") is None
