"""Whatever a board says: typed errors only, and no more work than there are bytes."""

import sys
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from itertools import cycle, islice
from pathlib import Path
from types import FrameType
from typing import Final
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlink.console import terminal
from benchlink.console.description import Description
from benchlink.console.framing import Framing, status_of
from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane
from benchlink.console.listing import Listing
from benchlink.console.phases import Phase
from benchlink.console.schema import describe
from benchlink.console.template import CONTROLS, Template, TemplateError, template
from benchlink.console.terminal import LONGEST_LINE, Terminal
from benchlink.core.exchange import AnswerForm, Command, Ending, Verdict
from benchlink.core.stray import shown
from benchlink.core.utterance import Reply, Utterance
from benchlink.errors import BenchError
from benchlink.store.strict_yaml import load_bytes
from benchlink.units import Seconds
from mocks.options import ConsoleKind, Options
from tests.console.talking import MANNER, Desk, command, in_bytes
from tests.support.virtual_board import VirtualBoard

CONSOLES: Final = Path(__file__).parents[2] / "profiles" / "consoles"
KINDS: Final = sorted(
    {path.stem for path in CONSOLES.glob("*.yaml")} & {k.value for k in ConsoleKind}
)
TOLD: Final = {"user": "bench", "word": "reed"}
BOUNDED = settings(max_examples=40, deadline=None, derandomize=True)
CHUNK: Final = 64
EACH_KIND = pytest.mark.parametrize("kind", KINDS)


@cache
def described(kind: str) -> Description:
    path = CONSOLES / f"{kind}.yaml"
    return describe(load_bytes(path.read_bytes(), path.name))


def asked(kind: str) -> tuple[Utterance, ...]:
    """What every session asks: who it is, all settings, whether it may move."""
    grammar = Grammar(described(kind))
    first = grammar.asks(grammar.description.sources[0])[0]
    return grammar.utter("identify"), first, grammar.utter("readiness")


def commands(kind: str) -> list[Command]:
    return [command for utterance in asked(kind) for command in utterance.commands]


class Recorder:
    """Lets all bytes pass and keeps them."""

    def __init__(self) -> None:
        self.heard = b""

    def __call__(self, data: bytes) -> bytes:
        self.heard += data
        return data


@cache
def session(kind: str) -> bytes:
    """All that a simulated board says from power-up to the last answer."""
    recorder = Recorder()
    options = Options(console=ConsoleKind(kind), settings=60)
    board = VirtualBoard(described(kind), options, damage=recorder, told=TOLD)
    board.ask(commands(kind))
    assert len(recorder.heard) > 200
    return recorder.heard


def chunks(data: bytes) -> list[bytes]:
    return [data[n : n + CHUNK] for n in range(0, len(data), CHUNK)]


NOISE = st.one_of(
    st.binary(max_size=40),
    st.sampled_from(
        (
            *(b"\r", b"\n", b"\r\n", b"\b", b"\x1b[K", b"\r\x1b[K", b"\x1b[9999999C"),
            *(b"\xff\xfe", b"\xe2\x82", b"@ ", b"\x00", b"#9999999999", b"9" * 5000),
        )
    ),
)
MUTATIONS = st.lists(st.tuples(st.floats(0, 1), st.integers(0, 300), NOISE), max_size=6)


def mutated(data: bytes, mutations: list[tuple[float, int, bytes]]) -> bytes:
    """Pieces replaced by noise, by nothing, or noise put in between."""
    for place, length, noise in mutations:
        at = int(place * len(data))
        data = data[:at] + noise + data[at + length :]
    return data


def talked(manner_of: str, data: bytes, pauses: list[float]) -> Desk:
    """A whole session in which the board says this, however it fits."""
    desk = Desk(described(manner_of).manner, told=TOLD)
    tickets = [desk.order(one) for one in commands(manner_of)]
    for chunk, pause in zip(chunks(data), cycle(pauses), strict=False):
        desk.says(chunk)
        if pause:
            desk.passes(pause)
    desk.passes(90)
    assert set(desk.answers()) == set(tickets)
    assert desk.stands(Phase.READY) or desk.stands(Phase.FAILED)
    assert desk.turns < 40 * (len(chunks(data)) + 90 * 10)
    return desk


def read_all(kind: str, desk: Desk) -> None:
    """What was answered is read; whatever is wrong with it is a typed error."""
    grammar, answers = Grammar(described(kind)), iter(desk.answers().values())
    plate, listing, state = (
        Reply(utterance=one, answers=tuple(next(answers) for _ in one.commands))
        for one in asked(kind)
    )
    with suppress(BenchError):
        grammar.identity(plate)
    with suppress(BenchError):
        grammar.readiness(state)
    told = Listing(grammar.description)
    told.take(grammar.description.sources[0], listing)
    assert told.finish().verbatim == listing.raw


@EACH_KIND
def test_a_session_that_is_not_spoiled_is_answered(kind: str) -> None:
    desk = talked(kind, session(kind), [0.0, 0.03])
    assert desk.answers()
    read_all(kind, desk)


@EACH_KIND
@BOUNDED
@given(mutations=MUTATIONS, pauses=st.sampled_from([[0.0], [0.03], [0.0, 0.0, 0.3]]))
def test_a_spoiled_session_ends_in_answers_and_typed_errors(
    kind: str, mutations: list[tuple[float, int, bytes]], pauses: list[float]
) -> None:
    desk = talked(kind, mutated(session(kind), mutations), pauses)
    read_all(kind, desk)


@EACH_KIND
@BOUNDED
@given(st.binary(max_size=600))
def test_noise_alone_ends_in_silence_or_answers(kind: str, data: bytes) -> None:
    read_all(kind, talked(kind, data, [0.1]))


ENDINGS = st.sampled_from(Ending)
SAID = st.lists(
    st.one_of(
        NOISE,
        st.sampled_from(
            (
                *(b"show\r\n", b"done\r\n", b"sorry: \r\n", b"5 rows\r\n", b"@ "),
                *(b"#15hello\n", b"#3999", b"a: 1\r\n", b"sure? ", b"wait: x\r\n"),
                *(b"9" * 5000 + b" rows\r\n", b"#0\n", b"-- more --"),
            )
        ),
    ),
    max_size=20,
)


@BOUNDED
@given(ends=ENDINGS, words=st.booleans(), said=SAID, key=st.booleans())
def test_every_ending_ends_whatever_is_said(
    ends: Ending, said: list[bytes], *, words: bool, key: bool
) -> None:
    marks = (template("{count} rows"), template("sure? "))
    form = AnswerForm(
        ends=ends, ok=(template("done"),), marks=marks[:1], needs_word=words
    )
    if ends is Ending.SHOWS:
        form = AnswerForm(ends=ends, marks=marks[1:])
    desk = Desk(MANNER).ready()
    given_key = Command(line="y", answer_within=Seconds(1), form=form, key=True)
    ticket = desk.order(given_key if key else command("show", form))
    desk.hears(piece for part in said for piece in chunks(part))
    desk.passes(10)
    assert ticket in desk.answers()
    assert desk.answers()[ticket].verdict in Verdict


@BOUNDED
@given(data=st.binary(max_size=400), cr_ends=st.booleans())
def test_the_terminal_takes_any_bytes_in_any_pieces(
    data: bytes, *, cr_ends: bool
) -> None:
    whole, pieces = Terminal(cr_ends=cr_ends), Terminal(cr_ends=cr_ends)
    lines = whole.feed(data)
    cut = [line for piece in in_bytes(data) for line in pieces.feed(piece)]
    assert [line.text for line in cut] == [line.text for line in lines]
    assert all(shown(line.text).isprintable() for line in lines)
    assert not any(control in line.text for line in lines for control in CONTROLS)
    assert whole.partial == pieces.partial


REDRAWN = st.lists(
    st.sampled_from(
        (*(b"a", b"bc ", b"\n", b"\r\x1b[K", b"\r\x1b[K"), *(b"x" * 19, b"\x1b[2K\t"))
    ),
    min_size=8,
    max_size=40,
).map(b"".join)


@BOUNDED
@given(data=REDRAWN)
def test_what_is_too_long_for_a_line_is_cut_alike_however_it_comes(
    data: bytes,
) -> None:
    with patch.object(terminal, "LONGEST_LINE", 40):
        whole, pieces = Terminal(), Terminal()
        lines = whole.feed(data)
        assert [line for one in in_bytes(data) for line in pieces.feed(one)] == lines
    assert (pieces.partial, pieces.under) == (whole.partial, whole.under)
    assert all(len(line.raw) <= 40 for line in lines)


ANY_SOURCE = st.one_of(
    st.text(max_size=30), st.text("{}abk :>_count" + "value", max_size=30)
)


def template_or_mistake(source: str) -> Template | int:
    """A template, or the column of the mistake in it."""
    try:
        return template(source)
    except TemplateError as exc:
        return exc.column


@BOUNDED
@given(source=ANY_SOURCE, line=st.text(max_size=60))
def test_any_template_reads_any_line_or_is_none(source: str, line: str) -> None:
    form = template_or_mistake(source)
    if isinstance(form, int):
        assert 1 <= form <= len(source) + 1
        return
    fields = form.match(line)
    assert fields is None or set(fields) == set(form.fields)
    rest = form.rest_after(line)
    assert rest is None or line.endswith(rest)


@BOUNDED
@given(st.text(max_size=80))
def test_framing_has_an_opinion_of_any_line(line: str) -> None:
    framing = Framing(MANNER)
    framing.is_chatter(line)
    framing.is_pager(line)
    echo = framing.echo_of(line)
    assert echo is None or line.endswith(echo)
    status = status_of(MANNER.answer, line)
    assert status is None or status.remark in line


# Work


def work(act: Callable[[], object]) -> int:
    """How many calls, of Python and of C, it takes."""
    count = 0

    def note(_frame: FrameType, event: str, _argument: object) -> None:
        nonlocal count
        count += event in {"call", "c_call"}

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        act()
    finally:
        sys.setprofile(before)
    return count


HOSTILE = (
    *(b"a: 1\r\n", b"@ ", b"\r", b"\b", b"x", b"\xff", b"\x1b", b"\x1b[5C", b"a\r"),
    *(b"\r\x1b[K@ ", b"\x1b[99999C\n", b"@ show\r\n", b"done\r\n", b"ab\b\b", b": be "),
    *(b"\x1b]0;", b"\r\n@ ", b"\x1b[1K", b"show", b"9"),
)


def flood(unit: bytes, length: int) -> bytes:
    return bytes(islice(cycle(unit), length))


def listened(data: bytes, *, waking: bool) -> Callable[[], object]:
    def act() -> None:
        desk = Desk() if waking else Desk().ready()
        desk.submit("show")
        desk.hears(chunks(data))

    return act


@pytest.mark.parametrize("waking", [False, True])
@pytest.mark.parametrize("unit", HOSTILE)
def test_ten_times_the_bytes_are_no_more_than_ten_times_the_work(
    unit: bytes, *, waking: bool
) -> None:
    short, long = flood(unit, 1_500) + b"\n", flood(unit, 15_000) + b"\n"
    once = work(listened(short, waking=waking))
    assert work(listened(long, waking=waking)) <= 12 * once


@pytest.mark.parametrize("erasing", [b"\x1b[2K", b"\x1b[1K", b"\r\x1b[K", b"\b \b"])
def test_a_tab_indents_again_where_all_before_it_was_erased(erasing: bytes) -> None:
    (line,) = Terminal().feed(b"a" + erasing + b"\r\tbc\n")
    assert line.text == " " * 8 + "bc"


@pytest.mark.parametrize("unit", [b"\t", b" \t", b"\x1b[K\t", b"\xff\b\x1b[K\t"])
def test_the_longest_line_of_tabs_is_drawn_before_anybody_goes_home(
    unit: bytes,
) -> None:
    # Looking at the whole row for each of them takes minutes.
    (line,) = Terminal().feed(flood(unit, LONGEST_LINE - 1) + b"\n")
    assert len(line.text) <= LONGEST_LINE * 4


@pytest.mark.parametrize("unit", HOSTILE)
def test_a_flood_of_anything_fills_no_memory(unit: bytes) -> None:
    terminal = Terminal()
    for chunk in chunks(flood(unit, 5 * LONGEST_LINE)):
        terminal.feed(chunk)
        assert len(terminal.partial_raw) <= LONGEST_LINE
    assert len(terminal.partial) <= LONGEST_LINE * 4


def test_a_stop_leaves_through_any_flood() -> None:
    desk = Desk().ready()
    for unit in HOSTILE:
        desk.forgets().hears(chunks(flood(unit, 500)))
        desk.submit("halt", Lane.STOP)
        assert b"halt\r" in desk.sent
