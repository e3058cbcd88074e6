"""Boards that must be listened to before anything is sent to them."""

from dataclasses import replace

from benchlink.console.description import Cue, Echo, Wake
from benchlink.console.lanes import Lane
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.core.exchange import AnswerForm, Ending
from benchlink.units import Seconds
from tests.console.talking import (
    MANNER,
    Desk,
    answer_to,
    command,
    console,
    mistakes_of,
)

BOOTING = Cue(shows=template("booting {anything}"), wait=True)
WARY = replace(MANNER, cues=(BOOTING,), listen=Seconds(2))
COUNTED = (b"booting 9..", *(b" %d.." % n for n in range(8, 0, -1)))


def counts_down(desk: Desk) -> None:
    for piece in COUNTED:
        desk.says(piece)
        desk.passes(0.9)


def test_nothing_is_sent_while_it_is_listened_to() -> None:
    desk = Desk(WARY)
    desk.passes(1.9)
    assert desk.sent == []
    desk.passes(0.2)
    assert desk.sent == [b"\x15"]


def test_a_prompt_that_comes_meanwhile_needs_no_wake() -> None:
    desk = Desk(WARY)
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)
    assert desk.sent == []


def test_a_countdown_that_any_key_harms_is_left_alone() -> None:
    desk = Desk(WARY)
    counts_down(desk)
    assert desk.sent == []
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_what_follows_it_without_a_prompt_is_woken_in_the_end() -> None:
    desk = Desk(WARY)
    counts_down(desk)
    desk.says(b"\r\nrunning\r\n")
    desk.passes(WARY.patience + 0.6)
    assert desk.sent[0] == b"\x15"
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_a_countdown_without_an_end_is_not_waited_for_without_an_end() -> None:
    desk = Desk(WARY)
    for n in range(60):
        desk.says(b"booting %d\r\n" % n)
        desk.passes(0.9)
        if desk.sent:
            break
    assert 10 < desk.now - 100 < 20
    desk.passes(100)
    assert desk.silent


def test_one_harmless_line_is_sent_to_a_board_that_said_its_prompt_before() -> None:
    manner = replace(WARY, wake=Wake.NOTHING, hello="plate")
    desk = Desk(manner)
    desk.passes(2.1)
    assert desk.sent == [b"plate\r"]
    desk.passes(1)
    assert desk.sent == [b"plate\r"]
    desk.says(answer_to("plate"))
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


# After a restart


def test_after_the_banner_it_is_listened_to_again() -> None:
    desk = Desk(WARY).ready()
    desk.order(command("restart", alone=True, restarts=True))
    desk.says(answer_to("restart") + b"\r\nwader boot 3\r\n")
    desk.passes(1.9)
    assert desk.lines_sent() == ["restart"]
    counts_down(desk)
    assert desk.sent == [b"restart\r"]
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def restart_unanswered() -> Desk:
    desk = Desk().ready()
    desk.order(command("restart", alone=True, restarts=True))
    desk.says(b"restart\r\n")
    desk.passes(1.1)
    assert desk.answers()
    return desk


def test_a_restart_whose_answer_is_missing_is_left_alone_until_it_is_back() -> None:
    desk = restart_unanswered()
    desk.passes(MANNER.back_within - 0.2)
    assert desk.sent == [b"restart\r"]
    desk.passes(0.4)
    assert desk.sent[1] == b"\x15"
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_its_banner_ends_that() -> None:
    desk = restart_unanswered()
    desk.says(b"\r\nwader boot 3\r\n")
    desk.passes(0.1)
    assert desk.sent[1] == b"\x15"


def test_a_stop_does_not_end_it() -> None:
    desk = restart_unanswered()
    desk.order(command("halt"), lane=Lane.STOP)
    desk.passes(3)
    assert desk.sent == [b"restart\r", b"halt\r"]


# One slow unfinished line


def test_dots_drawn_within_an_answer_are_no_silence() -> None:
    desk = Desk(replace(MANNER, chatter=(template(".{dots}"),))).ready()
    ticket = desk.order(command("keep"))
    desk.says(b"keep\r\n")
    for _ in range(12):
        desk.says(b".")
        desk.passes(0.8)
    desk.says(b".\r\ndone\r\n@ ")
    assert desk.sent == [b"keep\r"]
    assert desk.answers()[ticket].trusted


def test_a_countdown_drawn_without_an_echo_is_none_either() -> None:
    form = AnswerForm(ends=Ending.PROMPT, needs_word=False)
    chatter = (template("Going down in {n}"),)
    desk = Desk(replace(MANNER, echo=Echo.NONE, chatter=chatter)).ready()
    ticket = desk.order(command("sleep", form))
    desk.says(b"Going down in 9")
    for n in range(8, -1, -1):
        desk.passes(0.9)
        desk.says(b"\b%d" % n)
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.sent == [b"sleep\r"]
    assert desk.answers()[ticket].trusted


def test_a_line_of_chatter_that_comes_in_pieces_is_no_drawing() -> None:
    manner = replace(MANNER, echo=Echo.NONE, chatter=(template("radio {state}"),))
    desk = Desk(manner).ready()
    ticket = desk.order(command("keep"))
    for _ in range(10):
        desk.hears((b"ra", b"dio wai", b"ting\r\n"))
        desk.passes(0.7)
    assert not desk.answers()[ticket].trusted


def test_dots_without_an_end_are_given_up() -> None:
    desk = Desk().ready()
    ticket = desk.order(command("keep"))
    desk.says(b"keep\r\n")
    for _ in range(40):
        desk.says(b".")
        desk.passes(0.8)
    assert not desk.answers()[ticket].trusted


# A description of it


def test_waiting_and_listening_are_declared() -> None:
    opening = "{listen-s: 2, replies: [{shows: '3 2 1', wait: yes}]}"
    manner = console(opening=opening).manner
    assert manner.listen == Seconds(2)
    assert manner.cues == (Cue(shows=template("3 2 1"), wait=True),)


def test_what_waits_sends_nothing() -> None:
    opening = "{replies: [{shows: '3 2 1', wait: yes, key: k}]}"
    assert "either waits or sends something" in mistakes_of(opening=opening)


def test_a_hello_without_a_wake_is_sent_only_after_listening() -> None:
    opening = "{wake: nothing, hello: stop}"
    verbs = '{write: {line: "put {name} {value}"}, stop: {line: halt}}'
    assert "needs `listen-s:`" in mistakes_of(opening=opening, verbs=verbs)
