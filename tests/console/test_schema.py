import pytest

from benchlink.console.cells import Mark
from benchlink.console.codec import Kind
from benchlink.console.columns import Columns
from benchlink.console.description import (
    NO_PAUSE,
    Asked,
    Description,
    Echo,
    Kept,
    LineEnd,
    Outputs,
    Poison,
    Wake,
)
from benchlink.console.forms import Block, CellStyle, Heading, Pair, Row
from benchlink.console.schema import describe
from benchlink.console.spelling import Where
from benchlink.console.window import UNDECLARED_BYTES
from benchlink.core.exchange import Ending
from benchlink.core.plan import Moves
from benchlink.errors import FileError
from tests.console.talking import console, node, wader
from tests.console.whole_console import WHOLE

SMALL = """\
benchlink-console: 1
name: gull
title: Gull
line: {ends-with: LF}
opening: {wake: line-end}
answer: {prompt: "> ", ok: ["fine"]}
values: {on: "1"}
settings:
  - {list: {line: "all"}, forms: [{pair: "{name}={value}"}]}
verbs:
  read: {line: "get {name}"}
  write: {line: "put {name} {value}"}
outputs: {live: "hot", resting: "cold"}
moving:
  - {names: ["m.*"], what: motor}
"""


def described(text: str) -> Description:
    return describe(node(text))


def mistakes(text: str) -> list[str]:
    with pytest.raises(FileError) as caught:
        described(text)
    return [str(problem) for problem in caught.value.problems]


def require_mistake(text: str, mistake: str) -> None:
    found = mistakes(text)
    assert any(one.startswith(f"gull.yaml:{mistake}") for one in found), found


# What is read


def test_the_shipped_description_reads() -> None:
    description = wader()
    manner = description.manner
    assert description.name == "wader"
    assert manner.prompt is not None
    assert manner.prompt.source == "@ "
    assert manner.abandon == b"\x15"
    assert manner.wake is Wake.ABANDON
    assert manner.window_bytes == 200
    assert description.verbs["keep"].alone


def test_a_small_description_reads_with_defaults() -> None:
    description = described(SMALL)
    manner = description.manner
    assert (manner.line_end, manner.wake) == (LineEnd.LF, Wake.LINE_END)
    assert (manner.window_bytes, manner.longest_line) == (UNDECLARED_BYTES, 80)
    assert (manner.echo, manner.board_ends_with_cr) == (Echo.PLAIN, False)
    assert (manner.pause, manner.restart_pause) == (NO_PAUSE, NO_PAUSE)
    assert description.outputs == Outputs(live="hot", resting="cold")
    assert description.moving == ((("m.*",), Moves.MOTOR),)
    assert description.verbs["write"].steps[0].line.source == "put {name} {value}"


def test_every_table_of_the_language_reads() -> None:
    description = described(WHOLE)
    assert description.asks == (Asked(name="user", prompt="User", secret=True),)
    assert description.kept == ((("a",), Kept.NEVER),)
    assert description.never == (Poison(name="a", value="0", why="it dies"),)
    assert description.aliases == {"b": "a"}
    assert [held.setting for held in description.roles.settings.values()] == ["a", "d"]
    assert description.modes["edit"].leave.line.source == "leave"
    (source,) = description.sources
    kinds = (Pair, Row, Columns, Columns, Row, Row, Heading, Block)
    assert tuple(type(form) for form in source.forms) == kinds
    assert source.banks is not None
    assert source.banks.names == ("1",)


def test_the_opening_reads() -> None:
    manner = described(WHOLE).manner
    assert [cue.shows.source for cue in manner.cues] == [
        "user: ",
        "3 2 1",
        "9 8",
    ]
    assert [cue.key for cue in manner.cues] == [b"", b"k", b""]
    assert [cue.wait for cue in manner.cues] == [False, False, True]
    assert manner.setup == ("pager off",)
    assert manner.hello == "id"
    assert manner.pager is not None
    assert manner.pager.key == b" "


def test_a_form_reads_with_all_its_traits() -> None:
    described = console(
        settings='[{list: {line: all}, forms: [{row: "{thing} {cells} {marks}",'
        ' cells: letters, join: "/", quote: "<>", writable: no, board-owned: yes,'
        ' marks: {c: board-owned}, whole: "{key}:{value}",'
        ' written-by: {"0": write-off, "*": write}}]}]',
        verbs="{write: {line: w}, write-off: {line: o}}",
    )
    (form,) = described.sources[0].forms
    assert isinstance(form, Row)
    assert (form.style, form.join, form.quote) == (CellStyle.LETTERS, "/", "<>")
    assert not form.traits.writable
    assert form.traits.board_owned
    assert form.traits.marks == {"c": Mark.BOARD_OWNED}
    assert form.traits.written_by == {"0": "write-off", "*": "write"}
    assert form.traits.whole is not None
    assert form.traits.whole.source == "{key}:{value}"


def test_one_verb_writes_all_values_of_a_form() -> None:
    described = console(
        settings='[{list: {line: all}, forms: [{pair: "{name}={value}",'
        " written-by: write-it}]}]",
        verbs="{write-it: {line: w}}",
    )
    (form,) = described.sources[0].forms
    assert isinstance(form, Pair)
    assert form.traits.written_by == {"*": "write-it"}


def test_spellings_read() -> None:
    spelling = console(
        values='{on: "1", off: "0", quote: "<>", escape: ">", unset: "-"}',
        spelling='[{names: ["a"], in: [list, read], kind: text, places: 2},'
        ' {names: ["b"], radix: 16, digits: 4, prefix: "0x", suffix: h,'
        ' scale: "0.1", exponents: yes, words: {never: "0"}}]',
    ).spelling
    assert (spelling.base.quote, spelling.base.escape) == ("<>", ">")
    assert spelling.base.unset == "-"
    first = spelling.codec("a", Where.READ)
    assert (first.kind, first.places) == (Kind.TEXT, 2)
    assert spelling.codec("a", Where.WRITE) is spelling.base
    second = spelling.codec("b", Where.WRITE)
    assert (second.radix, second.digits, second.exponents) == (16, 4, True)
    assert second.words == {"never": "0"}


@pytest.mark.parametrize("name", ["keep", "drop", "factory", "restart"])
def test_what_changes_the_whole_board_goes_alone_whatever_the_file_says(
    name: str,
) -> None:
    verbs = described(
        SMALL.replace("read:", f'{name}: {{line: "k", alone: no}}\n  read:')
    ).verbs
    assert verbs[name].alone
    assert not verbs["read"].alone


def test_a_step_may_override_how_an_answer_ends_key_by_key() -> None:
    verbs = console(
        verbs="{read: {line: g, ends: closing, closing: [end], answer-within-s: 3},"
        " keep: {steps: [{line: k, ends: shows, shows: [sure]}, {key: y, ok: [kept]}]}}"
    ).verbs
    read, (ask, key) = verbs["read"].steps[0].form, verbs["keep"].steps
    assert (read.ends, read.within) == (Ending.CLOSING, 3.0)
    assert [str(form) for form in read.ok] == [str(form) for form in ask.form.ok]
    assert (ask.form.ends, ask.key) == (Ending.SHOWS, False)
    assert (key.form.ends, key.key) == (Ending.STATUS, True)
    assert len(key.form.ok) == 1
    assert key.form.ok != ask.form.ok


# Mistakes

ANSWER = 'answer: {prompt: "> ", ok: ["fine"]}'
FORM = '{pair: "{name}={value}"}'
SOURCE = f'{{list: {{line: "all"}}, forms: [{FORM}]}}'


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ("console: 1", "console: 2", "1:1: this benchlink reads version 1, not 2"),
        ("name: gull\n", "", "1:1: a console description needs `name:`"),
        ("title: Gull", 'title: ""', "3:8: `title:` is empty"),
        ("title: Gull", "title: [a]", "3:8: `title:` must be text, not a list"),
        ("name: gull", "name: gull\nnmae: x", "3:1: a console description does not"),
        ("LF", "EOT", "4:19: `ends-with:` must be one of CR, LF, CRLF"),
        ("ends-with: LF", "board-ends-with: x", "4:25: `board-ends-with:` must be one"),
        ("ends-with: LF", "longest: 7", "4:17: `longest:` must be 8 or more"),
        ("ends-with: LF", "longest: x", "4:17: `longest:` must be a whole number"),
        ("ends-with: LF", "window-bytes: 0", "4:22: `window-bytes:` must be 1 or"),
        ("ends-with: LF", "abandon: 0x100", "4:17: `abandon:` is one byte in hex"),
        ("ends-with: LF", "abandon: [1]", "4:17: `abandon:` is one byte in hex"),
        ("ends-with: LF", "one-at-a-time: 1", "4:23: `one-at-a-time:` must be one of"),
        ("ends-with: LF", "pause-s: -1", "4:17: `pause-s:` must be a number above 0"),
        ("ends-with: LF", "wat: 1", "4:8: line does not know `wat:`"),
        ("wake: line-end", "wake: bell", "5:17: `wake:` must be one of abandon, line"),
        ("wake: line-end", "wake: abandon", "1:1: `wake: abandon` needs `abandon:`"),
        ("wake: line-end", "patience-s: nan", "5:23: `patience-s:` must be a number"),
        ("wake: line-end", "back-within-s: 0", "5:26: `back-within-s:` must be a num"),
        ("wake: line-end", "hello: x", "5:10: `hello:` names a verb, not 'x'"),
        ("wake: line-end", "replies: x", "5:20: `replies:` must be a list"),
        ("wake: line-end", "replies: [{key: y}]", "5:21: a reply needs `shows:`"),
        ("wake: line-end", "replies: [{shows: y}]", "5:21: a reply needs `line:` or"),
        (
            "wake: line-end",
            'replies: [{shows: y, line: "{user}"}]',
            "5:38: a reply cannot fill {user}; it has no fields",
        ),
        (f"{ANSWER}\n", "", "1:1: a console description needs `answer:`"),
        ('prompt: "> ", ', "", "1:1: without `prompt:`, opening needs `hello:`"),
        (', ok: ["fine"]', "", "1:1: answer needs `ok:`, the words of success"),
        ('["fine"]', '["a", "{b"]', "6:34: answer: this brace is never closed (at ch"),
        ('["fine"]', '["a", [b]]', "6:34: `ok:` lists texts, not a list"),
        ('["fine"]', "[fine], echo: x", "6:42: `echo:` must be one of plain, folded"),
        ('["fine"]', "[fine], ends: x", "6:42: `ends:` must be one of status, prompt"),
        ('["fine"]', "[fine], ends: closing", "6:9: `ends: closing` needs `closing:`"),
        ('["fine"]', "[fine], ends: count", "6:9: `ends: count` needs `header:`"),
        ('["fine"]', "[fine], ends: shows", "6:9: `ends: shows` needs `shows:`"),
        ('["fine"]', "[fine], closing: [e]", "6:9: `closing:` goes with `ends: closin"),
        (
            '["fine"]',
            "[fine], ends: count, header: [lines]",
            "6:58: answer needs {count} in 'lines'",
        ),
        ('["fine"]', "[fine], success: x", "6:45: `success:` must be one of words"),
        ('["fine"]', "[fine], quiet-s: 0", "6:45: `quiet-s:` must be a number above"),
        ('["fine"]', "[fine], pager: {shows: m}", "6:43: `pager:` needs `line:` or"),
        ('on: "1"', 'quote: "`=`"', "7:17: `quote:` is at most 2 characters"),
        ('on: "1"', 'escape: "\\\\\\\\"', "7:18: `escape:` is at most 1 characters"),
        ('on: "1"', "kind: x", "7:16: `kind:` must be one of number, text, word"),
        ('on: "1"', "radix: 3", "7:17: `radix:` must be one of 2, 8, 10, 16"),
        ('on: "1"', "digits: x", "7:18: `digits:` must be a whole number"),
        ('on: "1"', "places: -1", "7:18: `places:` must be 0 or more"),
        (
            'on: "1"',
            "scale: 0",
            "7:9: `scale:` must be a number above 0, or a ratio like 1/60, not '0'",
        ),
        ('on: "1"', "words: {a: [b]}", "7:21: `words:` lists texts"),
        ('on: "1"', "unset: [a]", "7:17: `unset:` must be text"),
        ('on: "1"', 'onn: "1"', "7:10: values does not know `onn:`"),
        (f"\n  - {SOURCE}", " []", "1:1: a console description needs `settings:`"),
        ("={value}", "=", "9:35: a pair needs {value}, or `value:`"),
        ('"{name}={value}"', "[a]", "9:42: a form: a line is text"),
        (FORM, "{line: a}", "9:35: a form is one of pair, row, columns, heading, b"),
        (FORM, "{pair: a, row: b}", "9:35: a form is one of pair, row, columns"),
        (FORM, '{row: "{thing}"}', "9:41: a form needs {cells} in '{thing}'"),
        (FORM, '{row: "{cells}", cells: x}', "9:59: `cells:` must be one of words"),
        (
            FORM,
            '{row: "{cells}", whole: "{key}"}',
            "9:59: a form needs {value} in '{key}'",
        ),
        (FORM, "{heading: tilt}", "9:45: a form needs {part} in 'tilt'"),
        (FORM, "{block: a}", "9:35: a form needs `closes:`"),
        (FORM, "{columns: [{is: name}]}", "9:35: `columns:` needs one called value"),
        (FORM, "{columns: [{first: 1}]}", "9:46: a column needs `is:`"),
        (FORM, "{columns: [{is: a, first: 0}]}", "9:61: `first:` must be 1 or more"),
        (
            "={value}",
            '={value}", writable: "maybe',
            "9:70: `writable:` must be one of",
        ),
        (
            '={value}"}',
            '={value}", marks: {w: red}}',
            "9:35: a mark means writable, read-only, board-owned, not 'red'",
        ),
        (
            '={value}"}',
            '={value}", written-by: write-x}',
            "1:1: `written-by:` names no verb: 'write-x'",
        ),
        ('list: {line: "all"}, ', "", "9:5: a source of settings needs `list:`, or"),
        (f"[{FORM}]", "[]", "9:5: a source of settings needs `forms:`"),
        ("forms:", "tells: x, forms:", "9:34: `tells:` must be one of values, limits"),
        (
            "forms:",
            "banks: {select: b, named: n}, forms:",
            "9:53: `banks:` needs {bank} in 'n'",
        ),
        (
            "forms:",
            'banks: {names: [a], select: b, named: "{bank}{ }{name}"}, forms:',
            "9:34: `banks:` needs `shown:`, or no line tells which one is listed",
        ),
        (
            FORM,
            f'{{heading: "{{part}}:", join: " "}}, {FORM}',
            "9:62: `join:` stands with the forms below a heading",
        ),
        (
            'line: "all"',
            "steps: [{line: a}], ends: quiet",
            "9:39: `list:` has `steps:`: `ends:` stands in each step",
        ),
        ('line: "all"', 'line: "all {x}"', "9:19: `list:` cannot fill {x}; it has no"),
        ("put {name}", "put {nam}", "12:17: verb write cannot fill {nam}; it has"),
        ('"get {name}"', '""', "11:16: verb read: an empty template takes no line"),
        ('{line: "get {name}"}', "{gives: [a]}", "11:9: verb read needs `line:`"),
        ('{name}"}', '{name}", moves: x}', "11:37: `moves:` must be one of nothing"),
        (
            '{name}"}',
            '{name}", answer-within-s: -1}',
            "11:47: `answer-within-s:` must be",
        ),
        ('{name}"}', '{name}", mode: x}', "1:1: verb read names a mode that is not"),
        (
            '{line: "get {name}"}',
            "{steps: [{lin: a}]}",
            "11:18: a step of verb read needs `line:`",
        ),
        ("read:", "raed:", "11:3: verbs does not know `raed:`"),
        ('{live: "hot", ', "{", "13:10: outputs needs `live:`"),
        ("what: motor", "what: rotor", "15:28: `what:` must be one of nothing, serv"),
        ("  - {names", "  {names", "15:3: `moving:` must be a list, not a table"),
    ],
)
def test_a_mistake_is_named_with_its_place(old: str, new: str, mistake: str) -> None:
    assert SMALL.count(old) == 1
    require_mistake(SMALL.replace(old, new), mistake)


@pytest.mark.parametrize(
    ("more", "mistake"),
    [
        ("kept: [{names: [a], when: later}]", "16:27: `when:` must be one of on-keep"),
        ("never: [{value: x}]", "16:9: a rule of `never:` needs `name:`"),
        ("never: [{name: a}]", "16:9: a rule of `never:` needs `why:`"),
        ("aliases: {a: [b]}", "16:14: `aliases:` lists texts"),
        ("roles: x", "16:8: `roles:` must be a table of keys"),
        ("roles: {left: x}", "16:9: there is no role 'left'"),
        ("asks: [{prompt: x}]", "16:8: `asks:` needs `name:`"),
        ("asks: [{name: x, secret: 1}]", "16:26: `secret:` must be one of yes, no"),
        ("modes: {edit: {enter: e}}", "16:15: mode edit needs `leave:`"),
        ('modes: {a: {enter: "{x}", leave: b}}', "16:20: mode a cannot fill {x}"),
        ("spelling: [{names: [a]}]", "16:12: a spelling needs `names:` and what is"),
        ("spelling: [{radix: 2}]", "16:12: a spelling needs `names:` and what is"),
        ("spelling: [{names: a, in: x, radix: 2}]", "16:12: `in:` lists list, read, w"),
    ],
)
def test_a_mistake_in_a_table_of_rules_is_named_with_its_place(
    more: str, mistake: str
) -> None:
    require_mistake(f"{SMALL}{more}\n", mistake)


def test_every_mistake_is_named_at_once_in_the_order_of_the_file() -> None:
    text = SMALL.replace("LF", "EOT").replace("hot", "").replace("read:", "raed:")
    places = [text.split(": ")[0] for text in mistakes(text)]
    assert places == ["gull.yaml:4:19", "gull.yaml:11:3", "gull.yaml:13:17"]


def test_an_almost_empty_description_names_all_that_is_needed() -> None:
    found = "\n".join(mistakes("benchlink-console: 1\n"))
    for key in ("name", "title", "answer", "settings", "verbs"):
        assert f"`{key}:`" in found


@pytest.mark.parametrize("text", ["- a\n", "just text\n"])
def test_a_file_that_is_no_table_is_named(text: str) -> None:
    assert "must be a table of keys" in mistakes(text)[0]


@pytest.mark.parametrize("line", range(4, 16))
def test_a_description_with_a_line_missing_reads_or_says_what_is_wrong(
    line: int,
) -> None:
    lines = SMALL.splitlines(keepends=True)
    text = "".join(lines[: line - 1] + lines[line:])
    if line in {6, 8, 9, 10, 14, 15}:
        assert mistakes(text)
    else:
        assert described(text).name == "gull"
