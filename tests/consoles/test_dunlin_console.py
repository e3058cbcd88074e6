"""The dunlin console: a login, a redrawn line, modes, banks, options and a note."""

from dataclasses import replace

import pytest

from benchlink.core.settings import Snapshot
from benchlink.core.values import Text
from benchlink.errors import MismatchError, SilentBoardError
from benchlink.workflows.read import read_settled
from tests.consoles.consoles import DUNLIN, board_of, carry_out, meet_board, shown
from tests.support.people import ScriptedPerson
from tests.support.virtual_board import VirtualBoard

LOGIN = b"bench\rreed\r"
NOTE = LOGIN + b"edit\rlay note <<\rskid loose\r\rcheck horn\r"


def read(board: VirtualBoard) -> Snapshot:
    return read_settled(meet_board(DUNLIN, board), ScriptedPerson())


def test_a_wrong_word_is_not_tried_until_the_board_locks_up() -> None:
    with pytest.raises(SilentBoardError, match="not let in"):
        board_of(DUNLIN, told={"user": "bench", "word": "rush"})


@pytest.mark.parametrize(
    "found", [LOGIN, b"bench\r", LOGIN + b"lay", LOGIN + b"edit\r"]
)
def test_a_board_left_in_the_middle_of_something_is_met(found: bytes) -> None:
    board = board_of(DUNLIN, found=found)
    snapshot = read(board)
    raw = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    assert raw == shown(DUNLIN, board)


def test_a_note_left_open_is_not_closed_for_whoever_writes_it() -> None:
    with pytest.raises(SilentBoardError, match="dunlin note>"):
        board_of(DUNLIN, found=NOTE)


def test_a_change_works_on_a_board_left_in_edit_mode() -> None:
    board = board_of(DUNLIN, found=LOGIN + b"edit\r")
    carry_out(meet_board(DUNLIN, board), {"pack/capacity": "1800"})
    assert shown(DUNLIN, board)["pack/capacity"] == "1800"


def test_the_login_is_repeated_after_a_restart() -> None:
    board = board_of(DUNLIN)
    carry_out(meet_board(DUNLIN, board), {"pack/capacity": "1800"})
    assert board.written.count(b"bench\r") == 2
    assert board.written.count(b"reed\r") == 2


def test_a_note_of_several_lines_is_one_value() -> None:
    board = board_of(DUNLIN, found=NOTE + b">>\r")
    snapshot = read(board)
    assert snapshot.settings["note"].value == Text("skid loose\n\ncheck horn")
    assert snapshot.complete


def test_a_note_that_a_restart_wipes_is_told_about_and_is_no_trouble() -> None:
    board, person = board_of(DUNLIN, found=NOTE + b">>\r"), ScriptedPerson()
    applied = carry_out(meet_board(DUNLIN, board), {"pack/capacity": "1800"}, person)
    assert applied.after.settings["note"].value == Text("")
    assert "This board forgets note at every restart." in person.told


def test_every_bank_is_read_and_the_selected_one_is_selected_again() -> None:
    board = board_of(DUNLIN, found=LOGIN + b"bank 2\r")
    settings = read(board).settings
    names = [n for n in settings if n.endswith("steady/roll/gain")]
    assert sorted(names) == [f"bank {n}/steady/roll/gain" for n in (1, 2, 3)]
    selected = [data for data in board.written if data.startswith(b"bank")]
    assert selected[-1] == b"bank 2\r"


def test_a_gain_is_written_into_its_own_bank() -> None:
    board = board_of(DUNLIN, found=LOGIN + b"bank 3\r")
    before = shown(DUNLIN, board)
    carry_out(meet_board(DUNLIN, board), {"bank 2/steady/yaw/gain": "0.75"})
    after = shown(DUNLIN, board)
    assert {n: after[n] for n in after if after[n] != before[n]} == {
        "bank 2/steady/yaw/gain": "0.75"
    }


def test_edit_mode_is_left_after_the_writes() -> None:
    board = board_of(DUNLIN)
    carry_out(meet_board(DUNLIN, board), {"pack/capacity": "1800"})
    modes = [data for data in board.written if data in {b"edit\r", b"done\r"}]
    assert modes == [b"edit\r", b"done\r"] * 2


def test_the_person_hears_what_is_kept_at_once() -> None:
    board, person = board_of(DUNLIN), ScriptedPerson()
    carry_out(meet_board(DUNLIN, board), {"pack/capacity": "1800"}, person)
    assert any("as soon as they are written" in said for said in person.told)


def test_what_was_kept_at_once_and_put_back_is_not_called_unkept() -> None:
    board = board_of(DUNLIN)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(DUNLIN, board), {"tilt/left/centre": "9000"})
    assert "Nothing was kept" not in caught.value.hint
    assert "every old value is back" in caught.value.hint


def test_a_slow_wire_redraws_every_key_and_still_reads_right() -> None:
    board = board_of(DUNLIN, replace(DUNLIN.options, baud=19_200))
    assert read(board).complete
