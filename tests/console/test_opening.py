"""From an open port to a board that listens: logins, countdowns, hellos, set-up."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.description import Cue, Echo, LineEnd, Manner, Wake
from benchlink.console.events import Answered
from benchlink.console.lanes import Lane
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.console.unfinished import SETTLE
from benchlink.core.exchange import AnswerForm, Ending, Verdict
from benchlink.units import Seconds
from tests.console.talking import (
    FEW,
    FORM,
    MANNER,
    Desk,
    answer_to,
    command,
    cut_up,
    in_bytes,
)

LINE = AnswerForm(ends=Ending.LINE)

# A login


LOGIN = replace(
    MANNER,
    cues=(
        Cue(shows=template("user: "), line=template("{user}")),
        Cue(shows=template("word: "), line=template("{word}")),
    ),
)
TOLD = {"user": "bench", "word": "reed"}


def logged_in(*pieces: list[bytes]) -> Desk:
    desk = Desk(LOGIN, told=TOLD)
    for piece in pieces:
        desk.hears(piece)
    desk.passes(0.1)
    return desk


@pytest.mark.parametrize("way", [lambda data: [data], in_bytes])
def test_a_login_is_answered_with_what_the_person_told(way: object) -> None:
    assert callable(way)
    desk = logged_in(
        way(b"boot\r\nuser: "), way(b"bench\r\nword: "), way(b"\r\nhello\r\n@ ")
    )
    assert [out for out in desk.sent if out != b"\x15"] == [b"bench\r", b"reed\r"]
    assert desk.stands(Phase.READY)


def test_a_login_that_is_refused_is_not_sent_again() -> None:
    desk = logged_in([b"user: "], [b"bench\r\nword: "], [b"\r\n? not let in\r\nuser: "])
    assert desk.lines_sent() == ["bench", "reed"]


def test_a_question_that_only_stands_there_is_answered_once() -> None:
    desk = Desk(replace(LOGIN, wake=Wake.NOTHING), told=TOLD)
    desk.says(b"user: ")
    desk.passes(0.2)
    assert desk.sent == [b"bench\r"]


def test_what_was_not_told_is_an_empty_line() -> None:
    desk = Desk(replace(LOGIN, wake=Wake.NOTHING))
    desk.says(b"user: ")
    assert desk.sent == [b"\r"]


def test_a_login_is_no_prompt_and_commands_wait_for_it() -> None:
    desk = Desk(replace(LOGIN, wake=Wake.NOTHING), told=TOLD)
    desk.submit("plate")
    desk.says(b"user: ")
    desk.passes(1)
    assert b"plate\r" not in desk.sent
    assert desk.stands(Phase.WAKING)


def test_a_login_shown_by_a_ready_board_is_no_login() -> None:
    desk = Desk(LOGIN, told=TOLD).ready()
    desk.says(b"user: ")
    assert desk.sent == []


# A countdown


COUNTDOWN = replace(
    MANNER,
    wake=Wake.NOTHING,
    cues=(Cue(shows=template("autostart in {anything}"), key=b"k"),),
)


def test_a_countdown_is_stopped_by_a_key_without_a_line_end() -> None:
    desk = Desk(COUNTDOWN)
    desk.says(b"loader 2\r\nautostart in 3")
    assert desk.sent == [b"k"]
    desk.says(b"\r\nstopped here\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_each_number_of_a_countdown_is_answered_until_it_stops() -> None:
    desk = Desk(COUNTDOWN)
    for piece in (b"autostart in 3", b" 2", b" 1"):
        desk.says(piece)
    assert set(desk.sent) == {b"k"}
    assert 1 <= len(desk.sent) <= 3


# A hello, where there is no prompt


BARE = Manner(
    echo=Echo.NONE,
    answer=FORM,
    line_end=LineEnd.LF,
    wake=Wake.NOTHING,
    hello="id?",
    hello_form=LINE,
    restart_pause=Seconds(0.5),
    pause=Seconds(0.002),
)


def test_a_board_without_a_prompt_is_greeted_until_it_answers() -> None:
    desk = Desk(BARE)
    waiting = desk.submit("show")
    desk.passes(2.5)
    assert set(desk.sent) == {b"id?\n"}
    assert 2 <= len(desk.sent) <= 12
    desk.says(b"gull,44CB\n")
    desk.passes(0.05)
    assert desk.stands(Phase.READY)
    assert desk.sent[-1] == b"show\n"
    desk.says(b"done\n")
    assert desk.answers()[waiting].trusted


def test_the_answer_to_a_hello_is_nobodys_answer() -> None:
    desk = Desk(BARE)
    desk.turn()
    desk.says(b"gull\n")
    desk.passes(0.05)
    assert not desk.took(Answered)


def test_a_board_without_a_prompt_that_never_answers_is_silent() -> None:
    desk = Desk(BARE)
    ticket = desk.submit("show")
    desk.passes(BARE.patience + 1.1)
    assert desk.silent
    assert desk.answers()[ticket].verdict is Verdict.UNANSWERED


def test_a_board_that_no_longer_answers_is_greeted_again() -> None:
    desk = Desk(BARE)
    desk.turn()
    desk.says(b"gull\n")
    desk.passes(0.05)
    desk.forgets().order(command("show", within=0.5))
    desk.passes(0.6)
    assert desk.sent[0] == b"show\n"
    assert b"id?\n" in desk.sent
    desk.says(b"gull\n")
    desk.passes(0.05)
    assert desk.stands(Phase.READY)


def test_a_late_answer_is_not_taken_for_the_hello_and_then_for_the_next() -> None:
    """Without echo or prompt only order tells: a late line may pass for the hello."""
    desk = Desk(BARE)
    desk.turn()
    desk.says(b"gull\n")
    desk.passes(0.05)
    desk.forgets().order(command("show", within=0.5))
    later = desk.submit("show")
    desk.passes(0.51)
    desk.says(b"late 1\ndone\n")
    desk.passes(0.05)
    answer = desk.answers().get(later)
    assert answer is None or not answer.trusted or answer.lines == ()


# Lines that set it up


SETUP = replace(MANNER, setup=("pager off", "log off"))


def test_set_up_lines_are_sent_one_after_the_other_before_anything_else() -> None:
    desk = Desk(SETUP)
    ticket = desk.submit("plate")
    desk.says(b"\r\n@ ")
    for line in SETUP.setup:
        desk.passes(SETTLE * 2)
        assert desk.lines_sent()[-1] == line
        assert desk.stands(Phase.WAKING)
        desk.says(answer_to(line))
    desk.passes(SETTLE * 2)
    assert desk.lines_sent() == ["pager off", "log off", "plate"]
    desk.says(answer_to("plate"))
    assert list(desk.answers()) == [ticket]


def test_a_set_up_line_that_was_not_answered_is_sent_again() -> None:
    desk = Desk(replace(SETUP, patience=Seconds(9)))
    desk.says(b"\r\n@ ")
    desk.passes(1.2)
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.lines_sent() == ["pager off", "pager off"]


def test_a_set_up_line_that_is_refused_does_not_hold_up_the_rest() -> None:
    desk = Desk(SETUP)
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    desk.says(answer_to("pager off", status="sorry: no pager"))
    desk.passes(0.1)
    assert desk.lines_sent()[-1] == "log off"


def test_a_board_is_set_up_again_after_a_restart() -> None:
    desk = Desk(replace(SETUP, setup=("pager off",)))
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    desk.says(answer_to("pager off"))
    desk.passes(0.1)
    desk.forgets().order(command("restart", alone=True, restarts=True))
    desk.says(answer_to("restart"))
    desk.says(b"\r\nwader boot 3\r\n@ ")
    desk.passes(0.1)
    assert desk.lines_sent() == ["restart", "pager off"]
    desk.says(answer_to("pager off"))
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_a_stop_leaves_before_the_login_and_before_the_set_up() -> None:
    desk = Desk(replace(SETUP, cues=LOGIN.cues))
    desk.submit("halt", Lane.STOP)
    assert desk.sent[0] == b"halt\r"


# A restart without a banner


def greeted(manner: Manner = BARE) -> Desk:
    desk = Desk(manner)
    desk.turn()
    desk.says(b"gull\n")
    desk.passes(0.05)
    assert desk.stands(Phase.READY)
    return desk.forgets()


NOTHING = replace(FORM, ends=Ending.NOTHING)


def test_a_board_without_a_banner_is_left_alone_after_a_restart() -> None:
    desk = greeted()
    restart = command("boot", NOTHING, alone=True, restarts=True)
    ticket = desk.order(replace(restart, changes=True))
    assert desk.answers()[ticket].verdict is Verdict.OK
    assert desk.stands(Phase.WAKING)
    desk.passes(0.49)
    assert desk.sent == [b"boot\n"]
    desk.passes(0.3)
    assert desk.sent[1] == b"id?\n"
    assert set(desk.sent[1:]) == {b"id?\n"}
    desk.says(b"gull\n")
    desk.passes(0.05)
    assert desk.stands(Phase.READY)


def test_a_stop_leaves_a_board_that_is_left_alone_after_a_restart() -> None:
    desk = greeted(replace(BARE, pause=Seconds(0)))
    desk.order(command("boot", NOTHING, alone=True, restarts=True))
    desk.submit("halt", Lane.STOP)
    assert desk.sent == [b"boot\n", b"halt\n"]


# A pause after answers, and one at a time


def test_the_next_line_waits_for_the_pause_after_an_answer() -> None:
    desk = greeted(replace(BARE, pause=Seconds(0.2)))
    desk.passes(0.3)
    desk.submit("a")
    desk.submit("b")
    desk.says(b"done\n")
    desk.passes(0.19)
    assert desk.sent == [b"a\n"]
    desk.passes(0.02)
    assert desk.sent == [b"a\n", b"b\n"]


@pytest.mark.parametrize(
    "manner", [BARE, replace(MANNER, one_at_a_time=True, window_bytes=200)]
)
def test_one_at_a_time_is_one_at_a_time_however_many_were_right(manner: Manner) -> None:
    desk = greeted(manner) if manner is BARE else Desk(manner).ready()
    for n in range(6):
        desk.submit(f"a{n}")
    for n in range(6):
        assert len(desk.sent) == n + 1
        desk.says(b"done\n" if manner is BARE else answer_to(f"a{n}"))
        desk.passes(0.01)
    assert all(answer.trusted for answer in desk.answers().values())


# A pager


PAGED = replace(
    MANNER, pager=Cue(shows=template("-- more: blank line, q --"), key=b" ")
)
PAGES = (
    b"show\r\na 1\r\n-- more: blank line, q --",
    b"\r" + b" " * 25 + b"\rb 2\r\n-- more: blank line, q --",
    b"\r" + b" " * 25 + b"\rc 3\r\ndone\r\n@ ",
)


@pytest.mark.parametrize("way", [lambda data: [data], in_bytes])
def test_a_pager_is_answered_and_leaves_nothing_behind(way: object) -> None:
    assert callable(way)
    desk = Desk(PAGED).ready()
    ticket = desk.submit("show")
    for page in PAGES:
        desk.hears(way(page))
    assert desk.sent == [b"show\r", b" ", b" "]
    assert desk.answers()[ticket].lines == ("a 1", "b 2", "c 3")
    assert desk.answers()[ticket].trusted


@FEW
@given(st.lists(st.integers(0, len(PAGES[1])), max_size=4))
def test_a_page_may_be_cut_anywhere(cuts: list[int]) -> None:
    desk = Desk(PAGED).ready()
    ticket = desk.submit("show")
    for page in PAGES:
        desk.hears(cut_up(page, *cuts))
    assert desk.answers()[ticket].lines == ("a 1", "b 2", "c 3")
    assert desk.sent == [b"show\r", b" ", b" "]


def test_reading_pages_slowly_is_no_silence() -> None:
    desk = Desk(PAGED).ready()
    ticket = desk.order(command("show", within=0.5))
    for page in PAGES:
        desk.says(page)
        desk.passes(0.4)
    assert desk.answers()[ticket].trusted


# Boards of their own line ends


CR_BOARD = replace(MANNER, board_ends_with_cr=True)


@pytest.mark.parametrize("way", [lambda data: [data], in_bytes])
def test_a_board_may_end_its_lines_with_a_return_alone(way: object) -> None:
    assert callable(way)
    desk = Desk(CR_BOARD).ready(b"\r@ ")
    ticket = desk.submit("show")
    desk.hears(way(b"show\ra 1\rdone\r@ "))
    answer = desk.answers()[ticket]
    assert answer.trusted
    assert answer.lines == ("a 1",)


@pytest.mark.parametrize("end", LineEnd)
def test_a_line_is_sent_with_the_end_that_the_board_wants(end: LineEnd) -> None:
    desk = Desk(replace(MANNER, line_end=end)).ready()
    desk.submit("show")
    assert desk.sent == [b"show" + end.value]
