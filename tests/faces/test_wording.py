"""Findings, plans and errors as lines of text, for any width."""

import re
from decimal import Decimal

import pytest

from benchlink.core.difference import Difference, Finding, State
from benchlink.core.identity import Identity, Readiness
from benchlink.core.intent import Owner
from benchlink.core.plan import Change, Moves, Plan
from benchlink.core.values import Number, Switch, Text
from benchlink.errors import DeclinedError, FileError, Place, Problem
from benchlink.faces.wording import (
    ORDER,
    SHAPES,
    counts_line,
    difference_lines,
    error_lines,
    plain,
    plan_lines,
    readiness_lines,
)

REASON = "faster arms make the nose bob on the way from the hover to the cruise"
LONG = Text("a remark that is longer than most, as remarks go")


def finding(name: str, state: State, *, reason: str = "", trouble: str = "") -> Finding:
    return Finding(
        name=name,
        state=state,
        owner=Owner.BASELINE,
        now=None if state is State.MISSING else Number(Decimal(300)),
        wanted=Number(Decimal(220)),
        reason=reason,
        trouble=trouble,
    )


DIFFERENCE = Difference(
    findings=(
        finding("tilt.left.slew_deg_s", State.DIFFERS, reason=REASON),
        finding("tilt.right.slew_deg_s", State.DIFFERS),
        finding("reed.height_mm", State.MISSING, trouble="the board has none"),
        finding("board.number", State.IMPOSSIBLE, trouble="read-only"),
        finding("log.rate_hz", State.WAIVED, reason="x", trouble="a trial"),
        finding("pack.cells", State.AS_INTENDED, reason="four of them"),
        finding("craft.call", State.LEFT_ALONE),
    )
)

PLAN = Plan(
    identity=Identity(board_type="wader"),
    fingerprint="",
    changes=(
        Change(
            name="tilt.left.centre_us",
            old=Number(Decimal(1500)),
            new=Number(Decimal(1487)),
            reason=REASON,
            moves=Moves.SERVO,
        ),
        Change(name="craft.remark", old=LONG, new=Text("short"), one_way="holds ';'"),
        Change(name="steady.on", old=Switch(on=False), new=Switch(on=True)),
    ),
)


def words_of(lines: list[str]) -> list[str]:
    return " ".join(lines).split()


def in_order(words: str, lines: list[str]) -> bool:
    """Whether a text stands there word for word, however it was wrapped."""
    return words in " ".join(words_of(lines))


@pytest.mark.parametrize("width", [20, 40, 80, 120])
def test_no_word_of_a_difference_is_cut(width: int) -> None:
    lines = difference_lines(DIFFERENCE, width, every=True)
    said = words_of(lines)
    assert all(f.name in said for f in DIFFERENCE.findings)
    assert in_order(REASON, lines)
    assert in_order("300 -> 220 the board has none", lines) is False
    assert in_order("nothing -> 220 the board has none", lines)
    assert in_order("300 -> 220 a trial", lines)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_word_of_a_plan_is_cut(width: int) -> None:
    lines = plan_lines(PLAN, width)
    assert lines[0] == "Plan for wader: 3 values"
    assert in_order(f"1500 -> 1487 MAY MOVE A SERVO. {REASON}", lines)
    assert in_order(f"{LONG} -> ", lines)
    assert in_order("CANNOT BE PUT BACK: the old value holds ';'.", lines)
    assert in_order("steady.on off -> on", lines)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_reasons_stay_inside_the_width(width: int) -> None:
    lines = difference_lines(DIFFERENCE, width, every=True)
    wide = [line for line in lines[:-1] if len(line) > width]
    assert wide == [] or all(" -> " in line for line in wide)


def test_a_reason_stands_beside_its_setting_where_there_is_room() -> None:
    (_, first, second, *_) = difference_lines(DIFFERENCE, 80)
    assert re.fullmatch(r"  tilt\.left\.slew_deg_s   +300 -> 220 +\S.*", first)
    assert second.startswith(" " * 30)


def test_a_reason_stands_below_its_setting_where_there_is_none() -> None:
    (_, first, second, *_) = difference_lines(DIFFERENCE, 40)
    assert first.endswith("300 -> 220")
    assert re.fullmatch(r" {6}faster arms.*", second)


def test_states_with_nothing_to_look_at_are_only_counted() -> None:
    lines = difference_lines(DIFFERENCE, 80)
    assert not in_order("pack.cells", lines)
    assert not in_order("craft.call", lines)
    assert lines[-1] == (
        "2 differ, 1 missing, 1 impossible, 1 waived, 1 as intended, 1 left alone"
    )


def test_every_state_has_its_place_and_a_shape_of_its_own() -> None:
    assert set(ORDER) == set(SHAPES) == set(State)
    assert len(set(SHAPES.values())) == len(State)


def test_counts_always_tell_what_differs_and_what_does_not() -> None:
    assert counts_line(Difference(findings=())) == "0 differ, 0 as intended"
    one = Difference(findings=(finding("pack.cells", State.DIFFERS),))
    assert counts_line(one) == "1 differs, 0 as intended"


def test_an_empty_plan_is_good_news() -> None:
    empty = Plan(identity=Identity(), fingerprint="", changes=())
    assert plan_lines(empty, 80) == [
        "Nothing to do: the board holds all of it now. Whether it would after a restart, only a restart shows."
    ]


@pytest.mark.parametrize(
    ("readiness", "told"),
    [
        (None, ["outputs   this console cannot say: treat them as LIVE"]),
        (Readiness(armed=True), ["outputs   LIVE: props off, pack out"]),
        (
            Readiness(armed=False, reasons=("no radio link",)),
            ["outputs   at rest", "          held back: no radio link"],
        ),
    ],
)
def test_readiness_never_sounds_safer_than_it_is(
    readiness: Readiness | None, told: list[str]
) -> None:
    assert readiness_lines(readiness) == told


def test_an_error_is_told_with_its_cases_and_its_hint() -> None:
    problem = Problem(Place("marsh.yaml", 3, 7), "no such key")
    error = FileError("it has 1 mistake", hint="Mend it.", problems=(problem,))
    assert error_lines(error) == [
        "benchlink: it has 1 mistake",
        "  marsh.yaml:3:7: no such key",
        "Mend it.",
    ]
    assert error_lines(DeclinedError("no")) == ["benchlink: no"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("reeds", "reeds"),
        ("Schilf\u00fcr", "Schilf\u00fcr"),
        ("a\x1b[2Jb", r"a\x1b[2Jb"),
        ("a\u202eb\x9bc", r"a\u202eb\x9bc"),
        ("a\nb", r"a\x0ab"),
        ("a\udcffb", r"a\xffb"),
    ],
)
def test_what_a_terminal_would_obey_is_spelled_out(text: str, told: str) -> None:
    assert plain(text) == told
