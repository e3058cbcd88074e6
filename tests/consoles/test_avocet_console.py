"""The avocet console: names asked for one by one, letters, hex, and echo that may be off."""

from dataclasses import replace

import pytest

from benchlink.core.settings import Snapshot
from benchlink.core.values import Number, Text
from benchlink.errors import FileError, MismatchError
from benchlink.workflows.read import read_settled
from mocks.options import Options
from tests.consoles.consoles import AVOCET, board_of, carry_out, kept, meet_board, shown
from tests.support.people import ScriptedPerson
from tests.support.virtual_board import VirtualBoard

WHOLE = replace(AVOCET.options, settings=612)


def read(board: VirtualBoard) -> Snapshot:
    return read_settled(meet_board(AVOCET, board), ScriptedPerson())


@pytest.mark.parametrize(
    "options",
    [replace(WHOLE, settings=2000), replace(WHOLE, chatter=True)],
    ids=["two hundred of a kind", "chatter"],
)
def test_as_many_names_are_asked_for_as_the_board_has(options: Options) -> None:
    board = board_of(AVOCET, options)
    snapshot = read(board)
    assert {n: s.raw for n, s in snapshot.settings.items()} == shown(AVOCET, board)
    assert snapshot.complete


@pytest.mark.parametrize(
    "found",
    [b"ATE0\r", b"ATV0\r", b"ATQ1\r", b"ATE0V0Q1\r", b"AT+TLC=15", b"AT+TL\x08"],
)
def test_a_board_left_otherwise_by_somebody_is_met(found: bytes) -> None:
    board = board_of(AVOCET, found=found)
    assert {n: s.raw for n, s in read(board).settings.items()} == shown(AVOCET, board)
    assert shown(AVOCET, board)["+TLC"] == "1500"


def test_a_letter_that_is_left_out_holds_its_default_and_is_written_by_itself() -> None:
    board = board_of(AVOCET, WHOLE)
    session, before = meet_board(AVOCET, board), kept(AVOCET, board)
    assert read(board).settings["+SRLL.M"].raw == "100"
    carry_out(session, {"+SRLL.M": "90", "+GRLL.H": "0.65", "+RC3.R": "1"})
    changed = {"+SRLL.M": "90", "+GRLL.H": "0.65", "+RC3.R": "1"}
    assert kept(AVOCET, board) == before | changed
    assert b"AT+SRLL=M90\r" in board.written
    carry_out(session, {"+SRLL.M": "100", "+GRLL.H": "0.6", "+RC3.R": "0"})
    assert kept(AVOCET, board) == before


def test_hex_tenths_and_hundredths_are_numbers_in_their_unit() -> None:
    settings = read(board_of(AVOCET)).settings
    assert str(settings["+PCAP"].value) == "1550"
    assert str(settings["+PKW"].value) == "14.0"
    assert settings["+MLI"].value == read(board_of(AVOCET)).settings["+MRI"].value
    assert isinstance(settings["+LVR"].value, Number)


def test_quotes_and_backslashes_leave_as_two_hex_digits() -> None:
    board = board_of(AVOCET)
    applied = carry_out(meet_board(AVOCET, board), {"+CCAL": r'"a \"b\" \\ c;+FOO"'})
    assert b'AT+CCAL="a \\22b\\22 \\5C c;+FOO"\r' in board.written
    assert applied.after.settings["+CCAL"].value == Text('a "b" \\ c;+FOO')


def test_too_fine_a_value_is_refused_before_it_is_sent() -> None:
    board = board_of(AVOCET)
    with pytest.raises(FileError):
        carry_out(meet_board(AVOCET, board), {"+LVR": "1.255"})
    assert not any(data.startswith(b"AT+LVR=") for data in board.written)


def test_a_limited_value_is_not_what_was_asked_for() -> None:
    board = board_of(AVOCET)
    before = shown(AVOCET, board)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(AVOCET, board), {"+RFT": "2500"})
    assert caught.value.details == (
        "+RFT: asked for 2500, the board holds 2200; it said that all was well",
    )
    assert shown(AVOCET, board) == before


def test_a_refusal_without_a_word_is_asked_for_its_reason() -> None:
    board = board_of(AVOCET)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(AVOCET, board), {"+TLC": "9000"})
    assert caught.value.details == (
        "+TLC: asked for 9000, the board holds 1500; it refused: 9000 is above 2500",
    )


def test_each_of_several_refusals_gets_its_own_reason() -> None:
    board = board_of(AVOCET)
    before = shown(AVOCET, board)
    values = {"+TLC": "9000", "+PCAP": "1800", "+TRC": "100", "+RLW": "5.1"}
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(AVOCET, board), values)
    left, right = caught.value.details
    assert left.startswith("+TLC")
    assert left.endswith("it refused: 9000 is above 2500")
    assert right.startswith("+TRC")
    assert right.endswith("it refused: 100 is below 500")
    assert shown(AVOCET, board) == before


def test_a_name_that_the_board_lacks_is_no_refusal_to_ask_about() -> None:
    board = board_of(AVOCET)
    read(board)
    assert not any(b"+WHY" in data for data in board.written)


def test_no_line_is_the_one_that_repeats_the_last() -> None:
    board = board_of(AVOCET)
    carry_out(meet_board(AVOCET, board), AVOCET.changes)
    lines = b"".join(board.written).split(b"\r")
    assert all(line.startswith(b"AT") for line in lines if line)
