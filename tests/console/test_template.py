import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.template import (
    Blanks,
    Field,
    Literal,
    Shape,
    TemplateError,
    template,
)
from tests.console.talking import MANY

NAMES = st.text("abc._19", min_size=1)
VALUES = st.text(st.characters(min_codepoint=32, max_codepoint=126))


@MANY
@given(name=NAMES, value=VALUES)
def test_what_is_rendered_is_read_back_as_the_same_fields(
    name: str, value: str
) -> None:
    form = template("  {name}: {value}")
    fields = {"name": name, "value": value}
    assert form.match(form.render(fields)) == fields


@MANY
@given(st.text("ab: ", max_size=20))
def test_a_line_that_is_read_is_written_as_it_was(line: str) -> None:
    form = template("a{what}: {value}")
    fields = form.match(line)
    assert fields is None or form.render(fields) == line


def test_a_field_ends_at_the_first_place_of_the_text_after_it() -> None:
    form = template("{what}: {value}")
    assert form.match("a: b: c") == {"what": "a", "value": "b: c"}


def test_the_last_text_is_looked_for_at_the_end_so_a_value_may_hold_it() -> None:
    assert template("<{value}>").match("<a > b>") == {"value": "a > b"}
    assert template("<{value}>").match("<a > b") is None
    assert template("<{value}>").match("<") is None


def test_a_run_of_blanks_takes_one_or_more_and_is_written_as_one() -> None:
    form = template("type{ }{type}")
    assert form.match("type      wader") == {"type": "wader"}
    assert form.match("typewader") is None
    assert form.render({"type": "wader"}) == "type wader"


def test_doubled_braces_are_braces() -> None:
    form = template("{{{value}}}")
    assert form.match("{5}") == {"value": "5"}
    assert form.render({"value": "5"}) == "{5}"


@pytest.mark.parametrize(
    ("source", "line"),
    [
        ("kept {count} settings", "kept many settings"),
        ("kept {count} settings", "kept  settings"),
        ("kept {count} settings", "kept \u0663 settings"),
        ("{name}: 1", ": 1"),
        ("{name}: 1", " a: 1"),
        ("{name}: 1", "a : 1"),
        ("{thing}!", " !"),
        ("{part}:", "a :"),
        ("{own}=1", "=1"),
        ("{key}: 1", "a b: 1"),
        ("bank {bank}", "bank 1 2"),
        ("bank {bank}", "bank "),
        ("={word}", "="),
        ("done", "done "),
        ("done", "don"),
        ("a{ }b", "a"),
    ],
)
def test_a_line_of_another_form_is_none(source: str, line: str) -> None:
    assert template(source).match(line) is None


@pytest.mark.parametrize("name", ["value", "cells", "marks", "remark", "anything"])
def test_these_fields_may_be_empty(name: str) -> None:
    assert template(f"<{{{name}}}>").match("<>") == {name: ""}


def test_a_name_may_hold_blanks_inside() -> None:
    assert template("{name}: 1").match("tilt left: 1") == {"name": "tilt left"}


@pytest.mark.parametrize(
    ("line", "rest"),
    [
        ("[17]> ", ""),
        ("[17]> show", "show"),
        ("[17]>  show", " show"),
        ("[17]>", None),
        ("[x]> show", None),
        ("a [17]> show", None),
    ],
)
def test_what_follows_a_template_at_the_start_of_a_line_is_the_rest(
    line: str, rest: str | None
) -> None:
    assert template("[{count}]> ").rest_after(line) == rest


def test_the_rest_after_a_closing_field_is_nothing() -> None:
    assert template("> {mode}").rest_after("> view list") == ""


def test_the_parts_and_fields_of_a_template_are_known() -> None:
    form = template("a{ }{name}!")
    assert form.parts == (
        Literal("a"),
        Blanks(),
        Field("name", Shape.TRIMMED),
        Literal("!"),
    )
    assert form.fields == ("name",)


@pytest.mark.parametrize(
    ("source", "column", "words"),
    [
        ("", 1, "empty template"),
        ("let {name", 5, "never closed"),
        ("let name}", 9, "single closing brace"),
        ("let {}", 5, "letters and digits"),
        ("a {b c}", 3, "letters and digits"),
        ("{\u00e9}", 1, "letters and digits"),
        ("{_}", 1, "letters and digits"),
        ("{a}{b}", 4, "side by side"),
        ("{key}{value}", 6, "one letter is {letter}"),
        ("{a}{letter}{b}", 12, "side by side"),
        ("{a} {a}", 5, "stands here twice"),
        ("a{ }{ }b", 5, "blanks after"),
        ("a{ } b", 5, "blanks after"),
    ],
)
def test_a_template_that_cannot_work_names_its_column(
    source: str, column: int, words: str
) -> None:
    with pytest.raises(TemplateError, match=words) as caught:
        template(source)
    assert caught.value.column == column


class CountingLine(str):
    """A line that counts the characters each search may look at."""

    __slots__ = ("looked",)

    def __init__(self, text: str) -> None:
        del text
        self.looked = 0

    def find(self, *args: object) -> int:
        sub, at = str(args[0]), int(str(args[1]))
        found = str(self).find(sub, at)
        self.looked += (len(self) if found < 0 else found + len(sub)) - at
        return found


@pytest.mark.parametrize("unit", [": ", ":", " be ", "a: be b: "])
def test_reading_looks_at_no_character_of_a_hostile_line_more_than_a_few_times(
    unit: str,
) -> None:
    form = template("{what}: {a} be {b}: {c};{d}; {value}")
    line = CountingLine(unit * 2000)
    form.match(line)
    assert line.looked <= 3 * len(line)


@pytest.mark.parametrize(
    ("source", "line", "fields"),
    [
        ("{letter}{value}", "G1.2", {"letter": "G", "value": "1.2"}),
        ("{value}{letter}", "1.2G", {"letter": "G", "value": "1.2"}),
        ("{letter}{value}", "G", {"letter": "G", "value": ""}),
        ("{value}{letter}", "G", {"letter": "G", "value": ""}),
        ("x{value}{letter}", "x", None),
        ("{value}{letter}", "1.2", None),
        (
            "{value}{letter};{more}",
            "a1G;b",
            {"value": "a1", "letter": "G", "more": "b"},
        ),
        ("{value}{letter};{more}", ";b", None),
        ("{value}{letter}{ }{b}", "1G  x", {"value": "1", "letter": "G", "b": "x"}),
        ("<{value}{letter}>", "<1G>", {"value": "1", "letter": "G"}),
        ("<{value}{letter}>", "<>", None),
    ],
)
def test_a_letter_may_stand_beside_another_field(
    source: str, line: str, fields: dict[str, str] | None
) -> None:
    form = template(source)
    assert form.match(line) == fields
    if fields is not None and "  " not in line:
        assert form.render(fields) == line


def test_fields_side_by_side_take_linear_time() -> None:
    form = template("{value}{letter};{more}")
    line = "a" * 200_000
    assert form.match(line) is None
    assert form.match(f"{line};b") == {"value": line[1:], "letter": "a", "more": "b"}
