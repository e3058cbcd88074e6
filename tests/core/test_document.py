import pytest

from benchlink.core.document import (
    Entry,
    Items,
    Node,
    Problems,
    Scalar,
    Table,
    TableReader,
    kind_of,
    nearest,
)
from benchlink.errors import FileError, Place

TOP = Place("f.yaml", 1, 1)


def at(text: str, line: int = 2, column: int = 5) -> Scalar:
    return Scalar(text, quoted=False, place=Place("f.yaml", line, column))


def table(**values: Node) -> Table:
    entries = (Entry(at(key, 2, 1), value) for key, value in values.items())
    return Table(tuple(entries), TOP)


def items(*nodes: Node) -> Items:
    return Items(nodes, Place("f.yaml", 2, 5))


@pytest.fixture
def problems() -> Problems:
    return Problems()


def reader(node: Node, problems: Problems) -> TableReader:
    return TableReader(node, problems, "a rule")


def texts(problems: Problems) -> list[str]:
    return [str(problem) for problem in problems.found]


def test_a_table_gives_the_node_under_a_key_or_none() -> None:
    node = at("5")
    assert table(a=node).get("a") is node
    assert table(a=node).get("b") is None


@pytest.mark.parametrize(
    ("node", "words"),
    [(at("x"), "the text 'x'"), (items(), "a list"), (table(), "a table of keys")],
)
def test_a_node_has_a_name_for_people(node: Node, words: str) -> None:
    assert kind_of(node) == words


def test_problems_end_the_reading_together_in_the_order_of_their_places(
    problems: Problems,
) -> None:
    problems.stop_if_any("the file")
    for line, column in ((9, 1), (2, 7), (2, 3)):
        problems.add(Place("f.yaml", line, column), "bad")
    with pytest.raises(FileError, match="the file has 3 mistakes") as caught:
        problems.stop_if_any("the file")
    assert caught.value.details == (
        "f.yaml:2:3: bad",
        "f.yaml:2:7: bad",
        "f.yaml:9:1: bad",
    )


def test_one_problem_is_one_mistake(problems: Problems) -> None:
    problems.add(TOP, "bad")
    with pytest.raises(FileError, match=r"has 1 mistake$"):
        problems.stop_if_any("the file")


def test_a_reader_of_anything_but_a_table_says_so(problems: Problems) -> None:
    assert reader(at("x"), problems).take("a") is None
    assert texts(problems) == [
        "f.yaml:2:5: a rule must be a table of keys, not the text 'x'"
    ]


def test_what_is_left_over_is_named_with_what_is_known(problems: Problems) -> None:
    rule = reader(table(a=at("1"), b=at("2")), problems)
    rule.text("a")
    rule.text("c")
    rule.finish()
    assert texts(problems) == ["f.yaml:2:1: a rule does not know `b:` (it knows a, c)"]


def test_a_key_that_was_looked_for_is_known_but_still_there(problems: Problems) -> None:
    rule = reader(table(a=at("1"), b=at("2")), problems)
    assert rule.has("a")
    assert not rule.has("c")
    assert rule.text("a") == "1"
    assert not rule.has("a")
    rule.finish()
    assert len(problems.found) == 1
    assert "(it knows a, c" in texts(problems)[0]


def test_keys_that_begin_alike_are_found_in_written_order(problems: Problems) -> None:
    rule = reader(table(write_b=at("1"), write_a=at("2"), read=at("3")), problems)
    rule.text("write_b")
    assert rule.names_like("write") == ("write_a",)
    assert reader(table(b=at("1"), ba=at("2")), problems).names_like("b") == ("b", "ba")


def test_the_rest_of_a_table_of_data_is_taken_at_once(problems: Problems) -> None:
    rule = reader(table(a=at("1"), b=at("2")), problems)
    rule.text("a")
    assert [entry.key.text for entry in rule.entries()] == ["b"]
    rule.finish()
    assert problems.found == []


def test_text_is_given_as_written_or_as_the_default(problems: Problems) -> None:
    rule = reader(table(a=at("on"), b=items()), problems)
    assert rule.text("a") == "on"
    assert rule.text("c", "dflt") == "dflt"
    assert rule.text("b") == ""
    assert texts(problems) == ["f.yaml:2:5: `b:` must be text, not a list"]


def test_needed_text_may_be_neither_absent_nor_empty(problems: Problems) -> None:
    rule = reader(table(a=at(""), b=at("x"), d=items()), problems)
    assert [rule.need_text(key) for key in "abcd"] == ["", "x", "", ""]
    assert texts(problems) == [
        "f.yaml:2:5: `a:` is empty",
        "f.yaml:1:1: a rule needs `c:`",
        "f.yaml:2:5: `d:` must be text, not a list",
    ]


@pytest.mark.parametrize(
    ("text", "number", "mistakes"),
    [("7", 7, 0), ("x", 5, 1), ("1.5", 5, 1), ("1", 5, 1), ("9" * 5000, 5, 1)],
)
def test_a_whole_number_has_a_least_value(
    problems: Problems, text: str, number: int, mistakes: int
) -> None:
    rule = reader(table(a=at(text)), problems)
    assert rule.whole("a", 5, least=2) == number
    assert len(problems.found) == mistakes
    assert rule.whole("gone", 5) == 5


@pytest.mark.parametrize(
    ("text", "number", "mistakes"),
    [("0.5", 0.5, 0), ("0", 3.0, 1), ("-1", 3.0, 1), ("nan", 3.0, 1), ("inf", 3.0, 1)],
)
def test_a_number_is_above_zero(
    problems: Problems, text: str, number: float, mistakes: int
) -> None:
    rule = reader(table(a=at(text)), problems)
    assert rule.number("a", 3.0) == number
    assert len(problems.found) == mistakes
    assert rule.number("gone", 3.0) == 3.0


def test_a_choice_is_one_of_a_closed_list(problems: Problems) -> None:
    rule = reader(table(a=at("up"), b=at("left")), problems)
    choices = {"up": 1, "down": 2}
    assert [rule.choice(key, choices, 0) for key in "abc"] == [1, 0, 0]
    assert texts(problems) == ["f.yaml:2:5: `b:` must be one of up, down, not 'left'"]


def test_one_text_counts_as_a_list_of_one(problems: Problems) -> None:
    rule = reader(table(a=at("x"), b=items(at("y"), at("z"))), problems)
    read = [[scalar.text for scalar in rule.texts(key)] for key in "abc"]
    assert read == [["x"], ["y", "z"], []]
    assert problems.found == []


def test_a_list_of_texts_holds_nothing_else(problems: Problems) -> None:
    rule = reader(table(a=items(at("x"), items()), b=table()), problems)
    assert [scalar.text for scalar in rule.texts("a")] == ["x"]
    assert rule.texts("b") == ()
    assert texts(problems) == [
        "f.yaml:2:5: `a:` lists texts, not a list",
        "f.yaml:1:1: `b:` must be a list, not a table of keys",
    ]


def test_tables_inside_are_read_by_readers_of_their_own(problems: Problems) -> None:
    node = table(a=table(x=at("1")), b=items(table(), table()), c=at("no"))
    rule = reader(node, problems)
    inner = rule.table("a", "inner")
    assert inner is not None
    assert inner.text("x") == "1"
    assert len(rule.tables("b", "row")) == 2
    assert rule.table("gone", "inner") is None
    assert rule.tables("gone", "row") == rule.tables("c", "row") == ()
    assert texts(problems) == ["f.yaml:2:5: `c:` must be a list, not the text 'no'"]


@pytest.mark.parametrize(
    ("word", "near"),
    [("end-with", "ends-with"), ("crlf", "CRLF"), ("LF", "LF"), ("wat", ""), ("", "")],
)
def test_the_nearest_known_word_is_found_whatever_its_case(
    word: str, near: str
) -> None:
    assert nearest(word, ("ends-with", "CRLF", "LF")) == near


def test_a_slip_in_a_key_or_a_word_tells_what_to_write_instead(
    problems: Problems,
) -> None:
    slips = reader(table(longets=at("5"), ends=at("CRFL")), problems)
    slips.whole("longest", 80)
    slips.choice("ends", {"CR": 1, "CRLF": 2}, 1)
    slips.finish()
    said = " / ".join(texts(problems))
    assert "does not know `longets:`; write `longest:` (it knows" in said
    assert "must be one of CR, CRLF, not 'CRFL'; write CRLF" in said
