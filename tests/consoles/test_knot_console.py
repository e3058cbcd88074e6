"""The knot console: no prompt, no echo, `ok` to everything, and lines at any time."""

from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane
from benchlink.errors import FileError, MismatchError, RefusedError
from benchlink.workflows.read import read_settled
from tests.consoles.consoles import (
    KNOT,
    board_of,
    carry_out,
    described,
    kept,
    meet_board,
    shown,
)
from tests.support.people import ScriptedPerson


def test_a_value_that_is_heard_but_not_taken_is_found_by_reading_back() -> None:
    board = board_of(KNOT)
    before = shown(KNOT, board)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(KNOT, board), {"tilt-L dir": "upwards"})
    (detail,) = caught.value.details
    assert "asked for upwards, the board holds normal" in detail
    assert detail.endswith("it said that all was well")
    assert shown(KNOT, board) == before


@pytest.mark.parametrize("value", ["0", "0.0", "00"])
def test_the_write_that_hangs_the_board_is_never_sent(value: str) -> None:
    board = board_of(KNOT, replace(KNOT.options, settings=612))
    with pytest.raises(FileError) as caught:
        carry_out(meet_board(KNOT, board), {"log-rate hz": value})
    assert "must never be written" in str(caught.value.problems[0])
    assert not any(data.startswith(b"log-rate") for data in board.written)


def test_another_log_rate_is_written() -> None:
    board = board_of(KNOT, replace(KNOT.options, settings=612))
    carry_out(meet_board(KNOT, board), {"log-rate hz": "50"})
    assert kept(KNOT, board)["log-rate hz"] == "50"


def test_a_keep_that_failed_before_its_ok_puts_everything_back() -> None:
    board = board_of(KNOT, replace(KNOT.options, weak_store=True))
    before = shown(KNOT, board)
    with pytest.raises(RefusedError, match="refused to keep: store weak"):
        carry_out(meet_board(KNOT, board), {"pack capacity": "1800"})
    assert shown(KNOT, board) == before
    assert board.epoch == 2, "only a restart shows what a board holds that refused"


def test_a_board_that_prints_slowly_is_read_whole() -> None:
    board = board_of(KNOT, replace(KNOT.options, slow=True))
    snapshot = read_settled(meet_board(KNOT, board), ScriptedPerson())
    raw = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    assert raw == shown(KNOT, board)


def test_names_tell_what_is_read_only_and_what_is_the_boards_own() -> None:
    session = meet_board(KNOT, board_of(KNOT))
    settings = read_settled(session, ScriptedPerson()).settings
    assert not settings["board layout"].writable
    assert settings["accel offset-x"].board_owned
    assert settings["pack cells"].writable


def test_a_stop_right_behind_another_line_is_not_lost() -> None:
    board = board_of(KNOT)
    board.device.aircraft.outputs_live = True
    grammar = Grammar(described(KNOT.kind))
    board.conversation.submit(Lane.BULK, grammar.single("blink"))
    ticket = board.conversation.submit(Lane.STOP, grammar.single("stop"))
    board.until(lambda: any(getattr(e, "ticket", 0) == ticket for e in board.heard))
    assert not board.device.aircraft.outputs_live
