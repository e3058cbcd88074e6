import pytest

from benchlink.console.description import (
    Description,
    LineEnd,
    MovingSettings,
    Outputs,
    Wake,
)
from benchlink.console.schema import FIELDS, describe
from benchlink.console.window import UNDECLARED_BYTES
from benchlink.core.plan import Moves
from benchlink.errors import FileError
from benchlink.store.strict_yaml import load_bytes
from tests.console.talking import wader

SMALL = """\
benchlink-console: 1
name: gull
title: Gull
line: {ends-with: LF}
opening: {wake: line-end}
answer: {prompt: "> ", ok: ["fine"]}
values: {on: "1"}
settings:
  - {line: "{name}={value}"}
verbs:
  list: {line: "all"}
  write: {line: "put {name} {value}"}
outputs: {live: "hot", resting: "cold"}
moving:
  - {names: ["m.*"], what: motor}
"""


def described(text: str) -> Description:
    return describe(load_bytes(text.encode(), "gull.yaml"))


def mistakes(text: str) -> list[str]:
    with pytest.raises(FileError) as caught:
        described(text)
    return [str(problem) for problem in caught.value.problems]


def test_the_shipped_description_reads() -> None:
    description = wader()
    assert description.name == "wader"
    assert description.manner.prompt == "@ "
    assert description.manner.abandon == b"\x15"
    assert description.manner.wake is Wake.ABANDON
    assert description.manner.window_bytes == 200
    assert set(description.verbs) == set(FIELDS)
    assert description.verbs["keep"].alone


def test_a_small_description_reads_with_defaults() -> None:
    description = described(SMALL)
    manner = description.manner
    assert (manner.line_end, manner.wake) == (LineEnd.LF, Wake.LINE_END)
    assert (manner.window_bytes, manner.longest_line) == (UNDECLARED_BYTES, 80)
    assert description.outputs == Outputs(live="hot", resting="cold")
    assert description.moving == (MovingSettings(names=("m.*",), what=Moves.MOTOR),)
    assert description.verbs["write"].line.source == "put {name} {value}"


def test_keep_drop_and_restart_go_alone_whatever_the_file_says() -> None:
    text = SMALL.replace("list:", 'keep: {line: "k", alone: "no"}\n  list:')
    verbs = described(text).verbs
    assert verbs["keep"].alone
    assert not verbs["list"].alone


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ("console: 1", "console: 2", "1:1: this benchlink reads version 1, not 2"),
        ("name: gull\n", "", "1:1: a console description needs `name:`"),
        ("title: Gull", 'title: ""', "3:8: `title:` is empty"),
        ("title: Gull", "title: [a]", "3:8: `title:` must be text, not a list"),
        ("name: gull", "name: gull\nnmae: x", "3:1: a console description does not"),
        ("LF", "EOT", "4:19: `ends-with:` must be one of CR, LF, CRLF"),
        ("ends-with: LF", "longest: 7", "4:17: `longest:` must be 8 or more"),
        ("ends-with: LF", "longest: x", "4:17: `longest:` must be a whole number"),
        ("ends-with: LF", "window-bytes: 0", "4:22: `window-bytes:` must be 1 or"),
        ("ends-with: LF", "abandon: 0x100", "4:17: `abandon:` is one byte in hex"),
        ("ends-with: LF", "abandon: [1]", "4:17: `abandon:` is one byte in hex"),
        ("ends-with: LF", "wat: 1", "4:8: line does not know `wat:`"),
        ("wake: line-end", "wake: bell", "5:17: `wake:` must be one of abandon, line"),
        ("wake: line-end", "wake: abandon", "1:1: `wake: abandon` needs `abandon:`"),
        ("wake: line-end", "patience-s: nan", "5:23: `patience-s:` must be a number"),
        ("wake: line-end", "back-within-s: 0", "5:26: `back-within-s:` must be a num"),
        ('answer: {prompt: "> ", ok: ["fine"]}\n', "", "1:1: a console description ne"),
        ('prompt: "> ", ', "", "6:9: answer needs `prompt:`"),
        (', ok: ["fine"]', "", "6:9: answer needs `ok:`, the words of success"),
        ('["fine"]', '["a", "{b"]', "6:34: answer: this brace is never closed (at ch"),
        ('["fine"]', '["a", [b]]', "6:34: `ok:` lists texts, not a list"),
        ('on: "1"', 'quote: "``"', "7:9: `quote:` is one character, not '``'"),
        ('on: "1"', 'escape: "\\\\\\\\"', "7:9: `escape:` is one character"),
        ('on: "1"', 'onn: "1"', "7:10: values does not know `onn:`"),
        ("={value}", "=", "9:12: a listed line needs {value} in '{name}='"),
        ("{name}=", "{other}=", "9:12: a listed line needs {name}"),
        ('{line: "{name}={value}"}', "{writable: maybe}", "9:5: a listed line needs"),
        ('"{name}={value}"', "[a]", "9:12: a listed line: a line is text"),
        (
            '={value}"}',
            '={value}", writable: maybe}',
            "9:40: `writable:` must be one of",
        ),
        ("put {name} {value}", "put {name}", "12:17: verb write needs {value} in 'put"),
        ('"all"', '"all {x}"', "11:16: verb list cannot fill {x}"),
        ('"all"', '""', "11:16: verb list: an empty template takes no line (at charac"),
        ('{line: "all"}', "{gives: [a]}", "11:9: verb list needs `line:`"),
        ('"all"}', '"all", moves: x}', "11:30: `moves:` must be one of nothing, ser"),
        ('"all"}', '"all", answer-within-s: -1}', "11:40: `answer-within-s:` must be"),
        ("list:", "lsit:", "11:3: verbs does not know `lsit:`"),
        ('{live: "hot", ', "{", "13:10: outputs needs `live:`"),
        ("what: motor", "what: rotor", "15:28: `what:` must be one of nothing, serv"),
        ("  - {names", "  {names", "15:3: `moving:` must be a list, not a table"),
    ],
)
def test_a_mistake_is_named_with_its_place(old: str, new: str, mistake: str) -> None:
    assert SMALL.count(old) == 1
    found = mistakes(SMALL.replace(old, new))
    assert any(text.startswith(f"gull.yaml:{mistake}") for text in found), found


def test_every_mistake_is_named_at_once_in_the_order_of_the_file() -> None:
    text = SMALL.replace("LF", "EOT").replace("hot", "").replace("list:", "lsit:")
    places = [text.split(": ")[0] for text in mistakes(text)]
    assert places == ["gull.yaml:4:19", "gull.yaml:11:3", "gull.yaml:13:17"]


def test_an_almost_empty_description_names_all_that_is_needed() -> None:
    found = "\n".join(mistakes("benchlink-console: 1\n"))
    for key in ("name", "title", "answer", "settings", "verbs"):
        assert f"`{key}:`" in found


@pytest.mark.parametrize("text", ["- a\n", "just text\n"])
def test_a_file_that_is_no_table_is_named(text: str) -> None:
    assert "must be a table of keys" in mistakes(text)[0]
