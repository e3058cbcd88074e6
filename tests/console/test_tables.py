"""Tables, flags in one line, and names that the form gives: read and written."""

from collections.abc import Mapping

import pytest

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.hazard import Hazard
from benchlink.core.settings import Snapshot
from benchlink.core.values import Number, Switch, Text, Unset, Value, decimal_or_none
from benchlink.errors import FileError
from tests.console.talking import command, console, listed

WRITE = '{write: {line: "put {thing} {key} {value}"}}'
UNSET = '{unset: "-", on: "*", off: ""}'


def described(
    form: str, verbs: str = WRITE, more: str = "", **parts: str
) -> Description:
    settings = f"[{{list: {{line: all}}, {more} forms: [{form}]}}]"
    return console(settings=settings, verbs=verbs, **{"values": UNSET, **parts})


def snapshot_of(description: Description, *lines: str) -> Snapshot:
    answer = Answer(command=command("all"), verdict=Verdict.OK, lines=lines)
    return listed(answer, description)


def raws(description: Description, *lines: str) -> dict[str, str]:
    snapshot = snapshot_of(description, *lines)
    assert snapshot.complete, snapshot.not_understood
    return {name: setting.raw for name, setting in snapshot.settings.items()}


def num(text: str) -> Number:
    number = decimal_or_none(text)
    assert number is not None
    return Number(number)


def said(
    description: Description, snapshot: Snapshot, values: Mapping[str, Value]
) -> list[str]:
    utterances = Grammar(description).writes(values, snapshot)
    return [command.line for said in utterances for command in said.commands]


# Bare values in a fixed order


NAMED = '{row: "{thing} {cells}", cells: values, keys: [mid, aft, fore]}'
HEADED = '{row: "{thing}{ }{cells}", cells: values, heads: "output{ }{cells}"}'


def test_the_description_names_the_bare_values_of_a_row() -> None:
    assert raws(described(NAMED), "tilt-L 1500 -  400") == {
        "tilt-L.mid": "1500",
        "tilt-L.aft": "-",
        "tilt-L.fore": "400",
    }


def test_a_line_of_heads_names_the_bare_values_below_it() -> None:
    lines = ["output   mid  aft", "tilt-L  1500    -", "tilt-R  1490  350"]
    assert raws(described(HEADED), *lines) == {
        "tilt-L.mid": "1500",
        "tilt-L.aft": "-",
        "tilt-R.mid": "1490",
        "tilt-R.aft": "350",
    }


@pytest.mark.parametrize("row", ["tilt-L 1500", "tilt-L 1500 400 400 1"])
def test_a_row_with_fewer_or_more_values_than_names_is_no_row(row: str) -> None:
    assert snapshot_of(described(NAMED), row).not_understood == (row,)
    heads = "output mid aft fore"
    assert snapshot_of(described(HEADED), heads, row).not_understood == (row,)


def test_no_row_is_taken_before_its_heads_or_below_the_heads_of_another() -> None:
    early = "tilt-L 1500 400"
    assert snapshot_of(described(HEADED), early).not_understood == (early,)
    other = HEADED.replace("output", "motor").replace("{thing}", "on {thing}")
    lines = ["output mid aft", "motor idle top", "tilt-L 1 2", "on L 5 6"]
    snapshot = snapshot_of(described(f"{HEADED}, {other}"), *lines)
    assert snapshot.not_understood == ("tilt-L 1 2",)
    assert list(snapshot.settings) == ["L.idle", "L.top"]


def test_the_same_head_twice_names_nothing() -> None:
    lines = ["output mid mid", "tilt-L 1500 400"]
    assert snapshot_of(described(HEADED), *lines).not_understood == tuple(lines)


def test_a_row_that_looks_like_heads_is_not_passed_over() -> None:
    description = described(HEADED.replace("output{ }", "the "))
    heads, row = "the mid aft", "the low high"
    assert snapshot_of(description, heads, row).not_understood == (row,)
    # A number names nothing, so that one is a row.
    assert raws(description, heads, "the 5 6") == {"the.mid": "5", "the.aft": "6"}


def test_cells_between_marks_are_trimmed_and_may_be_empty() -> None:
    form = (
        '{row: "|{cells}|", cells: values, heads: "| output |{cells}|", between: "|"}'
    )
    lines = ["| output |  mid | hold |", "| tilt-L | 1500 |      |"]
    with pytest.raises(AssertionError):
        raws(described(form), *lines)  # the thing's head is no part of {cells} there
    form = form.replace("| output |{cells}|", "| output{cells}|")
    description = described(form)
    assert raws(description, *lines) == {"tilt-L.mid": "1500", "tilt-L.hold": ""}
    hold = snapshot_of(description, *lines).settings["tilt-L.hold"]
    assert hold.value == Switch(on=False)
    assert said(
        description, snapshot_of(description, *lines), {"tilt-L.mid": num("1495")}
    ) == ["put tilt-L mid 1495"]


def test_the_thing_may_be_any_of_the_bare_values() -> None:
    form = '{row: "{cells}", cells: values, keys: [mid, thing, aft], between: ","}'
    assert raws(described(form), "1500,tilt-L,400") == {
        "tilt-L.mid": "1500",
        "tilt-L.aft": "400",
    }


def test_a_mark_may_stand_where_a_thing_has_no_such_setting() -> None:
    form = '{row: "{thing} {cells}", cells: values, keys: [mid, aft], empty: "-"}'
    assert raws(described(form), "motor-L 5 -") == {"motor-L.mid": "5"}


def test_bare_values_are_written_one_by_one_or_all_in_their_order() -> None:
    description = described(NAMED)
    snapshot = snapshot_of(description, "tilt-L 1500 - 400")
    assert said(description, snapshot, {"tilt-L.aft": num("350")}) == [
        "put tilt-L aft 350"
    ]
    whole = NAMED.removesuffix("}") + ', whole: "{value}"}'
    description = described(whole, '{write: {line: "row {thing} {cells}"}}')
    snapshot = snapshot_of(description, "tilt-L 1500 - 400", "tilt-R 1 2 3")
    assert said(description, snapshot, {"tilt-L.fore": num("410")}) == [
        "row tilt-L 1500 - 410"
    ]


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ('{row: "{thing} {cells}", cells: values}', "needs `keys:`, or `heads:`"),
        (NAMED.replace("keys", 'heads: "a {cells}", keys'), "needs `keys:`, or"),
        ('{row: "{thing} {cells}", keys: [a]}', "`keys:` goes with `cells: "),
        ('{row: "{thing} {cells}", listed: a}', "`listed:` goes with `cells: flags`"),
        (NAMED.replace("aft", "mid"), "names one of them twice"),
        (HEADED.replace("output", ""), "a word that stands in that line alone"),
        # A value that is left out would shift those behind it.
        (NAMED[:-1] + ', empty: "-", whole: "{value}"}', "{key} or {letter}"),
        ("{columns: [{is: name}, {key: mid, first: 9}]}", "`is: thing`"),
        ("{columns: [{is: name}]}", "one called value, or a `key:`"),
        ('{pair: "It is {value}", name: "{key}"}', "cannot fill {key}"),
    ],
)
def test_a_table_that_could_not_be_read_is_a_mistake(form: str, words: str) -> None:
    with pytest.raises(FileError) as caught:
        described(form)
    assert words in "\n".join(caught.value.details) + str(caught.value)


# By position


PLACED = """{columns: [{is: thing, last: 3}, {key: name, first: 6, last: 14},
 {key: level, first: 17, last: 21}, {key: hot, first: 24, last: 26, written-by: {"1": write-hot, "0": write-cold}}],
 name: "way {thing} {key}"}"""
WAYS = """{write: {line: "{key} {thing} {value}"},
 write-hot: {line: "hot {thing}"}, write-cold: {line: "cold {thing}"}}"""
SPELLED = """[{names: ["way * name"], kind: text}, {names: ["* level"], in: [list], unset: ""},
 {names: ["* hot"], in: [write], on: "1", off: "0"},
 {names: ["* level"], in: [write], scale: "0.1", places: 0}]"""
TABLE = (
    "way  name       level  hot",
    "  1  cyc blue    87.5  *",
    "  2             100.0",
    " 12  house",
)


def ways() -> Description:
    return described(PLACED, WAYS, 'furniture: ["way  {anything}"],', spelling=SPELLED)


def test_a_row_by_position_holds_several_settings_with_empty_cells() -> None:
    settings = snapshot_of(ways(), *TABLE).settings
    assert {name: setting.value for name, setting in settings.items()} == {
        "way 1 name": Text("cyc blue"),
        "way 1 level": num("87.5"),
        "way 1 hot": Switch(on=True),
        "way 2 name": Text(""),
        "way 2 level": num("100"),
        "way 2 hot": Switch(on=False),
        "way 12 name": Text("house"),
        "way 12 level": Unset(),
        "way 12 hot": Switch(on=False),
    }


def test_each_column_is_written_in_its_own_way() -> None:
    values: dict[str, Value] = {
        "way 1 level": num("1"),
        "way 1 hot": Switch(on=False),
        "way 2 hot": Switch(on=True),
    }
    assert said(ways(), snapshot_of(ways(), *TABLE), values) == [
        "level 1 10",
        "cold 1",
        "hot 2",
    ]


def test_a_line_cut_by_the_edge_of_a_column_is_no_row() -> None:
    row = "  1  cyc blue and green 5"
    assert snapshot_of(ways(), row).not_understood == (row,)


def test_a_cell_knows_nothing_of_its_neighbours_in_the_row() -> None:
    first = snapshot_of(ways(), *TABLE).settings["way 1 level"]
    assert dict(first.address) == {
        "name": "way 1 level",
        "thing": "1",
        "key": "level",
        "own": "level",
    }


@pytest.mark.parametrize(
    ("side", "lines"),
    [
        ("left", ("output    mid   aft", "tilt L    1500", "tilt R    1490  -")),
        ("right", ("output    mid   aft", "tilt L   1500", "tilt R   1490     -")),
    ],
)
def test_a_line_of_heads_tells_the_places_of_the_columns(
    side: str, lines: tuple[str, ...]
) -> None:
    form = f'{{columns: {side}, heads: "output {{anything}}"}}'
    assert raws(described(form), *lines) == {
        "tilt L.mid": "1500",
        "tilt L.aft": "",
        "tilt R.mid": "1490",
        "tilt R.aft": "-",
    }


def test_heads_on_the_wrong_side_are_not_believed() -> None:
    form = '{columns: left, heads: "output {anything}"}'
    lines = ("output    mid   aft", "tilt L   1500")
    assert snapshot_of(described(form), *lines).not_understood == (lines[1],)


# Names given by the form


def test_a_sentence_gets_its_name_from_the_form() -> None:
    form = '{pair: "Fades last {value} s.", name: fades.time_s, written-by: write-fade}'
    verbs = WRITE.removesuffix("}") + ', write-fade: {line: "fade {name} {value}"}}'
    description = described(form, verbs)
    snapshot = snapshot_of(description, "Fades last 1.5 s.")
    assert snapshot.settings["fades.time_s"].value == num("1.5")
    assert said(description, snapshot, {"fades.time_s": num("2")}) == [
        "fade fades.time_s 2"
    ]


def test_a_name_may_be_the_listed_one_with_more_around_it() -> None:
    form = '{pair: "{name} is {value}", name: "house {name}"}'
    description = described(form, '{write: {line: "put {own} {value}"}}')
    snapshot = snapshot_of(description, "boiler is 5")
    assert said(description, snapshot, {"house boiler": num("6")}) == ["put boiler 6"]


def test_a_name_under_headings_is_the_forms_as_well() -> None:
    forms = '{heading: "{part}:"}, {pair: "lasts {value}", headed: yes, name: time}'
    assert raws(described(forms), "fades:", "  lasts 5") == {"fades.time": "5"}


# Flags in one line


FLAGS = """{row: "ringing: {cells}", cells: flags, between: ", ", empty: none,
 keys: [low, ice, gate ajar], name: "alarm {key}", written-by: {"on": write-ring, "off": write-hush}}"""
RINGS = WRITE.removesuffix("}") + (
    ', write-ring: {line: "ring {key}"}, write-hush: {line: "hush {key}"}}'
)


def alarms() -> Description:
    return described(FLAGS, RINGS, values='{on: "on", off: "off"}')


def test_flags_that_are_not_listed_are_off() -> None:
    settings = snapshot_of(alarms(), "ringing: gate ajar, low").settings
    assert {name: setting.value for name, setting in settings.items()} == {
        "alarm low": Switch(on=True),
        "alarm ice": Switch(on=False),
        "alarm gate ajar": Switch(on=True),
    }
    assert set(raws(alarms(), "ringing: none").values()) == {"off"}
    assert set(raws(alarms(), "ringing: ").values()) == {"off"}


@pytest.mark.parametrize("listed", ["low, fog", "low, low", "low, , ice", "lowice"])
def test_a_flag_that_nobody_declared_is_not_passed_over(listed: str) -> None:
    line = f"ringing: {listed}"
    assert snapshot_of(alarms(), line).not_understood == (line,)


def test_each_flag_is_written_by_a_verb_of_its_state() -> None:
    snapshot = snapshot_of(alarms(), "ringing: low")
    wanted = {"alarm low": Switch(on=False), "alarm gate ajar": Switch(on=True)}
    assert said(alarms(), snapshot, wanted) == ["hush low", "ring gate ajar"]


def test_two_lines_may_tell_the_flags_that_are_on_and_off() -> None:
    form = FLAGS.replace("keys: [low, ice, gate ajar],", "")
    off = form.replace("ringing", "silent").replace("flags", "flags, listed: off")
    description = described(f"{form}, {off}", RINGS)
    assert raws(description, "ringing: low", "silent: ice, fog") == {
        "alarm low": "on",
        "alarm ice": "off",
        "alarm fog": "off",
    }


# What a line about such a setting may move


@pytest.mark.parametrize(
    ("form", "pattern", "line"),
    [
        (PLACED, "way * level", "put 3 level 5"),
        (
            PLACED.replace('"way {thing} {key}"', '"{key}/{thing}"'),
            "hot/*",
            "put 3 hot 1",
        ),
        (NAMED, "*.mid", "put tilt-L mid 5"),
        (FLAGS, "alarm low", "ring low"),
        (FLAGS.replace('name: "alarm {key}",', ""), "low", "ring low"),
        (
            '{pair: "{name} is {value}", name: "house {name}"}',
            "house *",
            "set boiler 5",
        ),
    ],
)
def test_the_hazard_of_a_setting_is_that_of_its_line(
    form: str, pattern: str, line: str
) -> None:
    verbs = """{write: {line: "put {thing} {key} {value}"}, write-ring: {line: "ring {key}"},
     write-hush: {line: "hush {key}"}, write-hot: {line: "hot {thing}"},
     write-cold: {line: "cold {thing}"}, write-own: {line: "set {own} {value}"}}"""
    description = described(
        form,
        verbs,
        moving=f'[{{names: ["{pattern}"], what: motor}}]',
        hazards="{commands: plain}",
    )
    hazards = Grammar(description).hazards.classify(f"{line}\n".encode())
    assert Hazard.MOTOR in hazards
