"""What a board says while it starts proves nothing but that it starts."""

from dataclasses import replace

from benchlink.console.description import Echo, Manner, Wake
from benchlink.console.events import StartedByItself
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.core.exchange import AnswerForm, Ending
from tests.console.talking import MANNER, Desk, answer_to, command

SILENT = Manner(
    echo=Echo.NONE,
    wake=Wake.NOTHING,
    hello="id",
    hello_form=AnswerForm(ends=Ending.QUIET),
    hello_gives=(template("gull no. {number}"),),
    banner=(template("gull no. 3 is up"),),
    window_bytes=200,
)


def test_a_line_that_is_no_answer_to_the_hello_does_not_greet() -> None:
    desk = Desk(SILENT)
    desk.turn()
    desk.says(b"reading the store now\r\n")
    desk.passes(0.2)
    assert desk.stands(Phase.WAKING)
    desk.passes(0.3)
    assert len(desk.sent) == 2
    desk.says(b"gull no. 7\r\n")
    desk.passes(0.2)
    assert desk.stands(Phase.READY)


def test_a_banner_is_no_answer_to_the_hello_whatever_its_form() -> None:
    desk = Desk(SILENT)
    desk.turn()
    desk.says(b"gull no. 3 is up\r\n")
    desk.passes(0.03)
    assert desk.stands(Phase.WAKING)
    assert len(desk.sent) == 2


def test_a_board_that_answers_nothing_else_is_silent_in_the_end() -> None:
    desk = Desk(SILENT)
    for _ in range(500):
        desk.says(b"reading the store now\r\n")
        desk.passes(0.2)
    assert desk.silent


def test_a_hello_that_came_too_early_does_not_slow_what_follows() -> None:
    desk = Desk(replace(SILENT, echo=Echo.PLAIN))
    desk.passes(1.01)
    desk.says(b"id\r\ngull no. 7\r\n")
    desk.passes(0.2)
    for _ in range(4):
        desk.order(command("peek"))
    desk.forgets().says(b"peek\r\ndone\r\n")
    assert len(desk.sent) == 2


def test_a_banner_behind_a_line_that_was_cut_off_proves_the_restart() -> None:
    desk = Desk().ready()
    desk.order(command("restart", restarts=True))
    desk.says(answer_to("restart"))
    desk.says(b"log: 3 radio wait")
    desk.passes(0.1)
    desk.says(b"wader boot 4\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_a_line_that_ends_like_the_banner_proves_no_restart() -> None:
    desk = Desk().ready()
    desk.order(command("restart", restarts=True))
    desk.says(answer_to("restart"))
    desk.passes(0.1)
    desk.says(b"log: the last was wader boot 4\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.WAKING)


def test_prompts_one_behind_the_other_are_a_prompt_where_nothing_echoes() -> None:
    desk = Desk(replace(MANNER, echo=Echo.NONE))
    desk.says(b"@ @ @ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)
    desk = Desk()
    desk.says(b"@ @ @ ")
    desk.passes(0.1)
    assert desk.stands(Phase.WAKING)


def test_a_start_that_nobody_asked_for_is_told_once() -> None:
    desk = Desk(replace(MANNER, banner=(template("reed up"),))).ready()
    desk.says(b"\r\nreed up\r\nreed up\r\n@ ")
    desk.passes(0.5)
    told = [e for e in desk.events if isinstance(e, StartedByItself)]
    assert len(told) == 1
