"""Bytes beyond ASCII: read and written as declared, never as something else."""

from dataclasses import replace

import pytest

from benchlink.console.cells import Layout
from benchlink.console.charset import Charset
from benchlink.console.codec import Codec
from benchlink.console.columns import Column, Columns
from benchlink.console.description import Description, Echo
from benchlink.console.explaining import explain
from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane, Pending
from benchlink.console.receiving import Receiving
from benchlink.console.spelling import Spelling
from benchlink.console.template import template
from benchlink.console.terminal import Terminal, render
from benchlink.core.exchange import AnswerForm, Ending
from benchlink.core.hazard import Hazard
from benchlink.core.settings import Snapshot
from benchlink.core.stray import has_stray, shown, strays
from benchlink.core.values import Text, Word
from benchlink.errors import FileError, MisuseError
from tests.console.talking import MANNER, Desk, answer_to, command, console

LISTED = "name: \u00f6\nreed: r\u00e9d\n"
VERBS = '{write: {line: "let {name} be {value}"}}'
SETTINGS = '[{list: {line: all}, forms: [{pair: "{name}: {value}"}]}]'


def gull(charset: str = "") -> Description:
    line = f"{{charset: {charset}}}" if charset else "{}"
    return console(line=line, verbs=VERBS, settings=SETTINGS)


def listed(description: Description, text: bytes) -> Snapshot:
    return explain(description, text, bare=True).snapshot


def written(description: Description, text: bytes) -> dict[str, bytes]:
    """The bytes that write back each setting that can be."""
    trips = explain(description, text, bare=True).trips
    manner = description.manner
    return {
        trip.setting.name: manner.bytes_of(command(trip.lines[0]))
        for trip in trips
        if trip.lines
    }


def test_where_nobody_said_it_is_read_as_utf_8_and_only_ascii_is_sent() -> None:
    described, text = gull(""), LISTED.encode()
    assert listed(described, text).settings["reed"].value == Word("r\u00e9d")
    assert "reed" not in written(described, text)


@pytest.mark.parametrize("charset", ["utf-8", "latin-1"])
def test_what_the_charset_has_is_read_and_written_in_it(charset: str) -> None:
    described, name = gull(charset), charset
    text = LISTED.encode(name)
    assert listed(described, text).settings["reed"].value == Word("r\u00e9d")
    said = "let reed be r\u00e9d".encode(name)
    assert written(described, text)["reed"].rstrip(b"\r\n") == said


@pytest.mark.parametrize(
    ("charset", "raw"),
    [
        ("ascii", "r\u00e9d".encode()),
        ("utf-8", b"r\xe9d"),
        ("utf-8", b"a\tb"),
        ("utf-8", "a\u200bb".encode()),
        ("latin-1", b"a\x85b"),
        ("latin-1", b"a\xa0b"),
    ],
)
def test_what_is_no_text_is_never_equal_to_its_look_alike_and_never_written(
    charset: str, raw: bytes
) -> None:
    described = gull(charset)
    snapshot = listed(described, b"reed: " + raw + b"\n")
    reed = snapshot.settings["reed"]
    look_alike = listed(described, f"reed: {shown(reed.raw)}\n".encode())
    assert look_alike.settings["reed"].value != reed.value
    assert look_alike.fingerprint() != snapshot.fingerprint()
    assert "shows as no character" in Grammar(described).unwritable(reed, reed.value)


def test_a_character_that_stands_for_a_byte_is_taken_for_its_own_bytes() -> None:
    assert render(strays(b"\xe9").encode()) != render(b"\xe9")
    assert has_stray(render(strays(b"\xe9").encode()))


def test_columns_are_counted_in_characters() -> None:
    form = Columns(
        columns=(Column(name="name", first=1, last=6), Column(name="value", first=7))
    )
    for raw, charset in (
        ("r\u00e9d    5".encode(), Charset.UTF_8),
        ("r\u00e9d    5".encode("latin-1"), Charset.LATIN_1),
        (b"r\xe9d    5", Charset.UTF_8),
    ):
        cells = form.take(render(raw, charset), Layout())
        assert cells is not None
        assert [cell.raw for cell in cells] == ["5"]


def test_a_tab_in_a_template_is_a_tab_of_the_board() -> None:
    form = template("{name}\t{value}")
    assert form.match(render(b"reed\t5")) == {"name": "reed", "value": "5"}
    assert form.match("reed\\x095") is None
    assert template("\x18").render({}) == "\x18"


def test_a_value_that_the_charset_has_not_is_refused_with_its_name() -> None:
    for charset, char in ((Charset.ASCII, "\u00e9"), (Charset.LATIN_1, "\u0416")):
        codec = Codec(quote='"', charset=charset)
        with pytest.raises(ValueError, match=charset.value):
            codec.write(Text(f"a{char}"))
    utf_8 = Codec(quote='"', charset=Charset.UTF_8)
    assert utf_8.write(Text("\u0416")) == '"\u0416"'


def test_an_exception_to_the_spelling_keeps_the_charset() -> None:
    described = console(
        line="{charset: latin-1}", spelling="[{names: [a], kind: word}]"
    )
    assert isinstance(described.spelling, Spelling)
    assert described.spelling.base.charset is Charset.LATIN_1


def test_a_line_is_as_long_as_its_bytes() -> None:
    manner = replace(MANNER, longest_line=8, charset=Charset.UTF_8)
    line = command("let \u00e9\u00e9")
    assert manner.bytes_of(line) == "let \u00e9\u00e9".encode() + manner.line_end.value
    with pytest.raises(MisuseError, match="longer"):
        replace(manner, longest_line=7).bytes_of(line)


def test_an_echo_is_known_in_its_charset() -> None:
    desk = Desk(replace(MANNER, charset=Charset.LATIN_1)).ready()
    ticket = desk.submit("let a be \u00e9")
    said = answer_to("let a be \u00e9").decode().encode("latin-1")
    desk.says(said)
    assert desk.answers()[ticket].trusted


def test_a_block_of_bytes_is_read_in_its_charset() -> None:
    form = AnswerForm(ends=Ending.BLOCK)
    for charset, text in ((Charset.LATIN_1, "r\u00e9"), (Charset.UTF_8, "r\\xe9")):
        receiving = Receiving(Pending(1, Lane.BULK, command("all?", form), b"all?\r"))
        for line in Terminal(charset=charset).feed(b"#13r\xe9\n"):
            receiving.take(line)
        assert [shown(line) for line in receiving.finish().lines] == [text]


def test_a_name_outside_of_the_list_is_no_charset() -> None:
    with pytest.raises(FileError):
        gull("cp1252")


@pytest.mark.parametrize(
    ("charset", "other"), [("latin-1", "utf-8"), ("utf-8", "latin-1")]
)
def test_hazards_are_looked_for_in_the_characters(charset: str, other: str) -> None:
    described = console(
        line=f"{{charset: {charset}}}",
        verbs=VERBS,
        settings=SETTINGS,
        hazards="{harmless: [help r\u00e9d]}",
    )
    classify = Grammar(described).hazards.classify
    end = described.manner.line_end.value
    assert classify("help r\u00e9d".encode(charset) + end) == frozenset()
    assert Hazard.UNKNOWN in classify("help r\u00e9d".encode(other) + end)
    assert Hazard.UNKNOWN in classify(b"help r\x85d" + end)
    reed = listed(described, b"reed: x\n").settings["reed"]
    (said,) = Grammar(described).write(reed, Word("r\u00e9d")).commands
    assert said.line == "let reed be r\u00e9d"


def test_what_stands_behind_a_prompt_keeps_its_own_bytes() -> None:
    manner = replace(MANNER, charset=Charset.LATIN_1, echo=Echo.NONE)
    desk = Desk(manner).ready()
    ticket = desk.order(command("name"))
    desk.says(b"@ r\xe9d\r\ndone\r\n@ ")
    answer = desk.answers()[ticket]
    assert (answer.lines, answer.raw) == (("r\xe9d",), b"r\xe9d\r\n")
