"""What is said to write, select, enter and read one by one."""

from decimal import Decimal

import pytest

from benchlink.console.description import Description, Kept
from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Answer, Ending, Verdict
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.utterance import Utterance
from benchlink.core.values import Number, Switch, Text, Unset, Value, Word
from benchlink.errors import BoardError, UsageError
from tests.console.talking import command, console, listed, replied


def num(text: str) -> Number:
    return Number(Decimal(text))


def said(*lines: str) -> Answer:
    return Answer(command=command("any"), verdict=Verdict.OK, lines=lines)


def lines_of(utterance: Utterance) -> list[str]:
    return [one.line for one in utterance.commands]


def board(described: Description, *lines: str) -> tuple[Grammar, Snapshot]:
    return Grammar(described), listed(said(*lines), described)


# Which verb writes


PADS = console(
    settings='[{list: {line: pads}, forms: [{pair: "{name} carries {value}",'
    ' written-by: {free: write-free, "*": write-carry}}, {pair: "{name} is free",'
    ' value: free, written-by: {free: write-free, "*": write-carry}}]}]',
    verbs='{write-free: {line: "free {name}"},'
    ' write-carry: {line: "carry {value} {name}"}}',
)


@pytest.mark.parametrize(
    ("value", "line"), [("free", "free p3"), ("lamp", "carry lamp p3")]
)
def test_the_value_decides_by_which_verb_it_is_written(value: str, line: str) -> None:
    grammar, snapshot = board(PADS, "p3 carries tilt-left", "p7 is free")
    utterance = grammar.write(snapshot.settings["p3"], Word(value))
    assert lines_of(utterance) == [line]
    assert utterance.commands[0].changes
    assert utterance.names == ("p3",)


FLAGS = console(
    values='{on: "+", off: "-"}',
    settings='[{list: {line: all}, forms: [{row: "options: {cells}", cells: signs,'
    ' written-by: {"+": write-wear, "-": write-shed}}]}]',
    verbs='{write-wear: {line: "wear {key}"}, write-shed: {line: "shed {own}"}}',
)


def test_a_flag_is_put_on_and_taken_off_by_its_own_words() -> None:
    grammar, snapshot = board(FLAGS, "options: +log -radio")
    settings = snapshot.settings
    assert settings["log"].value == Switch(on=True)
    assert lines_of(grammar.write(settings["log"], Switch(on=False))) == ["shed log"]
    assert lines_of(grammar.write(settings["radio"], Switch(on=True))) == ["wear radio"]


def test_where_no_verb_fits_the_value_the_write_verb_is_meant() -> None:
    described = console(
        settings='[{list: {line: all}, forms: [{pair: "{name}={value}",'
        " written-by: {none: write-none}}]}]",
        verbs='{write: {line: "put {name} {value}"}, write-none: {line: "no {name}"}}',
    )
    grammar, snapshot = board(described, "a=5")
    assert lines_of(grammar.write(snapshot.settings["a"], num("6"))) == ["put a 6"]
    assert lines_of(grammar.write(snapshot.settings["a"], Word("none"))) == ["no a"]


def test_a_console_that_cannot_write_says_so() -> None:
    grammar, snapshot = board(console(verbs="{identify: {line: id}}"), "a=5")
    with pytest.raises(UsageError, match="no way to write"):
        grammar.write(snapshot.settings["a"], num("6"))


# What a line names


HEADED = console(
    settings='[{list: {line: all}, forms: [{heading: "{part}:"},'
    ' {pair: "{name} {value}", headed: yes, join: "/"}]}]',
    verbs='{write: {line: "lay {name} {own} {value}"}}',
)


def test_a_line_may_use_the_whole_name_and_the_own_one() -> None:
    grammar, snapshot = board(HEADED, "tilt:", "  left 5")
    (setting,) = snapshot.settings.values()
    assert lines_of(grammar.write(setting, num("6"))) == ["lay tilt/left left 6"]


ROWS = console(
    settings='[{list: {line: all}, forms: [{row: "{thing} {cells}"}]}]',
    verbs='{write: {line: "{thing} {key} {value}"}}',
)


def test_one_cell_of_a_row_is_written_by_its_thing_and_key() -> None:
    grammar, snapshot = board(ROWS, "tilt-L mid 1500 aft 350")
    (line,) = lines_of(grammar.write(snapshot.settings["tilt-L.aft"], num("340")))
    assert line == "tilt-L aft 340"


def test_a_line_that_needs_what_the_listing_does_not_tell_is_refused() -> None:
    described = console(verbs='{write: {line: "{thing} {name} {value}"}}')
    grammar, snapshot = board(described, "a=5")
    with pytest.raises(ValueError, match=r"needs \{thing\}"):
        grammar.write(snapshot.settings["a"], num("6"))
    assert "needs {thing}" in grammar.unwritable(snapshot.settings["a"], num("6"))


# Whole rows


def whole(cell: str, style: str, row: str) -> Description:
    return console(
        settings=f'[{{list: {{line: all}}, forms: [{{row: "{row}", cells: {style},'
        f' whole: "{cell}"}}, {{pair: "{{name}}={{value}}"}}]}}]',
        verbs='{write: {line: "row {thing} {cells}"}, write-x: {line: x}}',
    )


@pytest.mark.parametrize(
    ("cell", "style", "line"),
    [
        ("{key} {value}", "words", "row roll G 1 H 3"),
        ("{key}:{value}", "letters", "row roll G:1 H:3"),
    ],
)
def test_a_whole_row_is_written_with_the_unchanged_cells_as_they_are(
    cell: str, style: str, line: str
) -> None:
    listing = "roll: G 1 H 2" if style == "words" else "roll: G1 H2"
    grammar, snapshot = board(whole(cell, style, "{thing}: {cells}"), listing)
    (utterance,) = grammar.writes({"roll.H": num("3")}, snapshot)
    assert lines_of(utterance) == [line]
    assert utterance.names == ("roll.G", "roll.H")


def test_several_cells_of_one_row_are_one_line_and_others_their_own() -> None:
    described = console(
        settings='[{list: {line: all}, forms: [{row: "{thing}: {cells}",'
        ' whole: "{key} {value}", written-by: write-row},'
        ' {pair: "{name}={value}"}]}]',
        verbs='{write: {line: "put {name} {value}"},'
        ' write-row: {line: "row {thing} {cells}"}}',
    )
    grammar, snapshot = board(described, "roll: G 1 H 2", "yaw: G 5", "a=5")
    wanted: dict[str, Value] = {"roll.H": num("3"), "a": num("6"), "roll.G": num("4")}
    written = [lines_of(one) for one in grammar.writes(wanted, snapshot)]
    assert written == [["row roll G 4 H 3"], ["put a 6"]]


def test_a_whole_row_that_gets_too_long_is_refused() -> None:
    described = whole("{key} {value}", "words", "{thing}: {cells}")
    grammar, snapshot = board(described, "roll: " + "abc 12345 " * 1 + "d 1")
    with pytest.raises(ValueError, match="longer than the 80"):
        grammar.writes({"roll.d": Word("x" * 70)}, snapshot)


# Spelled for the place


def test_a_value_is_written_in_the_spelling_of_writing() -> None:
    described = console(
        values='{unset: "-"}',
        spelling='[{names: ["a"], in: list, suffix: us, digits: 4},'
        ' {names: ["a"], in: write, suffix: ""}, {names: ["a"], in: read, suffix: u}]',
        verbs='{write: {line: "put {name} {value}"},'
        ' read: {line: "get {name}", gives: ["{value}"]}}',
    )
    grammar, snapshot = board(described, "a=0055us")
    setting = snapshot.settings["a"]
    assert setting.value == num("55")
    assert lines_of(grammar.write(setting, num("56"))) == ["put a 56"]
    assert lines_of(grammar.write(setting, Unset())) == ["put a -"]
    assert grammar.value(setting, replied(said("57u"))) == num("57")


@pytest.mark.parametrize("name", ["tilt left", "left"])
def test_an_answer_may_name_the_setting_by_its_own_name(name: str) -> None:
    described = console(verbs='{read: {line: "get", gives: ["{name} is {value}"]}}')
    setting = Setting(
        name="tilt left", value=num("1"), raw="1", address={"own": "left"}
    )
    reply = replied(said("", f"{name} is 5"))
    assert Grammar(described).value(setting, reply) == num("5")


def test_an_answer_about_another_setting_is_an_error() -> None:
    described = console(verbs='{read: {line: "get", gives: ["{name} is {value}"]}}')
    setting = Setting(name="a", value=num("1"), raw="1")
    with pytest.raises(BoardError, match="asked for a"):
        Grammar(described).value(setting, replied(said("b is 5")))


# Never


POISONED = console(
    never='[{name: "log.*", value: "0", why: "the board stops for good"},'
    ' {name: port, why: "it cuts the line"}]'
)


@pytest.mark.parametrize(
    ("name", "value", "why"),
    [
        ("log.rate", "0", "stops for good"),
        ("log.rate", "0.0", "stops for good"),
        ("log.rate", "5", ""),
        ("port", "5", "cuts the line"),
        ("report", "0", ""),
    ],
)
def test_what_must_never_be_written_is_not(name: str, value: str, why: str) -> None:
    grammar, snapshot = board(POISONED, f"{name}=1")
    refusal = grammar.unwritable(snapshot.settings[name], num(value))
    assert why in refusal
    assert bool(refusal) is bool(why)


# Modes, banks, steps


MODED = console(
    modes='{edit: {enter: "edit", leave: {line: "done", ends: line}}}',
    verbs='{write: {line: "put {name} {value}", mode: edit},'
    " keep: {steps: [{line: keep, ends: shows, shows: [sure]}, {key: y, ok: [kept]}]},"
    " restart: {steps: [{line: bye, ends: shows, shows: [sure]}, {key: y}]}}",
)


def test_an_utterance_tells_in_which_mode_it_is_taken() -> None:
    grammar, snapshot = board(MODED, "a=5")
    assert grammar.write(snapshot.settings["a"], num("6")).mode == "edit"
    enter, leave = grammar.mode("edit")
    assert (lines_of(enter), lines_of(leave)) == (["edit"], ["done"])
    assert leave.commands[0].form.ends is Ending.LINE


def test_steps_go_one_by_one_and_the_last_one_restarts() -> None:
    grammar = Grammar(MODED)
    keep, restart = grammar.utter("keep"), grammar.utter("restart")
    assert [one.key for one in keep.commands] == [False, True]
    assert keep.stepwise
    assert all(one.alone and one.changes for one in keep.commands)
    assert [one.restarts for one in keep.commands] == [False, False]
    assert [one.restarts for one in restart.commands] == [False, True]
    assert grammar.single("keep").line == "y"


BANKED = console(
    settings='[{list: {line: all}, banks: {names: ["1", "2"], of: ["gain.*"],'
    ' select: "bank {bank}", shown: ["bank {bank} of 2"], named: "{bank}/{name}"},'
    ' forms: [{pair: "{name}={value}"}]}]',
)


def test_a_setting_of_a_bank_is_written_under_its_own_name_there() -> None:
    grammar, snapshot = board(BANKED, "bank 2 of 2", "gain.roll=5", "craft=up")
    utterance = grammar.write(snapshot.settings["2/gain.roll"], num("6"))
    assert lines_of(utterance) == ["put gain.roll 6"]
    assert (utterance.bank, utterance.home) == ("2", "2")
    assert utterance.names == ("2/gain.roll",)
    shared = grammar.write(snapshot.settings["craft"], Word("down"))
    assert (shared.bank, shared.home) == ("", "")


def test_a_bank_is_selected_by_its_line() -> None:
    grammar = Grammar(BANKED)
    assert lines_of(grammar.bank(BANKED.sources[0], "2")) == ["bank 2"]
    assert lines_of(grammar.bank(console().sources[0], "2")) == []


# Reading


def test_a_list_is_asked_for_once_and_names_one_by_one() -> None:
    described = console(
        settings="[{list: {line: all}, forms: [{pair: '{name}={value}'}]},"
        " {each: [a, b], forms: [{pair: '{value}'}]}]",
        verbs='{read: {line: "get {name}"}}',
    )
    grammar = Grammar(described)
    asked = [lines_of(one) for s in described.sources for one in grammar.asks(s)]
    assert asked == [["all"], ["get a"], ["get b"]]
    assert grammar.listing_line == "all / get {name}"


# Kept


KEPT = console(
    kept='[{names: ["note"], when: never}, {names: ["bank *"], when: on-keep},'
    ' {names: ["*"], when: at-once}]'
)


@pytest.mark.parametrize(
    ("name", "kept"),
    [("note", Kept.NEVER), ("bank 1", Kept.ON_KEEP), ("tilt", Kept.AT_ONCE)],
)
def test_the_first_rule_tells_when_a_value_is_kept(name: str, kept: Kept) -> None:
    assert Grammar(KEPT).kept(name) is kept
    assert Grammar(console()).kept(name) is Kept.ON_KEEP


# Nothing that a listing says becomes another line


@pytest.mark.parametrize("part", ["tilt\rkeep", "a;b", "\u202e", "a\x00b"])
def test_no_part_of_an_address_can_become_another_line(part: str) -> None:
    described = console(
        values='{reserved: ";"}', verbs='{write: {line: "{thing} {key} {value}"}}'
    )
    for unsafe in ("thing", "key"):
        address = {"thing": "tilt", "key": "mid", unsafe: part}
        setting = Setting(name="a", value=Text(""), raw="", address=address)
        with pytest.raises(ValueError, match="cannot be written"):
            Grammar(described).write(setting, num("5"))
