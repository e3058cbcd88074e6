"""Reading YAML as plain text: what is kept, and what is refused at which place."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.document import Items, Node, Scalar, Table
from benchlink.errors import FileError
from benchlink.store.strict_yaml import load, load_bytes, parse


def refusals(text: str) -> list[tuple[int, int, str]]:
    with pytest.raises(FileError) as caught:
        load(text, "f.yaml")
    assert all(p.place.file == "f.yaml" for p in caught.value.problems)
    return [(p.place.line, p.place.column, p.text) for p in caught.value.problems]


def texts(node: Node) -> object:
    match node:
        case Scalar():
            return node.text
        case Items():
            return [texts(item) for item in node.items]
        case Table():
            return {e.key.text: texts(e.value) for e in node.entries}


def test_scalars_stay_the_text_that_was_written() -> None:
    node = load("a: on\nb: 010\nc: 8:30\nd: 1_000\ne: ~\nf:\ng: [no, 1e3]", "f")

    assert texts(node) == {
        "a": "on",
        "b": "010",
        "c": "8:30",
        "d": "1_000",
        "e": "~",
        "f": "",
        "g": ["no", "1e3"],
    }


@pytest.mark.parametrize(
    ("text", "quoted"),
    [("on", False), ('"on"', True), ("'on'", True), ("|\n  on\n", True)],
)
def test_quotes_are_remembered(text: str, quoted: bool) -> None:  # noqa: FBT001
    node = load(f"a: {text}", "f")

    assert isinstance(node, Table)
    value = node.get("a")
    assert isinstance(value, Scalar)
    assert value.quoted is quoted


def test_places_count_from_one() -> None:
    node = load("# c\na:\n  b: [1, 2]", "f.yaml")

    assert isinstance(node, Table)
    inner = node.get("a")
    assert isinstance(inner, Table)
    assert str(inner.entries[0].key.place) == "f.yaml:3:3"
    assert str(inner.entries[0].value.place) == "f.yaml:3:6"


def test_several_mistakes_come_in_one_run() -> None:
    text = (
        "a: 1\na: 2\nb: &x 1\nc: *x\nd: !!str 2\n<<: {q: 1}\n? [1]\n: 2\nq\u202e: 1\n"
    )

    assert [(line, column) for line, column, _ in refusals(text)] == [
        (2, 1),
        (3, 4),
        (4, 4),
        (5, 4),
        (6, 1),
        (7, 3),
        (9, 2),
    ]


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ("a: 1\nb: 2\na: 3", 3, 1, "given twice (first on line 1)"),
        ("x:\n  - {b: 2, b: 3}", 2, 12, "given twice (first on line 2)"),
        ("a: &x 1", 1, 4, "anchors are not used"),
        ("a: &x [1]", 1, 4, "anchors are not used"),
        ("a: *x", 1, 4, "references are not used"),
        ("a: !foo {b: 1}", 1, 4, "tags"),
        ("a: ! b", 1, 4, "tags"),
        ("<<: {a: 1}", 1, 1, "not merged"),
        ("? {a: 1}\n: 2", 1, 3, "a key must be text"),
        ("?\n: 1", 1, 2, "a key is missing"),
        ("a: 1\n\tb: 2", 2, 1, "indent with blanks"),
        ("a: 1\n---\nb: 2", 2, 1, "a second document"),
        ("a: [1\nb: 2", 2, 2, "not closed"),
        ("a: {b: 1\n", 2, 1, "not closed"),
        ('a: "x\n', 2, 1, "never closed"),
        ('a: "\\q"', 1, 5, "backslash"),
        ("a: b: c", 1, 5, "a second `: `"),
        ("a: `x", 1, 4, "put it in quotes"),
        ("- 1\na: 2", 2, 1, "wrong indentation"),
        ("%YAML 1.3\n---\na: 1", 1, 1, "lines that begin with `%`"),
        ("", 1, 1, "nothing but blanks"),
        ("# only this\n", 1, 1, "nothing but blanks"),
        ("a: x\u200bz", 1, 5, "U+200B (ZERO WIDTH SPACE)"),
        ("# \u2066hidden", 1, 3, "U+2066"),
        ("a: \x00", 1, 4, "U+0000"),
        ("a: x\u2028y", 1, 5, "U+2028"),
        ("a: 1\rb", 1, 5, "U+000D"),
        ("a: \ufffe", 1, 4, "U+FFFE"),
        ("a: \udc80", 1, 4, "U+DC80"),
        ("a: " + "[" * 21 + "]" * 21, 1, 23, "more than 20"),
    ],
)
def test_each_refusal_names_its_place(
    text: str, line: int, column: int, words: str
) -> None:
    [found] = refusals(text)

    assert found[:2] == (line, column)
    assert words in found[2]


def test_twenty_levels_are_accepted() -> None:
    assert texts(load("[" * 20 + "]" * 20, "f")) is not None


def test_endless_nesting_is_refused_and_not_followed() -> None:
    [(line, _, words)] = refusals("[" * 5000)

    assert line == 1
    assert "more than 20" in words


def test_a_file_over_one_mebibyte_is_refused() -> None:
    with pytest.raises(FileError, match="longer than 1048576 bytes"):
        load("a: " + "x" * (1 << 20), "f")


def test_bytes_that_are_not_utf8_are_refused_with_their_offset() -> None:
    with pytest.raises(FileError, match="byte 0xFF at offset 4"):
        load_bytes(b"a: x\xff", "f")


def test_a_byte_order_mark_in_front_is_no_part_of_the_text() -> None:
    assert texts(load("\ufeffa: 1", "f")) == {"a": "1"}


def test_line_ends_of_other_systems_change_nothing() -> None:
    assert load("a: 1\r\nb: 2\r\n", "f") == load("a: 1\nb: 2\n", "f")


def test_many_hidden_characters_do_not_flood_the_list() -> None:
    assert len(refusals("a: " + "\u200b" * 500)) == 20


def test_the_parser_without_its_c_part_reads_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    text = "# c\na: {b: [1, 'x']}\nc:\n  - on\n"
    fast = parse(text, "f")

    monkeypatch.setattr(yaml, "__with_libyaml__", False)

    assert parse(text, "f") == fast


def test_the_parser_without_its_c_part_refuses_endless_nesting(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(yaml, "__with_libyaml__", False)

    assert "more than 20" in refusals("a: " + "[" * 5000)[0][2]


def test_a_block_ends_with_its_last_value_not_with_the_comment_after_it() -> None:
    parsed = parse("a:\n  b:\n    - 1\n    - 2\n\n# more\nc: 3\n", "f")

    assert isinstance(parsed.root, Table)
    span = parsed.span(parsed.root.entries[0].value)
    assert (span.line, span.end_line, span.end_column) == (2, 4, 7)


@pytest.mark.parametrize("libyaml", [True, False])
@pytest.mark.parametrize("escape", ["\\U00110000", "\\UFFFFFFFF", "\\uD800"])
def test_an_escape_that_is_no_character_is_refused(
    escape: str,
    libyaml: bool,  # noqa: FBT001
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(yaml, "__with_libyaml__", libyaml)

    assert len(refusals(f'a: "{escape}"')) == 1


YAML_LIKE = st.text(
    st.sampled_from("ab1: -[]{},\"'#&*!|>%?\n\t\\<@`~.=")
    | st.characters(exclude_categories=["Cs"]),
    max_size=60,
)


def problems_or_none(data: bytes) -> FileError | None:
    try:
        load_bytes(data, "f")
    except FileError as exc:
        return exc
    return None


@given(YAML_LIKE)
def test_any_text_is_read_or_refused_with_places(text: str) -> None:
    refused = problems_or_none(text.encode())

    places = [p.place for p in refused.problems] if refused else None
    assert places is None or (places and all(p.line >= 1 for p in places))


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    refused = problems_or_none(data)

    assert refused is None or "f" in str(refused)
