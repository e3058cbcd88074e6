"""An answer without an end: a board cannot fill the memory, and what it said is doubtful."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from benchlink.console.receiving import MOST_BYTES, MOST_LINES
from benchlink.core.exchange import Answer, Ending, Verdict
from benchlink.core.utterance import require_an_end
from benchlink.errors import BoardError
from tests.console.talking import FORM, Desk, command, replied

SHORT = b"a: 1\r\n"
LONG = b"a: " + b"9" * 4000 + b"\r\n"
MANY = 500


def asked(line: bytes, beyond: int) -> Desk:
    """A listing of one line again and again, so often."""
    desk = Desk().ready()
    desk.submit("recite")
    desk.submit("plate")
    desk.says(b"recite\r\n")
    for count in pieces(beyond):
        desk.says(line * count)
    return desk


def pieces(lines: int) -> Iterator[int]:
    yield from (MANY,) * (lines // MANY)
    yield lines % MANY


def only_answer(desk: Desk) -> Answer:
    return desk.answers()[min(desk.answers())]


@pytest.mark.parametrize(
    ("line", "most"),
    [(SHORT, MOST_LINES), (LONG, MOST_BYTES // len(LONG))],
    ids=["lines", "bytes"],
)
def test_one_more_than_an_answer_holds_ends_it(line: bytes, most: int) -> None:
    assert not asked(line, most).answers()
    answer = only_answer(asked(line, most + 1))
    assert answer.verdict is Verdict.ENDLESS
    assert not answer.trusted
    assert (answer.lines, answer.raw) == ((), b"")
    assert "more than 4 MiB or 65,536 lines came" in answer.remark
    assert len(answer.remark) < 200


def test_a_block_that_says_how_long_it_is_ends_as_well() -> None:
    block = replace(FORM, ends=Ending.BLOCK)
    lines = MOST_BYTES // len(LONG)
    desk = Desk().ready()
    desk.order(replace(command("recite"), form=block))
    desk.says(b"recite\r\n#9999999999" + LONG)
    for count in pieces(lines):
        desk.says(LONG * count)
    assert only_answer(desk).verdict is Verdict.ENDLESS


def test_what_waited_behind_it_is_never_sent_and_the_board_is_doubted() -> None:
    desk = asked(SHORT, MOST_LINES + 1)
    first, second = (desk.answers()[ticket] for ticket in sorted(desk.answers()))
    assert (first.verdict, second.verdict) == (Verdict.ENDLESS, Verdict.UNANSWERED)
    desk.forgets()
    desk.says(b"done\r\n@ ")
    desk.passes(0.5)
    desk.submit("one")
    desk.submit("two")
    assert desk.lines_sent() == ["one"], "one at a time after a doubt"


def test_the_rest_of_it_belongs_to_nothing() -> None:
    desk = asked(SHORT, MOST_LINES + 1).forgets()
    desk.says(SHORT * MANY + b"done\r\n@ ")
    desk.passes(0.5)
    assert not desk.answers()
    desk.submit("plate")
    desk.says(b"plate\r\nmill\r\ndone\r\n@ ")
    assert only_answer(desk).lines == ("mill",)


def test_it_is_told_in_plain_words() -> None:
    said = Answer(
        command=command("recite"), verdict=Verdict.ENDLESS, remark="more came"
    )
    with pytest.raises(BoardError, match="`recite` has no end: more came") as caught:
        require_an_end(replied(said))
    assert caught.value.hint.startswith("What came was thrown away.")
