"""Logins without an echo: questions pile up in one line, and a secret has one taker."""

from dataclasses import replace

import pytest

from benchlink.console.charset import Charset
from benchlink.console.description import Cue, Echo, Wake
from benchlink.console.events import Silent, StillTalking
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.console.waking import LAST_WORDS, LOGIN_PAUSE
from tests.console.talking import MANNER, Desk, in_bytes

USER = Cue(shows=template("user? "), line=template("{user}"))
WORD = Cue(shows=template("word? "), line=template("{word}"))
TOLD = {"user": "bench", "word": "reed"}
MUTE = replace(MANNER, wake=Wake.NOTHING, echo=Echo.NONE, cues=(USER, WORD))


def asked(*said: bytes) -> Desk:
    desk = Desk(MUTE, told=TOLD)
    desk.hears(said)
    return desk


@pytest.mark.parametrize("way", [lambda data: [data], in_bytes])
def test_each_question_of_a_line_is_answered_once(way: object) -> None:
    assert callable(way)
    desk = asked(*way(b"mill\r\nuser? "))
    assert desk.sent == [b"bench\r"]
    desk.hears(way(b"word? "))
    assert desk.sent == [b"bench\r", b"reed\r"]
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)
    assert desk.sent == [b"bench\r", b"reed\r"]


def test_questions_that_had_piled_up_before_are_told_apart() -> None:
    assert asked(b"user? word? ").sent == [b"\r"]


def test_a_question_asked_again_in_its_line_is_answered_again() -> None:
    assert asked(b"user? ", b"user? ", b"word? ").sent == [
        b"bench\r",
        b"bench\r",
        b"reed\r",
    ]


@pytest.mark.parametrize(
    "said", [b"new pass word? ", b"tell the word? ", b"word? no", b"word? \r\nuser: "]
)
def test_a_secret_answers_no_other_question(said: bytes) -> None:
    desk = asked(said)
    desk.passes(1)
    assert b"reed\r" not in desk.sent


def test_nor_one_behind_which_more_has_come() -> None:
    assert asked(b"word? \r\nuser? ").sent == [b"bench\r"]


def test_a_question_that_is_drawn_anew_is_the_same() -> None:
    assert asked(b"user? ", b"\r\x1b[Kuser? ", b"\r\x1b[Kuser? ").sent == [b"bench\r"]


def test_stars_behind_a_question_ask_for_nothing_more() -> None:
    starred = replace(WORD, shows=template("word{anything}"))
    desk = Desk(replace(MUTE, cues=(starred,)), told=TOLD)
    desk.hears([b"word: ", b"*", b"*"])
    assert desk.sent == [b"reed\r"]


def test_anything_may_stand_before_a_question_where_the_description_says_so() -> None:
    loose = replace(WORD, shows=template("{anything}word? "))
    desk = Desk(replace(MUTE, cues=(USER, loose)), told=TOLD)
    desk.hears([b"user? ", b"for the mill, word? "])
    assert desk.sent == [b"bench\r", b"reed\r"]


def test_no_wake_falls_between_an_answer_and_the_next_question() -> None:
    desk = Desk(replace(MUTE, wake=Wake.LINE_END), told=TOLD)
    desk.says(b"user? ")
    desk.passes(LOGIN_PAUSE - 0.1)
    assert desk.sent[-1] == b"bench\r"
    desk.says(b"word? ")
    assert desk.sent[-1] == b"reed\r"


def test_a_login_that_is_refused_is_sent_once_and_told_at_once() -> None:
    desk = asked(b"user? ", b"word? ", b"no reed\r\nuser? ")
    desk.passes(LAST_WORDS)
    told = b"user? word? no <word>\r\nuser? "
    assert desk.events[-1] == Silent(told, logins=1)
    desk.hears([b"word? ", b"user? "])
    assert desk.sent == [b"bench\r", b"reed\r"]


def test_a_login_that_somebody_had_begun_is_not_ours() -> None:
    desk = asked(b"word? ", b"no\r\nuser? ", b"word? ", b"no\r\nuser? ", b"word? ")
    assert desk.sent == [b"\r", b"bench\r", b"reed\r"]


def test_a_board_that_asks_but_for_the_last_gets_it_in_the_end() -> None:
    assert asked(b"word? ", b"no\r\nword? ").sent == [b"\r", b"reed\r"]


def test_a_login_is_repeated_where_a_key_may_have_answered_a_board_that_starts() -> (
    None
):
    starts = replace(MUTE, wake=Wake.LINE_END, banner=(template("mill up"),))
    desk = Desk(starts, told=TOLD)
    desk.passes(0.5)
    assert desk.sent
    desk.sent.clear()
    said = [b"mill up\r\n", b"user? ", b"\r\nword? ", b"no\r\nuser? ", b"word? "]
    desk.hears(said)
    assert desk.sent == [b"bench\r", b"reed\r", b"bench\r", b"reed\r"]
    desk.says(b"no\r\nuser? ")
    assert len(desk.sent) == 4


def test_what_is_asked_behind_a_whole_login_is_no_refusal() -> None:
    edit = Cue(shows=template("edit word? "), line=template("{word}"))
    desk = Desk(replace(MUTE, cues=(USER, WORD, edit)), told=TOLD)
    desk.hears([b"user? ", b"word? ", b"\r\nedit word? "])
    assert desk.sent == [b"bench\r", b"reed\r", b"reed\r"]


def test_a_login_that_was_right_is_not_doubted_when_the_board_falls_silent() -> None:
    desk = asked(b"user? ", b"word? ", b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)
    desk.submit("plate")
    desk.passes(20)
    silent = desk.events[-1]
    assert isinstance(silent, Silent)
    assert silent.logins == 0


def test_a_board_that_prints_is_told_to_be_waited_for_when_patience_is_used() -> None:
    desk = asked(b"user? ", b"user? ", b"user? ")
    desk.passes(2)
    desk.says(b"\r\nyou may try again\r\nuser? ")
    due = desk.talk.deadline(desk.now)
    assert due is not None
    assert due <= desk.now - 2 + MANNER.patience
    desk.passes(MANNER.patience - 1.9)
    assert StillTalking() in desk.events
    assert not desk.silent


def test_an_answer_is_sent_in_the_charset_of_the_console() -> None:
    manner = replace(MUTE, charset=Charset.LATIN_1)
    desk = Desk(manner, told={"user": "m\xfchle"})
    desk.says(b"user? ")
    assert desk.sent == [b"m\xfchle\r"]
