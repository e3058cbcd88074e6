"""What is refused before anything is written, with the line that asks for it."""

import pytest

from benchlink.core.plan import Moves
from benchlink.errors import FileError, MismatchError
from benchlink.workflows.planning import prepare
from mocks.options import Options
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import (
    meet_wader,
    virtual_board,
    wanting,
    words_sent,
)

WRITING = ("let", "keep", "forget", "restart", "start")


def test_an_unknown_setting_is_refused_with_its_line() -> None:
    board = virtual_board()
    with pytest.raises(MismatchError, match="one setting cannot") as caught:
        prepare(meet_wader(board), ScriptedPerson(), wanting({"reed.height_mm": "12"}))
    (detail,) = caught.value.details
    assert detail == "marsh.yaml:1:1: reed.height_mm: the board has no such setting"
    assert not words_sent(board, *WRITING)


def test_all_hopeless_settings_are_named_at_once() -> None:
    board = virtual_board()
    intent = wanting(
        {"board.firmware": '"2.0.0"', "pack.cells": "four", "steady.on": "yes"}
    )
    with pytest.raises(MismatchError, match="3 settings cannot") as caught:
        prepare(meet_wader(board), ScriptedPerson(), intent)
    assert caught.value.details == (
        "marsh.yaml:1:1: board.firmware: read-only",
        "marsh.yaml:2:1: pack.cells: must be a number, not 'four'",
        "marsh.yaml:3:1: steady.on: must be on or off, not 'yes'",
    )
    assert "Nothing was written" in caught.value.hint


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (r'"rising\r\nkeep"', "U+000D"),
        (r'"low; start over"', "';'"),
        (r'"bell\a"', "U+0007"),
        ('"m\u0430rsh"', "U+0430"),
        (f'"{"r" * 130}"', "longer than the 120"),
    ],
)
def test_an_unsafe_text_is_refused_with_its_line(text: str, why: str) -> None:
    board = virtual_board()
    intent = wanting({"pack.cells": "3", "craft.call": text})
    with pytest.raises(FileError, match="cannot be sent to this console") as caught:
        prepare(meet_wader(board), ScriptedPerson(), intent)
    (detail,) = caught.value.details
    assert detail.startswith("marsh.yaml:2:1: craft.call: ")
    assert why in detail
    assert not words_sent(board, *WRITING)


@pytest.mark.parametrize("word", ["cut;keep", "cut keep", "h\u043eld", '"cut"'])
def test_an_unsafe_word_is_refused(word: str) -> None:
    board = virtual_board()
    quoted = "'" + word + "'"
    with pytest.raises(FileError):
        prepare(
            meet_wader(board),
            ScriptedPerson(),
            wanting({"radio.failsafe.action": quoted}),
        )
    assert not words_sent(board, *WRITING)


def test_a_quote_inside_text_is_disarmed_and_never_ends_it() -> None:
    board = virtual_board()
    intent = wanting({"craft.call": r"""'reed "runner" \'"""})
    prepared = prepare(meet_wader(board), ScriptedPerson(), intent)
    (change,) = prepared.plan.changes
    line = (
        prepared.session.grammar.write(
            prepared.snapshot.settings[change.name], change.new
        )
        .commands[0]
        .line
    )
    assert line == r'let craft.call be "reed \"runner\" \\"'


def test_a_plan_says_what_may_move_and_what_cannot_be_put_back() -> None:
    board = virtual_board(Options(settings=200))
    intent = wanting(
        {
            "pack.cells": "3",
            "tilt.left.centre_us": "1490",
            "motor.right.idle_pct": "6",
            "craft.remark": '"long arms"',
        }
    )
    plan = prepare(meet_wader(board), ScriptedPerson(), intent).plan
    assert [c.moves for c in plan.changes] == [
        Moves.NOTHING,
        Moves.SERVO,
        Moves.MOTOR,
        Moves.NOTHING,
    ]
    assert [c.name for c in plan.one_way] == ["craft.remark"]
    assert "';'" in plan.one_way[0].one_way
