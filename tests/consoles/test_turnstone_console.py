"""The turnstone console: a countdown, a pager, questions, columns and pads."""

import pytest

from benchlink.core.settings import Snapshot
from benchlink.core.values import Text, Unset, Word
from benchlink.errors import FileError, MismatchError
from benchlink.workflows.read import read_settled
from tests.consoles.consoles import (
    TURNSTONE,
    board_of,
    carry_out,
    kept,
    meet_board,
    shown,
)
from tests.support.people import ScriptedPerson
from tests.support.virtual_board import VirtualBoard


def read(board: VirtualBoard) -> Snapshot:
    return read_settled(meet_board(TURNSTONE, board), ScriptedPerson())


def test_the_countdown_is_cut_short() -> None:
    assert 0.5 < board_of(TURNSTONE).now < 1.1


@pytest.mark.parametrize(
    "found", [b"show\n", b"store\n", b"restart\n", b"put pack cells 5"]
)
def test_a_board_left_in_the_middle_of_something_is_met(found: bytes) -> None:
    board = board_of(TURNSTONE, found=found)
    before = shown(TURNSTONE, board)
    assert before["pack cells"] == "4"
    assert board.device.boots == 1
    assert {s.name for s in read(board).settings.values()} >= set(before)


def test_the_second_name_of_a_cell_is_counted_but_not_a_setting() -> None:
    snapshot = read(board_of(TURNSTONE))
    assert "tilt left mid" not in snapshot.settings
    assert b"tilt left mid" in snapshot.verbatim
    assert snapshot.complete


def test_marks_tell_what_may_be_written_and_what_is_the_boards_own() -> None:
    settings = read(board_of(TURNSTONE)).settings
    assert not settings["board layout"].writable
    assert settings["gyro bias x"].board_owned
    assert settings["pack cells"].writable
    assert not settings["pack cells"].board_owned


def test_a_text_comes_and_goes() -> None:
    board = board_of(TURNSTONE)
    session = meet_board(TURNSTONE, board)
    applied = carry_out(session, {"craft call": '"1500 us"'})
    assert applied.after.settings["craft call"].value == Text("1500 us")
    applied = carry_out(session, {"craft call": "unset"})
    assert applied.after.settings["craft call"].value == Unset()
    assert kept(TURNSTONE, board)["craft call"] == "-"


@pytest.mark.parametrize("text", ['"-"', '""', '" reed"', '"reed "'])
def test_a_text_that_would_arrive_as_another_is_refused(text: str) -> None:
    board = board_of(TURNSTONE)
    with pytest.raises(FileError):
        carry_out(meet_board(TURNSTONE, board), {"craft call": text})
    assert not any(data.startswith(b"put") for data in board.written)


def test_two_pads_change_their_jobs() -> None:
    board = board_of(TURNSTONE)
    jobs = {"p3": "tilt-right", "p4": "tilt-left"}
    after = carry_out(meet_board(TURNSTONE, board), jobs).after
    assert {n: after.settings[n].value for n in jobs} == {
        "p3": Word("tilt-right"),
        "p4": Word("tilt-left"),
    }


def test_taking_the_job_of_another_pad_is_a_neighbour_that_moved() -> None:
    board = board_of(TURNSTONE)
    before = shown(TURNSTONE, board)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(TURNSTONE, board), {"p4": "tilt-left"})
    assert caught.value.details == (
        "p3: nobody asked for it, yet it went from tilt-left to free",
    )
    assert shown(TURNSTONE, board) == before


def test_a_limited_value_is_not_what_was_asked_for() -> None:
    board = board_of(TURNSTONE)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(TURNSTONE, board), {"radio failsafe throttle": "9000"})
    (detail,) = caught.value.details
    assert "asked for 9000, the board holds 2200" in detail
    assert detail.endswith("it noted: limited to 2200")


def test_the_pager_is_off_again_after_the_restart() -> None:
    board = board_of(TURNSTONE)
    carry_out(meet_board(TURNSTONE, board), {"pack capacity": "1800"})
    assert board.written.count(b"pager off\n") == 2
    assert b" " not in board.written
