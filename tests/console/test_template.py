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
@given(st.text("ab: "), st.text("ab: "))
def test_rendering_refuses_whatever_would_be_read_otherwise(
    first: str, second: str
) -> None:
    form = template("let {name} be {what}")
    fields = {"name": first, "what": second}
    line = f"let {first} be {second}"
    if form.match(line) == fields:
        assert form.render(fields) == line
    else:
        with pytest.raises(ValueError, match="read as something else"):
            form.render(fields)


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
        ("{name}: 1", "a b: 1"),
        ("={word}", "="),
        ("done", "done "),
        ("done", "don"),
        ("a{ }b", "a"),
    ],
)
def test_a_line_of_another_form_is_none(source: str, line: str) -> None:
    assert template(source).match(line) is None


def test_a_value_and_a_remark_may_be_empty() -> None:
    assert template("note: {remark}").match("note: ") == {"remark": ""}
    assert template("={value}").match("=") == {"value": ""}


def test_the_parts_and_fields_of_a_template_are_known() -> None:
    form = template("a{ }{name}!")
    assert form.parts == (
        Literal("a"),
        Blanks(),
        Field("name", Shape.UNBROKEN),
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
