"""Each form in which consoles list settings, line by line."""

import pytest

from benchlink.console.cells import Cell, Layout, Mark, Traits
from benchlink.console.columns import Column, Columns
from benchlink.console.forms import Block, CellStyle, Form, Heading, Pair, Row
from benchlink.console.template import template


def taken(form: Form, *lines: str, asked: str = "") -> list[Cell] | None:
    """The cells of the last line, when all before it were taken as well."""
    layout = Layout(asked=asked)
    cells: tuple[Cell, ...] | None = ()
    for line in lines:
        cells = form.take(line, layout)
    return None if cells is None else list(cells)


def held(form: Form, *lines: str, asked: str = "") -> dict[str, str] | None:
    cells = taken(form, *lines, asked=asked)
    return None if cells is None else {cell.name: cell.raw for cell in cells}


# Pairs and sentences


def test_a_pair_is_one_setting_a_line() -> None:
    form = Pair(template=template("  {name}: {value}"))
    assert held(form, "  tilt left: 1500") == {"tilt left": "1500"}
    assert held(form, "  note: ") == {"note": ""}
    assert held(form, "tilt: 1500") is None


def test_a_sentence_is_a_pair_in_words() -> None:
    form = Pair(template=template("The {name} is {value} us."))
    assert held(form, "The left centre is 1500 us.") == {"left centre": "1500"}
    assert held(form, "The left centre is 1500 us") is None


def test_a_pair_may_hold_a_constant_value() -> None:
    form = Pair(template=template("{name} is free"), value="free")
    assert held(form, "p7 is free") == {"p7": "free"}
    assert held(form, "p7 carries lamp") is None


def test_a_bare_value_has_the_name_that_was_asked_for() -> None:
    assert held(Pair(template=template("{value}")), "1500", asked="tilt") == {
        "tilt": "1500"
    }


def test_a_cell_keeps_what_a_write_has_to_name_but_not_its_value() -> None:
    form = Pair(template=template("{key}/{name}: {value} {unit} {marks}"))
    cells = taken(form, "tilt/left: 1500 us w")
    assert cells is not None
    assert dict(cells[0].address) == {"key": "tilt", "unit": "us", "own": "left"}


# Headings


def test_headings_above_are_part_of_an_indented_name() -> None:
    layout = Layout()
    heading = Heading(template=template("{part}:"))
    pair = Pair(template=template("{name} {value}"), headed=True, join="/")
    lines = ["tilt:", "  left:", "    centre 1500", "  bend 5", "craft 1", "pack:"]
    names: list[str] = []
    for line in [*lines, "  cells 4"]:
        if heading.take(line, layout) is None:
            names += [cell.name for cell in pair.take(line, layout) or ()]
    assert names == ["tilt/left/centre", "tilt/bend", "craft", "pack/cells"]


def test_a_headed_cell_keeps_its_own_name_beside_the_whole_one() -> None:
    layout = Layout()
    Heading(template=template("[{part}]")).take("[tilt]", layout)
    pair = Pair(template=template("{name}={value}"), headed=True)
    (cell,) = pair.take("  left=5", layout) or ()
    assert (cell.name, cell.address["own"]) == ("tilt.left", "left")


def test_a_heading_of_the_same_depth_replaces_the_one_before() -> None:
    layout = Layout()
    heading = Heading(template=template("{part}:"))
    for line in ("tilt:", "  left:", "  right:"):
        assert heading.take(line, layout) == ()
    assert layout.under(9) == ("tilt", "right")
    assert layout.under(2) == ("tilt",)
    assert layout.under(0) == ()


# Rows


ROW = Row(template=template("{thing} {cells}"), style=CellStyle.WORDS, quote="<>")


def test_a_row_of_words_holds_several_settings_of_one_thing() -> None:
    assert held(ROW, "tilt-L mid 1500  aft 350") == {
        "tilt-L.mid": "1500",
        "tilt-L.aft": "350",
    }
    assert held(ROW, "tilt-L mid 1500 aft") is None
    assert held(ROW, "tilt-L ") == {}


def test_a_row_is_not_cut_between_quotes() -> None:
    row = 'craft call <two  words> tail <> note "a'
    assert held(ROW, row) == {
        "craft.call": "<two  words>",
        "craft.tail": "<>",
        "craft.note": '"a',
    }
    plain = Row(template=template("{thing} {cells}"), style=CellStyle.WORDS, quote='"')
    assert held(plain, 'craft call "a b" tail "c"') == {
        "craft.call": '"a b"',
        "craft.tail": '"c"',
    }
    assert held(plain, 'craft call "never closed tail 5') == {
        "craft.call": '"never closed tail 5'
    }


def test_a_row_of_letters_may_be_in_any_order_and_leave_some_out() -> None:
    form = Row(template=template("+{thing}: {cells}"), style=CellStyle.LETTERS)
    assert held(form, "+GRLL: H0.60 G1.20") == {"GRLL.H": "0.60", "GRLL.G": "1.20"}
    assert held(form, "+GRLL: ") == {}
    assert held(form, "+GRLL: 5") is None
    assert held(form, "+GRLL: G") is None


def test_a_row_of_signs_is_on_and_off() -> None:
    form = Row(template=template("{thing}: {cells}"), style=CellStyle.SIGNS, join="/")
    assert held(form, "options: +steady-on -log-on") == {
        "options/steady-on": "+",
        "options/log-on": "-",
    }
    for line in ("options: steady-on", "options: +", "options: *steady"):
        assert held(form, line) is None


def test_a_row_without_a_thing_has_the_one_that_was_asked_for() -> None:
    form = Row(template=template("{cells}"), style=CellStyle.LETTERS)
    assert held(form, "G1 H2", asked="roll") == {"roll.G": "1", "roll.H": "2"}
    assert held(form, "G1 H2") == {"G": "1", "H": "2"}


def test_each_cell_of_a_row_tells_its_thing_and_key() -> None:
    cells = taken(ROW, "tilt-L mid 1500")
    assert cells is not None
    assert dict(cells[0].address) == {"thing": "tilt-L", "key": "mid", "own": "mid"}


# Columns


COLUMNS = Columns(
    columns=(
        Column(name="name", first=1, last=10),
        Column(name="value", first=12, last=17),
        Column(name="unit", first=19, last=21),
        Column(name="marks", first=23),
    ),
    traits=Traits(marks={"w": Mark.WRITABLE, "": Mark.READ_ONLY}),
)


@pytest.mark.parametrize(
    ("line", "held_there"),
    [
        ("tilt left    1500 us  w", {"tilt left": "1500"}),
        ("tilt left  up", {"tilt left": "up"}),
        ("tilt left", {"tilt left": ""}),
        ("tilt left         us", {"tilt left": ""}),
        ("tilt left  x 1500 us  w", {"tilt left": "x 1500"}),
        ("tilt left xx 1500 us  w", None),
        ("tilt left- 1500", {"tilt left-": "1500"}),
        ("tilt left-x1500", None),
        ("tilt left    1500xus  w", None),
        ("tilt left    1500 usxw", None),
        ("             1500 us  w", None),
        ("", None),
    ],
)
def test_columns_are_cut_by_position(
    line: str, held_there: dict[str, str] | None
) -> None:
    assert held(COLUMNS, line) == held_there


@pytest.mark.parametrize("line", ["tilt  x   1500", "tilt      1500 x"])
def test_what_stands_in_no_column_makes_it_another_line(line: str) -> None:
    name = Column(name="name", first=1, last=5)
    form = Columns(columns=(name, Column(name="value", first=11, last=14)))
    assert held(form, "tilt      1500") == {"tilt": "1500"}
    assert held(form, line) is None


@pytest.mark.parametrize(
    ("line", "mark"),
    [
        ("tilt left    1500 us  w", Mark.WRITABLE),
        ("tilt left    1500 us", Mark.READ_ONLY),
        ("tilt left    1500 us  x", None),
    ],
)
def test_a_mark_says_what_the_file_says_it_says(line: str, mark: Mark | None) -> None:
    cells = taken(COLUMNS, line)
    assert cells is not None
    assert cells[0].mark is mark


# Blocks


BLOCK = Block(opens=template("{name} <<"), closes=template(">>"))


def test_a_block_is_a_value_over_several_lines() -> None:
    layout = Layout()
    assert BLOCK.take("note <<", layout) == ()
    assert layout.open_block is BLOCK
    for line in ("first", "", "  a: 5"):
        assert BLOCK.go_on(line, layout) == ()
    (cell,) = BLOCK.go_on(">>", layout)
    assert (cell.name, cell.raw) == ("note", "first\n\n  a: 5")
    assert layout.open_block is None


def test_an_empty_block_is_empty_and_a_second_one_begins_anew() -> None:
    layout = Layout()
    BLOCK.take("note <<", layout)
    BLOCK.go_on("old", layout)
    BLOCK.go_on(">>", layout)
    BLOCK.take("more <<", layout)
    (cell,) = BLOCK.go_on(">>", layout)
    assert (cell.name, cell.raw) == ("more", "")


def test_a_block_without_a_name_has_the_one_that_was_asked_for() -> None:
    layout = Layout(asked="note")
    form = Block(opens=template("<<"), closes=template(">>"))
    form.take("<<", layout)
    assert form.go_on(">>", layout)[0].name == "note"
