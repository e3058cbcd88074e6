"""A description held against what a board said, line by line."""

from itertools import pairwise

import pytest

from benchlink.console.answer_reading import BODY, Role
from benchlink.console.description import Description
from benchlink.console.explaining import Explanation, explain
from benchlink.console.schema import describe
from benchlink.store.descriptions import find_console, node_of
from benchlink.store.strict_yaml import load_bytes
from mocks.device import Device
from mocks.options import ConsoleKind, Options

GULL = """\
benchlink-console: 1
name: gull
title: Gull
answer: {prompt: "> ", ok: ["fine"], refused: ["no: {remark}"], chatter: ["~ {text}"]}
values: {on: "1", off: "0", quote: "'", reserved: ";"}
settings:
  - list: {line: "all"}
    furniture: ["{count} cells"]
    forms:
      - {pair: "{name}={value}"}
verbs:
  identify: {line: "who", gives: ["{type} of {number}"]}
  write: {line: "put {name} {value}"}
  keep: {line: "keep"}
"""
SESSION = b"""\
> who\r
gull of 7\r
fine\r
> all\r
tilt=1500\r
~ reeds\r
name='Marsh'\r
2 cells\r
fine\r
> put tilt nine\r
no: not a number\r
> """
NO_ECHO = "opening: {wake: nothing, hello: identify}\nanswer: {echo: none,"
US = 1_000_000


def gull(old: str = "", new: str = "") -> Description:
    return describe(load_bytes(GULL.replace(old, new).encode(), "gull.yaml"))


def roles(explanation: Explanation) -> list[Role]:
    return [line.taken.role for line in explanation.lines]


def test_a_session_is_understood_line_by_line() -> None:
    explained = explain(gull(), SESSION)
    assert explained.good
    assert roles(explained) == [
        *(Role.SENT, Role.ANSWER, Role.STATUS),
        *(Role.SENT, Role.SETTINGS, Role.CHATTER, Role.SETTINGS),
        *(Role.FURNITURE, Role.STATUS),
        *(Role.SENT, Role.STATUS, Role.PROMPT),
    ]
    assert set(explained.snapshot.settings) == {"tilt", "name"}
    assert explained.unsaid == ("keep",)


def test_a_listing_alone_is_understood_as_well() -> None:
    explained = explain(gull(), b"tilt=1500\nname='Marsh'\n2 cells\n")
    assert explained.good
    assert len(explained.trips) == 2


def test_each_line_tells_the_place_of_what_took_it() -> None:
    explained = explain(gull(), b"> all\ntilt=1500\n1 cells\nfine\n>\n")
    places = [str(line.taken.took[-1].place) for line in explained.lines[1:4]]
    assert places == ["gull.yaml:10:16", "gull.yaml:8:17", "gull.yaml:4:29"]
    assert explained.lines[4].taken.role is Role.PROMPT


def test_a_line_that_nothing_takes_is_named_with_its_number() -> None:
    explained = explain(gull(), SESSION.replace(b"tilt=", b"tilt "))
    (strange,) = explained.strange
    assert (strange.number, strange.text, strange.label) == (5, "tilt 1500", "list")
    assert explained.troubles == ("2 cells (but 1 were listed)",)
    assert not explained.good


def test_what_answers_a_line_that_nothing_here_sends_is_told_apart() -> None:
    explained = explain(
        gull(), b"> help\nall lists all\nfine\n> who\ngull of 7\nfine\n"
    )
    assert roles(explained)[:3] == [Role.TYPED, Role.STRANGE, Role.STATUS]
    assert explained.strange[0].label == "`help`"


def test_two_templates_of_which_neither_says_more_are_both_named() -> None:
    form = '      - {pair: "{name}={value}"}\n'
    text = form + '      - {pair: "{value}={name}"}\n'
    explained = explain(gull(form, text), b"> all\ntilt=1500\n1 cells\nfine\n")
    (line,) = explained.ambiguous
    assert [str(taker.place) for taker in line.taken.took] == ["gull.yaml:10:16"]
    assert [str(taker.place) for taker in line.taken.rivals] == ["gull.yaml:11:16"]


def test_the_special_case_before_the_general_one_is_no_ambiguity() -> None:
    form = '      - {pair: "{name}={value}"}\n'
    special = '      - {pair: "cal.{name}={value}", board-owned: yes}\n'
    text = b"> all\ncal.x=1\ntilt=2\n2 cells\nfine\n"
    assert explain(gull(form, special + form), text).good
    assert explain(gull(form, form + special), text).ambiguous


def test_a_template_that_took_nothing_is_named_where_its_question_was_asked() -> None:
    form = '      - {pair: "{name}={value}"}\n'
    explained = explain(
        gull(form, f'{form}      - {{pair: "! {{name}} {{value}}"}}\n'), SESSION
    )
    assert [str(taker) for taker in explained.idle] == ["pair: ! {name} {value}"]


def test_a_setting_makes_the_way_to_the_written_line_or_tells_why_not() -> None:
    explained = explain(gull(), b"tilt=1500\nname='a;b'\nnote=two words\n3 cells\n")
    tilt, name, note = explained.trips
    assert tilt.lines == ("put tilt 1500",)
    assert not name.proven
    assert "';'" in name.why_not
    assert note.why_not == "'two words' is not one word"


def test_escapes_and_a_last_line_without_an_end_do_not_matter() -> None:
    drawn = b"\r\x1b[K\x1b[32m> \x1b[0mwho\r\ngull of 7\r\nfine\r\n\r\x1b[K\x1b[32m> \x1b[0m"
    explained = explain(gull(), drawn)
    assert roles(explained) == [Role.SENT, Role.ANSWER, Role.STATUS, Role.PROMPT]


def test_a_folded_echo_is_put_together_again() -> None:
    text = b"> put long.\nname 5\nfine\n"
    explained = explain(gull("answer: {", "answer: {echo: folded, "), text)
    assert roles(explained) == [Role.SENT, Role.SENT, Role.STATUS]


FIRST = b"> first\r\ntilt=1500\r\nfine\r\n"
OTHERS = b"> others\r\npoles: 14\r\nfine\r\n"


@pytest.mark.parametrize("session", [FIRST + OTHERS, OTHERS + FIRST])
def test_steps_of_a_list_count_before_all_of_them_were_captured(session: bytes) -> None:
    described = gull(
        '  - list: {line: "all"}\n',
        '  - list: {line: others}\n    forms: [{pair: "{name}: {value}"}]\n'
        "  - list: {steps: [{line: first}, {line: second}]}\n",
    )
    explained = explain(described, session + b"> ")
    assert explained.good
    assert set(explained.snapshot.settings) == {"tilt", "poles"}


def test_a_full_copy_holds_answers_and_nothing_between_them() -> None:
    text = b"tilt=1\nmotor=2\n2 cells\n"
    explained = explain(gull(), text, bare=True)
    assert explained.good
    assert set(explained.snapshot.settings) == {"tilt", "motor"}


def test_a_line_in_an_unknown_answer_belongs_to_the_verb_that_fits_it_best() -> None:
    quiet = gull('answer: {prompt: "> ",', NO_ECHO)
    text = b"gull of 7\nfine\ntilt=1500\n1 cells\nfine\n"
    labels = [line.label for line in explain(quiet, text).lines]
    assert labels == ["identify", "identify", "list", "list", "list"]


def shipped(name: str) -> Description:
    _, path, data = find_console(name)
    return describe(node_of(data, path))


def recorded(kind: ConsoleKind, said: tuple[bytes, ...]) -> bytes:
    """All bytes of a board, told one thing a second from one second after power-up."""
    device = Device(Options(console=kind, settings=60))
    heard = bytearray()
    times = [US * (second + 2) for second in range(len(said) + 1)]
    heard += device.collect(times[0])
    for line, (start, stop) in zip(said, pairwise(times), strict=True):
        device.receive(line, start)
        now: int | None = start
        while now is not None and now < stop:
            heard += device.collect(now)
            following = device.next_us(now)
            now = None if following is None else max(following, now + 1)
        heard += device.collect(stop)
    return bytes(heard)


TALKS = {
    "wader": (
        *(b"plate\r", b"state\r", b"recite\r", b"recite tilt.left.centre_us\r"),
        *(b"let tilt.left.centre_us be 1512\r", b"let nothing be 1\r", b"halt\r"),
    ),
    "knot": (
        *(b"name?\r\n", b"able?\r\n", b"tell everything\r\n"),
        *(b"tilt-L mid 1512\r\n", b"hold\r\n"),
    ),
    "turnstone": (
        *(b"pager off\n", b"who\n", b"ready\n", b"show\n", b"pads\n"),
        *(b"put tilt left centre 1512\n", b"store\n", b"y"),
    ),
    "dunlin": (
        *(b"bench\r", b"reed\r", b"about\r", b"ready\r", b"list\r", b"bank 2\r"),
        *(b"list\r", b"edit\r", b"lay tilt/left/centre 1512\r"),
        *(b"lay note <<\r", b"skid loose\r", b">>\r", b"done\r"),
    ),
}
"""What to say to each shipped console; every line of its answers has to be known."""


@pytest.mark.parametrize("name", TALKS)
def test_every_line_of_a_shipped_console_is_understood(name: str) -> None:
    explained = explain(shipped(name), recorded(ConsoleKind(name), TALKS[name]))
    assert [(line.number, line.text) for line in explained.strange] == []
    assert [(line.number, line.text) for line in explained.ambiguous] == []
    assert explained.good
    assert len(explained.trips) >= 59
    assert [trip.setting.name for trip in explained.trips if trip.why_not] == []


@pytest.mark.parametrize("name", TALKS)
def test_a_full_copy_of_a_shipped_console_is_understood(name: str) -> None:
    """All lists one after the other, with nothing that tells where each ends."""
    session = explain(shipped(name), recorded(ConsoleKind(name), TALKS[name]))
    lists = [ln for ln in session.lines if ln.label == "list" and ln.taken.role in BODY]
    text = "".join(f"{line.text}\n" for line in lists).encode()
    copy = explain(shipped(name), text, bare=True)
    assert [*copy.strange, *copy.ambiguous, *copy.troubles] == []
    assert copy.good
    assert copy.snapshot.settings.keys() == session.snapshot.settings.keys()
