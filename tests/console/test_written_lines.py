"""Writes that take several lines: values line by line, and settings of one thing."""

from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Ending, Verdict
from benchlink.core.settings import Snapshot
from benchlink.core.utterance import Reply, Utterance
from benchlink.core.values import Text, Word
from benchlink.errors import FileError
from tests.console.talking import console
from tests.console.test_grammar_writes import board, lines_of, num, said

NOTE = (
    "{write-note: {steps: [{line: note, ends: shows, shows: [more]},"
    ' {line: "| {line}", ends: shows, shows: [more]}, {line: over}], give-up: strike},'
    ' write: {line: "put {name} {value}"}}'
)
NOTES = console(
    settings='[{list: {line: all}, forms: [{block: "{name} <<", closes: ">>",'
    " written-by: write-note}]}]",
    spelling='[{names: [log], kind: text, quote: ""}]',
    answer='{prompt: "> ", ok: [fine], refused: ["no: {remark}"], chatter: [". {a}"]}',
    values='{reserved: "!", quote: "\'"}',
    verbs=NOTE,
)


def note(*lines: str) -> tuple[Grammar, Snapshot]:
    return board(NOTES, "log <<", *lines, ">>")


@pytest.mark.parametrize("lines", [(), ("a",), ("a", "", " b "), ("", "")])
def test_a_text_is_said_line_by_line_and_reads_as_it_was(lines: tuple[str]) -> None:
    grammar, snapshot = note(*lines)
    utterance = grammar.write(snapshot.settings["log"], Text("\n".join(lines)))
    assert lines_of(utterance) == ["note", *(f"| {line}" for line in lines), "over"]
    assert utterance.stepwise
    assert [c.line for c in utterance.way_out] == ["strike"]
    assert snapshot.settings["log"].value == Text("\n".join(lines))


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (">>", "something else"),
        ("> all", "something else"),
        ("fine", "something else"),
        ("no: more", "something else"),
        (". mark", "something else"),
        ("stop!", "a command of its own"),
        ("\x07", "U+0007"),
        ("\u00ad", "U+00AD"),
    ],
)
def test_a_line_that_would_be_taken_otherwise_is_refused(line: str, why: str) -> None:
    grammar, snapshot = note()
    assert why in grammar.unwritable(snapshot.settings["log"], Text(f"a\n{line}"))


def test_a_prefix_disarms_what_would_end_it() -> None:
    grammar, snapshot = note()
    assert (
        grammar.unwritable(snapshot.settings["log"], Text("over\nstrike\nnote")) == ""
    )


def test_only_text_is_told_line_by_line() -> None:
    grammar, snapshot = note()
    why = grammar.unwritable(snapshot.settings["log"], Word("up"))
    assert "it cannot be written line by line" in why


def test_what_must_never_be_written_is_not_written_by_lines_either() -> None:
    described = replace(
        NOTES, never=console(never="[{name: log, value: a, why: dies}]").never
    )
    grammar, snapshot = board(described, "log <<", ">>")
    assert "dies" in grammar.unwritable(snapshot.settings["log"], Text("a"))


def test_several_lines_need_a_way_out() -> None:
    without = NOTE.replace(", give-up: strike", "")
    with pytest.raises(FileError, match="1 mistake") as caught:
        console(verbs=without)
    assert "needs `give-up:`" in caught.value.problems[0].text
    nothing = NOTE.replace("give-up: strike", 'give-up: ""')
    assert console(verbs=nothing).verbs["write-note"].way_out is None


def test_a_way_out_may_be_a_key_that_is_no_character() -> None:
    verbs = NOTE.replace("give-up: strike", 'give-up: {key: "\\x18"}')
    described = console(
        settings='[{list: {line: all}, forms: [{block: "{name} <<", closes: ">>",'
        " written-by: write-note}]}]",
        values="{kind: text}",
        verbs=verbs,
    )
    grammar, snapshot = board(described, "log <<", ">>")
    (out,) = grammar.write(snapshot.settings["log"], Text("a")).way_out
    assert described.manner.bytes_of(out) == b"\x18"
    assert [cue.key for cue in described.manner.ways_out] == [b"\x18"] * 2


# Settings of one thing


def tilts(how: str, verb: str) -> Grammar:
    return Grammar(
        console(
            settings='[{list: {line: all}, forms: [{heading: "{part}:"},'
            f' {{pair: "{{name}} {{value}}", headed: yes, join: ".", {how}}}]}}]',
            verbs=f"{{write: {verb}}}",
        )
    )


LISTED = ("tilt:", "  left:", "    mid 1500", "    aft 350", "  right:", "    mid 1490")
STATEMENT = (
    '{steps: [{line: "about {thing}"}, {line: "{cell}"}, {line: over}], give-up: drop}'
)


def test_what_changes_of_a_thing_is_written_in_one_statement() -> None:
    grammar = tilts('some: "{key}: {value}"', STATEMENT)
    _, snapshot = board(grammar.description, *LISTED)
    values = {"tilt.left.aft": num("340"), "tilt.right.mid": num("1500")}
    left, right = grammar.writes(values | {"tilt.left.mid": num("1510")}, snapshot)
    assert lines_of(left) == ["about tilt.left", "mid: 1510", "aft: 340", "over"]
    assert left.names == ("tilt.left.mid", "tilt.left.aft")
    assert lines_of(right) == ["about tilt.right", "mid: 1500", "over"]
    assert left.ordered
    (alone,) = grammar.writes({"tilt.left.aft": num("340")}, snapshot)
    assert lines_of(alone) == ["about tilt.left", "aft: 340", "over"]
    assert grammar.write(snapshot.settings["tilt.left.aft"], num("340")) == alone


def test_all_of_a_thing_is_written_in_one_statement_where_it_must_be() -> None:
    grammar = tilts('whole: "{key} {value}"', STATEMENT)
    _, snapshot = board(grammar.description, *LISTED)
    (said_,) = grammar.writes({"tilt.left.aft": num("340")}, snapshot)
    assert lines_of(said_) == ["about tilt.left", "mid 1500", "aft 340", "over"]


def test_a_statement_in_one_line_needs_no_way_out() -> None:
    grammar = tilts('some: "{key} {value}"', '{line: "set {thing} {cells}"}')
    _, snapshot = board(grammar.description, *LISTED)
    (said_,) = grammar.writes({"tilt.left.aft": num("340")}, snapshot)
    assert lines_of(said_) == ["set tilt.left aft 340"]
    assert not said_.stepwise
    assert said_.way_out == ()


def test_letters_are_written_whole() -> None:
    grammar, snapshot = board(
        console(
            settings='[{list: {line: all}, forms: [{row: "{thing}: {cells}",'
            ' cells: letters, whole: "{letter}{value}"}]}]',
            verbs='{write: {line: "{thing}={cells}"}}',
        ),
        "roll: G1.2 H0.6",
    )
    (said_,) = grammar.writes({"roll.H": num("0.7")}, snapshot)
    assert lines_of(said_) == ["roll=G1.2 H0.7"]


def test_a_row_of_pairs_is_written_as_it_is_parted() -> None:
    grammar, snapshot = board(
        console(
            settings='[{list: {line: all}, forms: [{row: "{thing}: {cells}",'
            ' cells: pairs, between: ", ", whole: "{key}={value}"}]}]',
            verbs='{write: {line: "{thing} {cells}"}}',
        ),
        "roll: G=1.2, H=0.6",
    )
    (said_,) = grammar.writes({"roll.H": num("0.7")}, snapshot)
    assert lines_of(said_) == ["roll G=1.2, H=0.7"]


@pytest.mark.parametrize("cell", ["{value}", "{key}", "{name} {value}", "{key}{value}"])
def test_a_cell_has_its_key_or_letter_and_its_value(cell: str) -> None:
    with pytest.raises(FileError):
        tilts(f'whole: "{cell}"', STATEMENT)


def test_a_verb_with_cells_needs_to_be_told_how_they_stand() -> None:
    grammar = tilts("writable: yes", STATEMENT)
    _, snapshot = board(grammar.description, *LISTED)
    why = grammar.unwritable(snapshot.settings["tilt.left.aft"], num("340"))
    assert "needs {cell}" in why


# What a failure leaves open


def left_open(utterance: Utterance, *verdicts: Verdict) -> bool:
    answers = (
        replace(said(), command=command, verdict=verdict)
        for command, verdict in zip(utterance.commands, verdicts, strict=False)
    )
    return Reply(utterance=utterance, answers=tuple(answers)).left_open


OK, NO, LOST = Verdict.OK, Verdict.REFUSED, Verdict.DAMAGED


@pytest.mark.parametrize(
    ("verdicts", "shown", "unshown"),
    [
        ((OK, OK, OK), False, False),
        ((NO,), False, False),
        ((LOST,), False, True),
        ((OK, NO), True, True),
        ((OK, LOST), False, True),
        ((OK, OK, NO), False, True),
        ((OK, OK, LOST), False, True),
        ((), False, False),
    ],
)
def test_a_failure_leaves_it_open_unless_the_console_shows_that_it_is_not(
    verdicts: tuple[Verdict, ...], *, shown: bool, unshown: bool
) -> None:
    """Where it shows, what is not trusted has been led out while the board woke."""
    grammar, snapshot = note()
    shows = grammar.write(snapshot.settings["log"], Text("a"))
    assert [c.form.ends for c in shows.commands][:2] == [Ending.SHOWS] * 2
    plain = tilts('some: "{key} {value}"', STATEMENT)
    _, listed = board(plain.description, *LISTED)
    hides = plain.write(listed.settings["tilt.left.aft"], num("340"))
    assert left_open(shows, *verdicts) is shown
    assert left_open(hides, *verdicts) is unshown
