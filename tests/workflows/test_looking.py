"""One look at the aircraft over a wire that harms what the board says."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import cycle

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.readings import Look, Quantity
from benchlink.workflows.readings import TRIES, look
from benchlink.workflows.session import meet
from mocks.options import Options
from tests.support.virtual_bench import FEW, wader, words_sent
from tests.support.virtual_board import VirtualBoard

POWERED = replace(FEW, pack_in=True)


class Harm:
    """Changes answers in their order, each by the next of its ways."""

    def __init__(self, *ways: Callable[[bytes], bytes], word: bytes) -> None:
        self.ways: Iterator[Callable[[bytes], bytes]] = iter(ways)
        self.word = word

    def __call__(self, data: bytes) -> bytes:
        if self.word not in data:
            return data
        return next(self.ways, bytes)(data)


def says(pattern: bytes, instead: bytes) -> Callable[[bytes], bytes]:
    return lambda data: re.sub(pattern, instead, data)


def looked(harm: Callable[[bytes], bytes] = bytes, options: Options = POWERED) -> Look:
    board = VirtualBoard(wader(), options, damage=harm)
    return look(meet(board, Grammar(wader())))


def value(seen: Look, quantity: Quantity) -> float:
    (reading,) = [r for r in seen.readings if r.quantity is quantity]
    assert reading.between is None
    return reading.value


def test_two_answers_to_each_question_are_enough() -> None:
    board = VirtualBoard(wader(), FEW)
    seen = look(meet(board, Grammar(wader())))
    assert seen.not_believed == ()
    assert seen.untold == ()
    assert words_sent(board, "feel", "hear") == ["feel", "feel", "hear", "hear"]
    assert not words_sent(board, "swing", "slack", "whirl", "let", "keep")


@pytest.mark.parametrize("turn", [0, 1])
def test_a_digit_that_flips_once_is_not_believed(turn: int) -> None:
    ways: list[Callable[[bytes], bytes]] = [bytes, bytes]
    ways[turn] = says(rb"pack_v {2,}15", b"pack_v        75")
    seen = looked(Harm(*ways, word=b"pack_v"))
    assert value(seen, Quantity.PACK_VOLTS) == pytest.approx(15.9)


def test_a_line_that_is_damaged_is_asked_for_again() -> None:
    harm = Harm(says(rb"roll_deg ", b"roll\x00deg "), word=b"roll_deg ")
    assert value(looked(harm), Quantity.ROLL) == pytest.approx(1.2)


def test_a_line_that_goes_lost_is_asked_for_again() -> None:
    harm = Harm(says(rb"rail_v[^\r]*\r\n", b""), word=b"rail_v")
    assert value(looked(harm), Quantity.RAIL_VOLTS) == pytest.approx(5.02)


def test_what_cannot_be_is_asked_for_again() -> None:
    harm = Harm(says(rb"pitch_deg {2,}-0", b"pitch_deg     900"), word=b"pitch_deg ")
    assert value(looked(harm), Quantity.PITCH) == pytest.approx(-0.6)


def test_an_answer_that_is_never_whole_is_told_by_name_and_the_rest_stands() -> None:
    ways = cycle([says(rb"inside_c {2,}", b"inside_c what ")])
    harm = Harm(*(next(ways) for _ in range(2 * TRIES)), word=b"inside_c")
    seen = looked(harm)
    (doubt,) = seen.not_believed
    assert doubt.asked == "feel"
    assert Quantity.TEMPERATURE in doubt.quantities
    assert Quantity.ROLL in doubt.quantities
    assert "inside_c" in doubt.why or "no number" in doubt.why
    known = {reading.quantity for reading in seen.readings}
    assert known == {Quantity.CHANNEL, Quantity.OUTPUT, Quantity.UPTIME}


def test_what_moves_while_it_is_read_is_not_steady() -> None:
    leans = [
        says(rb"roll_deg {2,}1.20", f"roll_deg  {n}".encode()) for n in (5, 25, 45, 65)
    ]
    seen = looked(Harm(*leans, word=b"roll_deg "))
    (roll,) = [r for r in seen.readings if r.quantity is Quantity.ROLL]
    assert roll.between == (5.0, 65.0)
    assert value(seen, Quantity.PITCH) == pytest.approx(-0.6)


def test_a_channel_that_came_but_once_is_not_believed() -> None:
    gone = says(rb"ch8 +1500\r\n", b"")
    seen = looked(Harm(bytes, gone, gone, gone, word=b"ch8 "))
    channels = [r.number for r in seen.readings if r.quantity is Quantity.CHANNEL]
    assert channels == [1, 2, 3, 4, 5, 6, 7]
    (doubt,) = seen.not_believed
    assert doubt.quantities == (Quantity.CHANNEL,)
    assert doubt.why == "only one answer told channel 8"


def test_a_board_that_refuses_the_question_is_not_asked_again() -> None:
    harm = Harm(
        *[says(rb"left_rev[^@]*@", b"sorry: not now\r\n@")] * 9, word=b"left_rev"
    )
    board = VirtualBoard(wader(), FEW, damage=harm)
    seen = look(meet(board, Grammar(wader())))
    assert words_sent(board, "feel") == ["feel"]
    (doubt,) = seen.not_believed
    assert "refused" in doubt.why
    assert "not now" in doubt.why
