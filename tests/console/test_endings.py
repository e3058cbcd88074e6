"""Every way in which an answer ends, in every way in which its bytes may come."""

from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.description import Echo, LineEnd, Manner, Wake
from benchlink.console.events import Heard
from benchlink.console.template import template
from benchlink.core.exchange import Answer, AnswerForm, Command, Ending, Verdict
from benchlink.units import Seconds
from tests.console.talking import (
    FEW,
    FORM,
    MANNER,
    Desk,
    command,
    cut_up,
    in_bytes,
    pressed,
)

CHATTER = (template("."), template(": {text}"))
PROMPTED = replace(MANNER, chatter=CHATTER)
BARE = Manner(
    echo=Echo.NONE,
    line_end=LineEnd.LF,
    wake=Wake.NOTHING,
    hello="id?",
    hello_form=AnswerForm(ends=Ending.LINE),
    chatter=CHATTER,
)
ECHOING = replace(BARE, echo=Echo.PLAIN)
"""Repeats what it is sent, but shows no prompt."""


def form(ends: Ending, *marks: str, words: bool = False) -> AnswerForm:
    made = tuple(map(template, marks))
    return replace(FORM, ends=ends, marks=made, needs_word=words)


def opened(manner: Manner) -> Desk:
    """A desk whose board listens."""
    desk = Desk(manner)
    if manner.prompt is not None:
        return desk.ready()
    desk.turn()
    echo = b"" if manner.echo is Echo.NONE else b"id?\r\n"
    return desk.ready(echo + b"gull\n")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One command and the whole of its answer."""

    name: str
    manner: Manner = PROMPTED
    form: AnswerForm = FORM
    said: bytes
    lines: tuple[str, ...] = ()
    verdict: Verdict = Verdict.OK
    remark: str = ""
    raw: bytes | None = None


BLOCK = b"#215alpha\nbeta\ngamm\n"
CASES = (
    Case(
        name="status",
        said=b"show\r\na: 1\r\n\r\nb: @ \r\ndone\r\n@ ",
        lines=("a: 1", "", "b: @ "),
        raw=b"a: 1\r\n\r\nb: @ \r\n",
    ),
    Case(
        name="status refused",
        said=b"show\r\nsorry: no such row\r\n@ ",
        verdict=Verdict.REFUSED,
        remark="no such row",
    ),
    Case(
        name="status with a note",
        said=b"show\r\nnote: limited to 5\r\n@ ",
        verdict=Verdict.NOTED,
        remark="limited to 5",
    ),
    Case(
        name="status, not ready",
        said=b"show\r\nwait: storing\r\n@ ",
        verdict=Verdict.AGAIN,
        remark="storing",
    ),
    Case(
        name="status without echo or prompt",
        manner=BARE,
        said=b"a 1\r\ndone\r\n",
        lines=("a 1",),
    ),
    Case(
        name="status with an echo and no prompt",
        manner=ECHOING,
        said=b"show\r\na 1\r\ndone\r\n",
        lines=("a 1",),
    ),
    Case(
        name="prompt",
        form=form(Ending.PROMPT),
        said=b"show\r\na 1\r\nb 2\r\n@ ",
        lines=("a 1", "b 2"),
    ),
    Case(name="prompt at once", form=form(Ending.PROMPT), said=b"show\r\n@ "),
    Case(
        name="prompt after a refusal with more words",
        form=form(Ending.PROMPT),
        said=b"show\r\nsorry: no\r\ntry again\r\n@ ",
        verdict=Verdict.REFUSED,
        remark="no",
    ),
    Case(
        name="closing",
        form=form(Ending.CLOSING, "{count} rows"),
        said=b"show\r\na 1\r\n1 rows\r\n@ ",
        lines=("a 1", "1 rows"),
    ),
    Case(
        name="closing without echo or prompt",
        manner=BARE,
        form=form(Ending.CLOSING, "end"),
        said=b"a 1\nend\n",
        lines=("a 1", "end"),
    ),
    Case(
        name="count",
        form=form(Ending.COUNT, "{count} lines follow"),
        said=b"show\r\n3 lines follow\r\na 1\r\n\r\ndone\r\n@ ",
        lines=("3 lines follow", "a 1", "", "done"),
    ),
    Case(
        name="count of nothing",
        manner=BARE,
        form=form(Ending.COUNT, "{count} lines follow"),
        said=b"0 lines follow\n",
        lines=("0 lines follow",),
    ),
    Case(
        name="count without echo or prompt",
        manner=BARE,
        form=form(Ending.COUNT, "{count} lines follow"),
        said=b"head\n2 lines follow\n1 lines follow\nb\n",
        lines=("head", "2 lines follow", "1 lines follow", "b"),
    ),
    Case(
        name="block",
        manner=BARE,
        form=form(Ending.BLOCK),
        said=BLOCK,
        lines=("alpha", "beta", "gamm"),
        raw=b"alpha\nbeta\ngamm\n",
    ),
    Case(
        name="block that ends with a line",
        manner=BARE,
        form=form(Ending.BLOCK),
        said=b"#16alpha\n\n",
        lines=("alpha",),
    ),
    Case(
        name="block of nothing",
        manner=BARE,
        form=form(Ending.BLOCK),
        said=b"#10\n",
    ),
    Case(
        name="refusal where a block was due",
        manner=BARE,
        form=form(Ending.BLOCK),
        said=b"sorry: no\n",
        verdict=Verdict.REFUSED,
        remark="no",
    ),
    Case(
        name="line",
        manner=BARE,
        form=form(Ending.LINE),
        said=b"\r\ngull,44CB\r\n",
        lines=("gull,44CB",),
    ),
    Case(
        name="line before a prompt",
        form=form(Ending.LINE),
        said=b"show\r\ngull\r\n@ ",
        lines=("gull",),
    ),
    Case(
        name="line that refuses",
        manner=BARE,
        form=form(Ending.LINE),
        said=b"sorry: no\n",
        verdict=Verdict.REFUSED,
        remark="no",
    ),
    Case(
        name="quiet",
        manner=BARE,
        form=form(Ending.QUIET),
        said=b"a 1\nb 2\n",
        lines=("a 1", "b 2"),
    ),
    Case(
        name="question",
        form=form(Ending.SHOWS, "store {count} rows? (y/n) "),
        said=b"show\r\nthere are rows\r\nstore 5 rows? (y/n) ",
        lines=("there are rows",),
    ),
    Case(
        name="refusal where a question was due",
        form=form(Ending.SHOWS, "store {count} rows? (y/n) "),
        said=b"show\r\nsorry: armed\r\n@ ",
        verdict=Verdict.REFUSED,
        remark="armed",
    ),
    Case(name="nothing", manner=BARE, form=form(Ending.NOTHING), said=b""),
    Case(name="nothing but echo", form=form(Ending.NOTHING), said=b"show\r\n@ "),
)
EACH = pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
CHATTERING = [case for case in CASES if case.form.ends is not Ending.BLOCK]


def answered(case: Case, chunks: list[bytes]) -> tuple[Desk, Answer]:
    desk = opened(case.manner)
    ticket = desk.order(command("show", case.form))
    desk.hears(chunks)
    desk.passes(0.2)
    return desk, desk.answers()[ticket]


def require_right(case: Case, answer: Answer) -> None:
    assert (answer.verdict, answer.remark) == (case.verdict, case.remark)
    assert answer.lines == case.lines
    assert case.raw is None or answer.raw == case.raw


@EACH
def test_an_answer_that_comes_whole_is_right(case: Case) -> None:
    require_right(case, answered(case, [case.said])[1])


@EACH
def test_an_answer_that_comes_byte_by_byte_is_right(case: Case) -> None:
    require_right(case, answered(case, in_bytes(case.said))[1])


@EACH
@FEW
@given(data=st.data())
def test_an_answer_may_be_cut_anywhere(case: Case, data: st.DataObject) -> None:
    places = st.lists(st.integers(0, len(case.said)), max_size=5)
    require_right(case, answered(case, cut_up(case.said, *data.draw(places)))[1])


def trailing(case: Case) -> bytes:
    """Chatter behind an answer, and where there are prompts one more of them."""
    prompted = case.manner.prompt is not None and case.said.endswith(b"@ ")
    return b"\r\n: log\r\n@ " if prompted else b": log\r\n"


@EACH
def test_bytes_behind_an_answer_are_heard_and_spoil_nothing(case: Case) -> None:
    if case.form.ends is Ending.SHOWS:
        return
    for said in ([case.said + trailing(case)], in_bytes(case.said + trailing(case))):
        desk, answer = answered(case, said)
        require_right(case, answer)
        assert Heard(": log") in desk.events
        then = replace(case, form=form(Ending.LINE), said=b"", lines=("still there",))
        ticket = desk.order(command("show", then.form))
        echo = b"" if case.manner.echo is Echo.NONE else b"show\r\n"
        prompt = b"@ " if case.manner.prompt else b""
        desk.says(echo + b"still there\r\n" + prompt)
        assert desk.answers()[ticket].lines == ("still there",)


def with_chatter(said: bytes) -> bytes:
    """A keep-alive and a log line behind every line."""
    return said.replace(b"\n", b"\n.\r\n: 12.345 gps none\r\n")


@pytest.mark.parametrize("case", CHATTERING, ids=lambda case: case.name)
def test_chatter_within_an_answer_is_none_of_it(case: Case) -> None:
    said = with_chatter(case.said)
    for chunks in ([said], in_bytes(said)):
        desk, answer = answered(case, chunks)
        require_right(case, answer)
        assert b"\n" not in case.said or Heard(".") in desk.events


# An answer that does not come to its end


@pytest.mark.parametrize(
    ("name", "cut"),
    [
        ("status", b"done\r\n@ "),
        ("closing", b"1 rows\r\n@ "),
        ("count", b"done\r\n@ "),
        ("closing without echo or prompt", b"end\n"),
        ("count without echo or prompt", b"b\n"),
        ("block", b"gamm\n"),
    ],
)
def test_an_answer_without_its_end_is_never_trusted(name: str, cut: bytes) -> None:
    case = next(case for case in CASES if case.name == name)
    desk = opened(case.manner)
    ticket = desk.order(command("show", case.form))
    assert case.said.endswith(cut)
    desk.says(case.said.removesuffix(cut) + (b"@ " if case.manner.prompt else b""))
    desk.passes(1.1)
    assert not desk.answers()[ticket].trusted


@pytest.mark.parametrize("name", ["count", "closing", "status"])
def test_a_line_lost_before_the_prompt_is_damage(name: str) -> None:
    case = next(case for case in CASES if case.name == name)
    lines = case.said.splitlines(keepends=True)
    said = b"".join(line for line in lines if line != lines[-2])
    assert answered(case, [said])[1].verdict is Verdict.DAMAGED


@pytest.mark.parametrize(
    "said", [b"hello\n", b"#\n", b"#0\n", b"#x5hello\n", b"#9abc\n", b"5hello\n"]
)
def test_what_begins_like_no_block_is_damage(said: bytes) -> None:
    case = replace(CASES[0], manner=BARE, form=form(Ending.BLOCK), said=said)
    desk = opened(case.manner)
    ticket = desk.order(command("show", case.form))
    desk.says(said)
    desk.passes(1.1)
    assert not desk.answers()[ticket].trusted


def test_a_header_that_tells_an_endless_count_is_an_answer_that_never_ends() -> None:
    desk = opened(BARE)
    ticket = desk.order(command("show", form(Ending.COUNT, "{count} lines follow")))
    desk.says(b"9" * 5000 + b" lines follow\na 1\n")
    desk.passes(1.1)
    assert desk.answers()[ticket].verdict is Verdict.UNANSWERED


def test_a_block_longer_than_any_line_is_whole() -> None:
    body = b"".join(b"/header/number/%05d\n" % n for n in range(2000))
    said = b"#5%05d" % len(body) + body + b"\n"
    desk = opened(BARE)
    ticket = desk.order(command("show", form(Ending.BLOCK)))
    desk.hears(cut_up(said, *range(0, len(said), 997)))
    assert desk.answers()[ticket].raw.rstrip() == body.rstrip()
    assert len(desk.answers()[ticket].lines) == 2000


def test_a_block_may_hold_bytes_that_are_no_text() -> None:
    body = bytes(range(256))
    desk = opened(BARE)
    ticket = desk.order(command("show", form(Ending.BLOCK)))
    desk.says(b"#3256" + body + b"\n")
    answer = desk.answers()[ticket]
    assert answer.trusted
    assert answer.raw.startswith(body)


# Success


@pytest.mark.parametrize(
    ("words", "said", "verdict"),
    [
        (True, b"show\r\ndone\r\n@ ", Verdict.OK),
        (True, b"show\r\n@ ", Verdict.DAMAGED),
        (True, b"show\r\nstore full\r\n@ ", Verdict.REFUSED),
        (False, b"show\r\n@ ", Verdict.OK),
        (False, b"show\r\nsorry: no\r\n@ ", Verdict.REFUSED),
    ],
)
def test_a_change_needs_the_word_of_success_where_there_is_one(
    words: bool,  # noqa: FBT001
    said: bytes,
    verdict: Verdict,
) -> None:
    desk = Desk(PROMPTED).ready()
    given = command("show", form(Ending.PROMPT, words=words))
    ticket = desk.order(replace(given, changes=True))
    desk.says(said)
    desk.passes(0.1)
    assert desk.answers()[ticket].verdict is verdict


# Quiet


QUIET = replace(form(Ending.QUIET), quiet=Seconds(0.1))


@pytest.fixture
def desk() -> Desk:
    return opened(BARE)


def test_an_answer_that_ends_with_quiet_ends_after_its_time(desk: Desk) -> None:
    ticket = desk.order(command("show", QUIET))
    desk.says(b"a 1\n")
    desk.passes(0.09)
    desk.says(b"b 2\n")
    desk.passes(0.09)
    assert desk.answers() == {}
    desk.passes(0.02)
    assert desk.answers()[ticket].lines == ("a 1", "b 2")


def test_a_board_that_chatters_for_ever_is_quiet_all_the_same(desk: Desk) -> None:
    ticket = desk.order(command("show", QUIET))
    desk.says(b"a 1\n")
    for _ in range(4):
        desk.says(b".\r\n")
        desk.passes(0.03)
    assert desk.answers()[ticket].lines == ("a 1",)


def test_quiet_begins_only_with_the_first_line(desk: Desk) -> None:
    ticket = desk.order(command("show", QUIET))
    desk.passes(0.8)
    assert desk.answers() == {}
    desk.says(b"a 1\n")
    desk.passes(0.11)
    assert desk.answers()[ticket].lines == ("a 1",)


def test_silence_is_the_answer_of_a_change_that_says_nothing(desk: Desk) -> None:
    given = command("put a 5", QUIET, within=0.5)
    ticket = desk.order(replace(given, changes=True))
    desk.passes(0.49)
    assert desk.answers() == {}
    desk.passes(0.02)
    assert desk.answers()[ticket].verdict is Verdict.OK


def test_silence_is_no_answer_where_a_word_is_due(desk: Desk) -> None:
    ticket = desk.order(command("show", replace(QUIET, needs_word=True), within=0.5))
    desk.passes(0.6)
    assert desk.answers()[ticket].verdict is Verdict.UNANSWERED


# A question and the key that answers it


ASKS = form(Ending.SHOWS, "store {count} rows? (y/n) ")
STORED = replace(FORM, ok=(template("{count} rows stored"),))
AFTER_KEY = (
    b"\r\n5 rows stored\r\n@ ",
    b"y\r\n5 rows stored\r\n@ ",
    b"\r\nstore 5 rows? (y/n) y\r\n5 rows stored\r\n@ ",
)


def keyed(first: list[bytes], second: list[bytes]) -> tuple[Desk, list[Answer]]:
    desk = Desk(PROMPTED).ready()
    desk.order(replace(command("store", ASKS), alone=True))
    desk.hears(first)
    desk.order(pressed("y", STORED))
    desk.hears(second)
    desk.passes(0.1)
    return desk, list(desk.answers().values())


@pytest.mark.parametrize("after", AFTER_KEY)
def test_a_question_is_answered_by_a_key_without_a_line_end(after: bytes) -> None:
    asked = b"store\r\nstore 5 rows? (y/n) "
    for way in (lambda data: [data], in_bytes):
        desk, answers = keyed(way(asked), way(after))
        assert desk.sent == [b"store\r", b"y"]
        assert [answer.verdict for answer in answers] == [Verdict.OK, Verdict.OK]
        assert answers[1].lines in ((), ("",), ("y",))


def test_a_refusal_after_the_key_is_a_refusal() -> None:
    _, answers = keyed(
        [b"store\r\nstore 5 rows? (y/n) "], [b"y\r\nsorry: store worn out\r\n@ "]
    )
    assert answers[1].verdict is Verdict.REFUSED
    assert answers[1].remark == "store worn out"


def test_a_question_that_never_comes_is_no_success() -> None:
    desk = Desk(PROMPTED).ready()
    ticket = desk.order(command("store", ASKS))
    desk.says(b"store\r\n@ ")
    desk.passes(1.1)
    assert not desk.answers()[ticket].trusted


def test_every_ending_is_in_these_cases() -> None:
    assert {case.form.ends for case in CASES} == set(Ending)


def test_a_command_with_another_form_ends_in_its_own_way() -> None:
    desk = Desk(PROMPTED).ready()
    orders: list[Command] = [
        command("who", form(Ending.LINE)),
        command("show", form(Ending.CLOSING, "end")),
        command("put"),
    ]
    tickets = [desk.order(order) for order in orders]
    desk.says(b"who\r\ngull\r\n@ ")
    desk.says(b"show\r\na 1\r\nend\r\n@ ")
    desk.says(b"put\r\ndone\r\n@ ")
    answers = desk.answers()
    assert [answers[t].lines for t in tickets] == [("gull",), ("a 1", "end"), ()]
