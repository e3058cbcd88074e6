"""Echoes as boards draw them, and prompts that hold a number or a mode."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.description import Echo, Manner
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.core.exchange import Answer, AnswerForm, Ending, Verdict
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

PROMPT = b"\r\x1b[K\x1b[32mview$ \x1b[0m"
MODED = replace(MANNER, prompt=template("{key}$ "))
COUNTED = replace(MANNER, prompt=template("[{count}]> "))
FOLDED = replace(MANNER, echo=Echo.FOLDED)
LONG = "let a.long.name be 5"


def redrawn(line: str) -> bytes:
    """The whole line drawn anew after every key."""
    steps = [line[:n].encode() for n in range(1, len(line) + 1)]
    return b"".join(PROMPT + step for step in steps)


def backspaced(line: str) -> bytes:
    """As many backspaces as were typed, and the text so far."""
    steps = (b"\b" * n + line[: n + 1].encode() for n in range(len(line)))
    return b"".join(steps)


def folded(line: str, width: int, prompt: int = 2) -> bytes:
    """Broken where the screen ends, the prompt counted."""
    whole = " " * prompt + line
    pieces = [whole[n : n + width] for n in range(0, len(whole), width)]
    return "\r\n".join(pieces)[prompt:].encode()


DRAWINGS = {
    "redrawn": (MODED, b"\r\n" + PROMPT, redrawn(LONG), PROMPT),
    "backspaced": (MANNER, b"\r\n@ ", backspaced(LONG), b"@ "),
    "folded": (FOLDED, b"\r\n@ ", folded(LONG, 8), b"@ "),
    "folded at its end": (FOLDED, b"\r\n@ ", folded(LONG, 11), b"@ "),
    "not folded after all": (FOLDED, b"\r\n@ ", LONG.encode(), b"@ "),
    "counted": (COUNTED, b"\r\n[17]> ", LONG.encode(), b"[18]> "),
    "coloured": (MANNER, b"\r\n\x1b[1m@ \x1b[0m", LONG.encode(), b"\x1b[1m@ \x1b[0m"),
}
EACH = pytest.mark.parametrize("name", DRAWINGS)


def answered(name: str, cut: tuple[int, ...] | None, lost: int = -1) -> Answer:
    manner, shown, echo, prompt = DRAWINGS[name]
    said = echo + b"\r\na 1\r\ndone\r\n" + prompt
    if lost >= 0:
        said = said[:lost] + said[lost + 1 :]
    desk = Desk(manner).ready(shown)
    ticket = desk.submit(LONG)
    desk.hears(in_bytes(said) if cut is None else cut_up(said, *cut))
    desk.passes(2)
    return desk.answers()[ticket]


@EACH
def test_an_echo_is_known_however_it_is_drawn(name: str) -> None:
    for answer in (answered(name, ()), answered(name, None)):
        assert answer.verdict is Verdict.OK, answer.remark
        assert answer.lines == ("a 1",)


@EACH
@FEW
@given(st.lists(st.integers(0, 900), max_size=5))
def test_a_drawn_echo_may_be_cut_anywhere(name: str, cuts: list[int]) -> None:
    answer = answered(name, tuple(cuts))
    assert answer.verdict is Verdict.OK, answer.remark
    assert answer.lines == ("a 1",)


@EACH
def test_a_lost_byte_of_a_drawn_echo_never_gives_a_wrong_answer(name: str) -> None:
    manner, _, echo, _ = DRAWINGS[name]
    for lost in range(len(echo) + 2):
        answer = answered(name, (), lost)
        assert not answer.trusted or answer.lines == ("a 1",), (lost, manner.echo)


@EACH
def test_a_prompt_behind_which_nothing_comes_is_ready_for_the_next(name: str) -> None:
    manner, shown, echo, prompt = DRAWINGS[name]
    desk = Desk(manner).ready(shown)
    first, second = desk.submit(LONG), desk.submit(LONG)
    for ticket in (first, second):
        desk.says(echo + b"\r\ndone\r\n" + prompt)
        assert desk.answers()[ticket].trusted
    assert desk.stands(Phase.READY)


LISTED = b"\r\na 1\r\nb 2\r\n"
BY_PROMPT = replace(FORM, ends=Ending.PROMPT, needs_word=False)


@pytest.mark.parametrize("way", [lambda data: [data], in_bytes])
@pytest.mark.parametrize("lost", range(len(LISTED)))
def test_a_line_whose_end_was_lost_under_a_redrawn_prompt_is_noticed(
    way: object, lost: int
) -> None:
    assert callable(way)
    desk = Desk(MODED).ready(b"\r\n" + PROMPT)
    ticket = desk.order(command("show", BY_PROMPT))
    desk.hears(way(redrawn("show") + LISTED[:lost] + LISTED[lost + 1 :] + PROMPT))
    desk.passes(2)
    answer = desk.answers()[ticket]
    whole = answer.lines == ("a 1", "b 2")
    inside = LISTED[lost : lost + 1] not in b"\r\n"
    assert not answer.trusted or whole or inside


def test_a_prompt_that_is_repainted_for_hours_spoils_no_answer() -> None:
    desk = Desk(MODED).ready(b"\r\n" + PROMPT)
    desk.hears([PROMPT] * 20)
    ticket = desk.order(command("show", BY_PROMPT))
    desk.says(redrawn("show") + LISTED + PROMPT)
    desk.hears([PROMPT] * 20)
    assert desk.answers()[ticket].verdict is Verdict.OK


# Without an echo


@pytest.mark.parametrize("first", [b"", b"\r\n"])
@pytest.mark.parametrize("way", [lambda data: [data], in_bytes])
def test_without_an_echo_an_answer_may_begin_behind_the_old_prompt(
    first: bytes, way: object
) -> None:
    assert callable(way)
    desk = Desk(replace(MANNER, echo=Echo.NONE)).ready()
    for n in range(3):
        ticket = desk.submit("show")
        desk.hears(way(first + b"a 1\r\ndone\r\n@ "))
        answer = desk.answers()[ticket]
        assert answer.verdict is Verdict.OK, n
        assert [line for line in answer.lines if line] == ["a 1"]


def test_a_folded_echo_of_something_else_is_damage() -> None:
    desk = Desk(FOLDED).ready()
    ticket = desk.submit(LONG)
    desk.says(folded("let a.lang.name be 5", 8) + b"\r\ndone\r\n@ ")
    desk.passes(2)
    assert not desk.answers()[ticket].trusted


@pytest.mark.parametrize("manner", [replace(MANNER, echo=Echo.NONE), FOLDED])
def test_where_the_order_alone_tells_one_command_is_in_flight(manner: Manner) -> None:
    desk = Desk(manner).ready()
    for n in range(4):
        desk.submit(f"a{n}")
        echo = b"" if manner.echo is Echo.NONE else b"a%d\r\n" % n
        assert len(desk.sent) == n + 1
        desk.says(echo + b"done\r\n@ ")


def test_without_an_echo_a_prompt_ends_the_answer_once_it_stands_still() -> None:
    manner = replace(MANNER, echo=Echo.NONE)
    form = replace(FORM, ends=Ending.PROMPT, needs_word=False)
    desk = Desk(manner).ready()
    ticket = desk.order(command("show", form))
    desk.passes(0.1)
    assert desk.answers() == {}
    desk.says(b"a 1\r\nb 2\r\n@ ")
    assert desk.answers() == {}
    desk.passes(0.03)
    assert desk.answers()[ticket].lines == ("a 1", "b 2")
    assert desk.answers()[ticket].trusted


# Prompts


@pytest.mark.parametrize("prompt", [b"view$ ", b"edit$ ", b"a-b$ "])
def test_a_mode_in_the_prompt_may_change(prompt: bytes) -> None:
    desk = Desk(MODED).ready(b"\r\nview$ ")
    first, second = desk.submit("edit"), desk.submit("show")
    desk.says(b"edit\r\ndone\r\n" + prompt)
    desk.says(b"show\r\ndone\r\n" + prompt)
    assert desk.answers()[first].trusted
    assert desk.answers()[second].trusted


def test_a_value_that_looks_like_a_prompt_ends_nothing() -> None:
    desk = Desk(COUNTED).ready(b"\r\n[17]> ")
    ticket = desk.submit("show")
    desk.hears(in_bytes(b"show\r\na: [18]> \r\n b [19]> c\r\ndone\r\n[18]> "))
    assert desk.answers()[ticket].lines == ("a: [18]> ", " b [19]> c")


@pytest.mark.parametrize("width", range(3, 30))
def test_an_echo_may_be_folded_at_any_width(width: int) -> None:
    desk = Desk(FOLDED).ready()
    ticket = desk.submit(LONG)
    desk.says(folded(LONG, width) + b"\r\na 1\r\ndone\r\n@ ")
    answer = desk.answers()[ticket]
    assert answer.trusted
    assert answer.lines == ("a 1",)


def test_a_key_is_not_answered_by_the_prompt_at_which_it_was_pressed() -> None:
    desk = Desk().ready()
    form = AnswerForm(ends=Ending.PROMPT, needs_word=False)
    ticket = desk.order(pressed("y", form))
    desk.passes(0.5)
    assert ticket not in desk.answers()
