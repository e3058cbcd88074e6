"""Values out of the answers of a console, in our units, numbers and signs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.grammar import Grammar
from benchlink.console.readings import measured, question, told_by
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.readings import Quantity
from benchlink.errors import BenchError, BoardError, UnansweredError
from tests.console.talking import MANY, command, console, replied


def values(
    readings: str, *lines: str, verdict: Verdict = Verdict.OK
) -> dict[tuple[str, int], float]:
    """What one answer tells by a description's one question."""
    described = console(readings=f"[{{line: feel, {readings}}}]")
    answer = Answer(command=command("feel"), verdict=verdict, lines=lines)
    (asking,) = described.readings
    told = measured(Grammar(described), asking, replied(answer))
    return {(one.quantity.value, one.number): one.value for one in told}


SIDES = (
    'gives: ["lean {r} right", "lean {l} left", "no lean"],'
    " fields: {r: {is: roll, unit: deg}, l: {is: roll, unit: deg, reversed: yes}}"
)
VOLTS = (
    'gives: ["pack {pack_volts} rail {r}"], unmeasured: ["--", none],'
    " fields: {pack_volts: {unit: mV}, r: {is: rail-volts, unit: V, scale: 0.1}}"
)
INDEXED = (
    'gives: ["c{n}={us}"],'
    " fields: {us: {is: channel, unit: us, scale: 0.5, index: n, counts-from: 0}}"
)
LISTED = 'gives: ["sticks {s} end"], fields: {s: {is: channel, unit: us, split: ","}}'
IN_ORDER = 'gives: ["rc {c}", "{c}"], split: ";", fields: {c: {is: channel, unit: us}}'
FIXED = (
    'gives: ["{l} {r}"], fields: {l: {is: motor-speed, unit: rev/s, number: 1},'
    " r: {is: motor-speed, unit: rev/s, number: 2}}"
)


@pytest.mark.parametrize(
    ("readings", "lines", "told"),
    [
        (SIDES, ("lean 1.5 right",), {("roll", 0): 1.5}),
        (SIDES, ("lean 1.5 left",), {("roll", 0): -1.5}),
        (SIDES, ("no lean",), {}),
        (
            VOLTS,
            ("pack 15900 rail 50.2",),
            {("pack-volts", 0): 15.9, ("rail-volts", 0): 5.02},
        ),
        (VOLTS, ("pack -- rail none",), {}),
        (VOLTS, ("pack -- rail 5.0E1",), {("rail-volts", 0): 5.0}),
        (
            INDEXED,
            ("c0=3000", "c2=2000"),
            {("channel", 1): 1500, ("channel", 3): 1000},
        ),
        (
            LISTED,
            ("sticks 1500, 1000,2000 end",),
            {("channel", 1): 1500, ("channel", 2): 1000, ("channel", 3): 2000},
        ),
        (IN_ORDER, ("rc 1500;1000",), {("channel", 1): 1500, ("channel", 2): 1000}),
        (FIXED, ("10 20",), {("motor-speed", 1): 600, ("motor-speed", 2): 1200}),
    ],
)
def test_an_answer_is_read(
    readings: str, lines: tuple[str, ...], told: dict[tuple[str, int], float]
) -> None:
    assert values(readings, *lines) == pytest.approx(told)


@pytest.mark.parametrize(
    ("readings", "lines", "why"),
    [
        (SIDES, ("lean 1x5 right",), "'1x5' is no number for roll"),
        (SIDES, ("lean nan right",), "no number"),
        (SIDES, ("lean 1_0 right",), "no number"),
        (SIDES, ("lean \u0661 right",), "no number"),
        (SIDES, ("lean 999 right",), "cannot be the roll: that would be 999 deg"),
        (SIDES, ("lean 1 up",), "holds a line that its description does not know"),
        (SIDES, ("lean 1 right", "lean 1 left"), "tells the roll twice"),
        (VOLTS, ("pack -5 rail 50",), "cannot be the pack-volts"),
        (INDEXED, ("cx=3000",), "'x' does not tell which channel"),
        (INDEXED, ("c1=3000", "c1=3000"), "tells the channel 2 twice"),
        (LISTED, ("sticks 1500,,x end",), "'x' is no number"),
    ],
)
def test_what_cannot_be_is_not_believed(
    readings: str, lines: tuple[str, ...], why: str
) -> None:
    with pytest.raises(BoardError) as caught:
        values(readings, *lines)
    assert why in str(caught.value)


def test_an_index_below_the_first_is_none() -> None:
    from_one = INDEXED.replace("counts-from: 0", "counts-from: 1")
    with pytest.raises(BoardError, match="does not tell which"):
        values(from_one, "c0=3000")


def test_a_damaged_answer_is_never_read() -> None:
    with pytest.raises(UnansweredError):
        values(SIDES, "lean 1.5 right", verdict=Verdict.DAMAGED)


@MANY
@given(st.text(max_size=60))
def test_no_line_is_more_than_a_value_or_a_refusal(line: str) -> None:
    for readings in (SIDES, VOLTS, INDEXED, LISTED, IN_ORDER, FIXED):
        try:
            told = values(readings, line)
        except BenchError:
            continue
        assert all(abs(value) < 1e6 for value in told.values())


def test_a_question_is_a_line_that_changes_nothing() -> None:
    described = console(readings=f"[{{line: feel, {VOLTS}}}]")
    (asking,) = described.readings
    (said,) = question(Grammar(described), asking).commands
    assert (said.line, said.changes, said.restarts) == ("feel", False, False)
    assert told_by(asking) == (Quantity.PACK_VOLTS, Quantity.RAIL_VOLTS)
