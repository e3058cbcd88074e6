"""A prompt behind the last words of an answer, in the same line."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.charset import Charset
from benchlink.console.description import Echo
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.console.terminal import Terminal
from benchlink.console.unfinished import SETTLE
from benchlink.core.exchange import AnswerForm, Ending, Verdict
from tests.console.talking import (
    FEW,
    MANNER,
    Desk,
    command,
    cut_up,
    in_bytes,
    mistakes_of,
)

TOLD = AnswerForm(ends=Ending.PROMPT, needs_word=False)
SHARED = replace(
    MANNER,
    prompt=template("[{tide} m] "),
    prompt_after_text=True,
    answer=TOLD,
    chatter=(template(".{dots}"), template("boat {name}")),
)
PROMPT = b"[ebb 3.42 m] "
TYPED = b"\r" + PROMPT + b"gear\x1b[K\r\n"


def asked(echo: Echo = Echo.PLAIN) -> tuple[Desk, int]:
    desk = Desk(replace(SHARED, echo=echo)).ready(b"\r\n" + PROMPT)
    return desk, desk.order(command("gear", TOLD))


@pytest.mark.parametrize("way", [lambda data: [data], in_bytes])
@pytest.mark.parametrize("echo", [Echo.PLAIN, Echo.NONE])
def test_the_text_before_the_prompt_is_the_last_line(way: object, echo: Echo) -> None:
    assert callable(way)
    desk, ticket = asked(echo)
    desk.hears(
        way((TYPED if echo is Echo.PLAIN else b"") + b"two [x\r\ngear 5 " + PROMPT)
    )
    desk.passes(SETTLE * 2)
    answer = desk.answers()[ticket]
    assert (answer.verdict, answer.lines) == (Verdict.OK, ("two [x", "gear 5"))
    assert answer.raw == b"two [x\r\ngear 5\r\n"
    assert desk.stands(Phase.READY)


def test_where_the_prompt_has_a_line_of_its_own_that_line_is_no_prompt() -> None:
    desk, ticket = asked()
    desk.says(TYPED + b"gear 5 " + PROMPT)
    desk.passes(SETTLE / 2)
    assert ticket not in desk.answers()
    plain = Desk(replace(SHARED, prompt_after_text=False)).ready(b"\r\n" + PROMPT)
    ticket = plain.order(command("gear", TOLD))
    plain.says(TYPED + b"gear 5 " + PROMPT)
    plain.passes(1.1)
    answer = plain.answers()[ticket]
    seen = f"gear 5 {PROMPT.decode()}"
    assert answer.remark == f"no prompt seen; heard `{seen}` (`prompt-after-text:`?)"
    plain.says(b"\r\n" + PROMPT)
    plain.passes(0.1)
    ticket = plain.order(command("gear", TOLD))
    plain.says(TYPED + b"gear 5 " + PROMPT + b"\r\x1b[K" + PROMPT)
    plain.passes(0.1)
    remark = plain.answers()[ticket].remark
    assert remark == f"the prompt stood behind words: {seen!r} (`prompt-after-text:`?)"


def test_a_text_that_goes_on_behind_words_like_the_prompt_is_one_line() -> None:
    desk, ticket = asked()
    desk.says(TYPED + b"deep [at 3 m] ")
    desk.passes(SETTLE / 2)
    desk.says(b"of mud\r\n" + PROMPT)
    desk.passes(SETTLE * 2)
    assert desk.answers()[ticket].lines == ("deep [at 3 m] of mud",)


@FEW
@given(st.lists(st.integers(0, 80), max_size=4))
def test_a_prompt_that_is_drawn_anew_takes_no_words_with_it(cuts: list[int]) -> None:
    desk, ticket = asked()
    moved = b"\r\x1b[K[flood 3.43 m] "
    desk.hears(cut_up(TYPED + b"gear 5 " + PROMPT + moved + moved, *cuts))
    desk.passes(SETTLE * 2)
    assert desk.answers()[ticket].lines == ("gear 5",)
    assert desk.answers()[ticket].trusted
    again = desk.order(command("gear", TOLD))
    desk.says(TYPED + b"gear 6 " + PROMPT)
    desk.passes(SETTLE * 2)
    assert desk.answers()[again].lines == ("gear 6",)


def test_nor_does_chatter_that_is_drawn_over_it() -> None:
    desk, ticket = asked()
    desk.says(TYPED + b"gear 5 " + PROMPT + b"\r\x1b[Kboat east\r\n\r\x1b[K" + PROMPT)
    desk.passes(SETTLE * 2)
    assert desk.answers()[ticket].lines == ("gear 5",)


def test_dots_before_the_prompt_are_chatter() -> None:
    desk, ticket = asked()
    desk.says(TYPED + b"...")
    desk.says(b". " + PROMPT)
    desk.passes(SETTLE * 2)
    assert desk.answers()[ticket].lines == ()
    assert desk.answers()[ticket].verdict is Verdict.OK


def test_one_command_at_a_time_for_the_next_echo_would_cover_the_words() -> None:
    desk, _ = asked()
    desk.says(TYPED + b"gear 5 " + PROMPT)
    desk.passes(SETTLE * 2)
    desk.forgets().order(command("gear", TOLD))
    desk.order(command("gear", TOLD))
    assert desk.lines_sent() == ["gear"]


def test_words_before_the_first_prompt_are_nobodys_answer() -> None:
    desk = Desk(SHARED)
    desk.says(b"mill 5 is up " + PROMPT)
    desk.passes(SETTLE * 2)
    assert desk.stands(Phase.READY)
    ticket = desk.order(command("gear", TOLD))
    desk.says(b"gear\r\ngear 5 " + PROMPT)
    desk.passes(SETTLE * 2)
    assert desk.answers()[ticket].lines == ("gear 5",)


def test_a_line_is_ended_before_what_it_ends_with() -> None:
    terminal = Terminal(charset=Charset.LATIN_1)
    terminal.feed(b"r\xe9d  \xa7 ")
    line = terminal.end_before("\xa7 ")
    assert (line.text, line.raw) == ("r\xe9d ", b"r\xe9d \r\n")
    assert (terminal.partial, terminal.partial_raw) == ("\xa7 ", b"\xa7 ")


def test_nor_does_a_byte_that_is_no_text_hide_where_that_begins() -> None:
    terminal = Terminal()
    terminal.feed(b"reed \xff> ")
    line = terminal.end_before(terminal.partial.removeprefix("reed "))
    assert (line.text, line.raw) == ("reed", b"reed\r\n")
    assert terminal.partial_raw == b"\xff> "


@pytest.mark.parametrize(
    ("line", "begins"),
    [("[a m] ", 0), ("x [a] [b m] ", 6), ("x [a m] y", None), ("[[a m] ", 1)],
)
def test_a_template_may_be_looked_for_at_the_end(line: str, begins: int | None) -> None:
    assert template("[{tide} m] ").begins_at(line) == begins


def test_a_shared_prompt_begins_with_text_of_its_own() -> None:
    wrong = '{prompt: "{n}> ", prompt-after-text: yes, ok: [fine]}'
    assert "begins with text of its own" in mistakes_of(answer=wrong)
