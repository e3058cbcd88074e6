"""Answers whose status is not their end: reasons, counted refusals, bare values."""

from dataclasses import replace

import pytest

from benchlink.console.description import Echo, Manner, Wake
from benchlink.console.lanes import Lane
from benchlink.console.template import Template, template
from benchlink.core.exchange import Answer, AnswerForm, Command, Ending, Verdict
from benchlink.units import Seconds
from tests.console.talking import Desk, in_bytes

NO = AnswerForm(
    ends=Ending.STATUS, ok=(template("yes"),), refused=(template("no: {remark}"),)
)
LATER = replace(NO, refused=(template("no"),))
SILENT = Manner(
    echo=Echo.NONE,
    wake=Wake.NOTHING,
    hello="id",
    hello_form=AnswerForm(ends=Ending.LINE),
)
PROMPTED = Manner(prompt=template("> "))
CLOSING = replace(NO, ends=Ending.CLOSING, marks=(template("end."),))
COUNTED = replace(NO, ends=Ending.COUNT, marks=(template("{count} lines"),))


def answer_of(
    manner: Manner, form: AnswerForm, said: bytes, *, changes: bool = False
) -> Answer:
    desk = Desk(manner)
    desk.turn()
    desk.ready(b"\r\n> " if manner.prompt else b"gull\r\n")
    ticket = desk.order(
        Command(line="do", answer_within=Seconds(1), form=form, changes=changes)
    )
    desk.hears(in_bytes(said))
    desk.passes(2)
    return desk.answers()[ticket]


@pytest.mark.parametrize("form", [LATER, replace(LATER, ends=Ending.PROMPT)])
def test_the_reason_of_a_refusal_may_stand_on_the_next_line(form: AnswerForm) -> None:
    answer = answer_of(PROMPTED, form, b"do\r\nno\r\n  above 2500\r\n> ")
    assert (answer.verdict, answer.remark) == (Verdict.REFUSED, "above 2500")


def test_a_refusal_is_followed_by_the_closing_line() -> None:
    answer = answer_of(SILENT, CLOSING, b"no: above\r\nend.\r\n")
    assert (answer.verdict, answer.remark) == (Verdict.REFUSED, "above")


def test_what_closes_a_refusal_is_not_the_answer_to_the_next_command() -> None:
    desk = Desk(SILENT)
    desk.turn()
    desk.ready(b"gull\r\n")
    order = Command(line="do", answer_within=Seconds(1), form=CLOSING)
    first, second = desk.order(order), desk.order(order)
    desk.hears([b"no: above\r\n", b"end.\r\n", b"a 1\r\n", b"end.\r\n"])
    assert desk.answers()[first].verdict is Verdict.REFUSED
    assert desk.answers()[second].lines == ("a 1", "end.")


def test_an_empty_line_may_close_an_answer() -> None:
    blank = replace(CLOSING, marks=(Template("", ()),))
    answer = answer_of(SILENT, blank, b"a 1\r\n\r\n")
    assert answer.lines == ("a 1", "")


def test_a_refusal_is_seen_among_counted_lines_only_at_their_beginning() -> None:
    refused = answer_of(SILENT, COUNTED, b"1 lines\r\nno: above\r\n")
    listed = answer_of(SILENT, COUNTED, b"2 lines\r\na 1\r\nno: above\r\n")
    assert (refused.verdict, refused.remark) == (Verdict.REFUSED, "above")
    assert listed.verdict is Verdict.OK
    assert listed.lines == ("2 lines", "a 1", "no: above")


def test_a_word_of_success_is_counted_only_where_something_changes() -> None:
    changed = answer_of(SILENT, COUNTED, b"1 lines\r\nyes\r\n", changes=True)
    read = answer_of(SILENT, COUNTED, b"1 lines\r\nyes\r\n")
    assert changed.verdict is read.verdict is Verdict.OK
    assert (changed.lines, read.lines) == (("1 lines",), ("1 lines", "yes"))


def test_a_bare_value_that_looks_like_a_status_is_a_value() -> None:
    form = replace(NO, at_least=1)
    assert answer_of(SILENT, form, b"yes\r\nyes\r\n").lines == ("yes",)
    refused = answer_of(SILENT, form, b"no: never heard of it\r\n")
    assert refused.verdict is Verdict.REFUSED


def test_without_an_echo_the_answer_to_a_stop_comes_after_the_open_one() -> None:
    desk = Desk(SILENT)
    desk.turn()
    desk.ready(b"gull\r\n")
    order = Command(line="do", answer_within=Seconds(1), form=NO)
    stop = replace(order, line="halt")
    first, second = desk.order(order), desk.order(stop, Lane.STOP)
    desk.hears(in_bytes(b"a 1\r\nyes\r\nno: never\r\n"))
    answers = desk.answers()
    assert answers[first].lines == ("a 1",)
    assert answers[second].verdict is Verdict.REFUSED


def test_without_an_echo_an_answer_may_begin_behind_a_prompt_said_again() -> None:
    mute = replace(PROMPTED, echo=Echo.NONE, chatter=(template(": {text}"),))
    form = replace(NO, ends=Ending.PROMPT, needs_word=False, ok=())
    answer = answer_of(mute, form, b"\r\n: log\r\n> a 1\r\nb 2\r\n> ")
    assert [line for line in answer.lines if line] == ["a 1", "b 2"]
    assert answer.raw.endswith(b"a 1\r\nb 2\r\n")
