"""The dunlin console's note: a value that is written line by line, and never kept."""

from collections.abc import Callable

import pytest

from benchlink.core.difference import State
from benchlink.core.exchange import Verdict
from benchlink.core.values import Text
from benchlink.errors import FileError, MismatchError
from benchlink.store.backup_reader import parse
from benchlink.store.backup_text import render
from benchlink.store.backups import intent_from_backup
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.compare import compare_board
from benchlink.workflows.keeping import Proof
from benchlink.workflows.planning import prepare
from benchlink.workflows.read import read_settled
from benchlink.workflows.say import say
from benchlink.workflows.session import Session
from tests.consoles.consoles import DUNLIN, board_of, carry_out, meet_board, shown
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, wanting
from tests.support.virtual_board import VirtualBoard

NOTES = [
    "skid loose",
    "skid loose\n\n  check horn  \nthen: |both|, #2",
    "\n\n",
    "words that mean much outside\nlist\nseal\ndone\nlay note <<",
    "x" * 60,
]


def note(session: Session) -> str:
    value = read_settled(session, ScriptedPerson()).settings["note"].value
    assert isinstance(value, Text)
    return value.text


def write(session: Session, text: str) -> Verdict:
    snapshot = read_settled(session, ScriptedPerson())
    utterance = session.grammar.write(snapshot.settings["note"], Text(text))
    (reply,) = say(session.board, session.grammar, [utterance])
    return reply.verdict


def bring_back(session: Session, taken: bytes) -> Applied:
    person = ScriptedPerson()
    back = intent_from_backup(parse(taken, "copy"), "shelf", same_board=True)
    prepared = prepare(session, person, back, leave_out=True)
    assert prepared.left_out == ()
    return apply(prepared, person, Shelf().shelves, STAMP, agreed=True)


@pytest.mark.parametrize("text", NOTES)
@pytest.mark.parametrize("piece_bytes", [0, 1])
def test_a_note_is_written_as_it_is_read(text: str, piece_bytes: int) -> None:
    board = board_of(DUNLIN, piece_bytes=piece_bytes)
    session = meet_board(DUNLIN, board)
    assert write(session, text) is Verdict.OK
    assert note(session) == text
    assert shown(DUNLIN, board)["note"] == text


@pytest.mark.parametrize("text", [*NOTES, ""])
@pytest.mark.parametrize("other", ["", "written\nmeanwhile"])
def test_a_backup_brings_the_note_back_byte_for_byte(text: str, other: str) -> None:
    board = board_of(DUNLIN)
    session = meet_board(DUNLIN, board)
    write(session, text)
    before = shown(DUNLIN, board)
    taken = render(back_up(session, ScriptedPerson(), Shelf(), STAMP).backup)
    write(session, other)
    bring_back(session, taken)
    assert shown(DUNLIN, board) == before
    assert board.device.boots == 1


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (">>", "would end it"),
        (" >> ", "would end it"),
        ("? skid loose", "something else"),
        ("~ skid loose", "something else"),
        ("dunlin 3 up", "something else"),
        ("dunlin view$ list", "something else"),
    ],
)
def test_a_line_that_would_be_taken_otherwise_is_never_sent(
    line: str, why: str
) -> None:
    board = board_of(DUNLIN)
    session = meet_board(DUNLIN, board)
    with pytest.raises(FileError) as caught:
        carry_out(session, {"note": f'"first\\n{line}"'})
    assert any("line 2 of it" in d and why in d for d in caught.value.details)
    assert not any(data.startswith(b"lay") for data in board.written)


def test_a_note_that_is_refused_at_its_end_is_put_back() -> None:
    board = board_of(DUNLIN)
    session = meet_board(DUNLIN, board)
    write(session, "skid loose")
    with pytest.raises(MismatchError) as caught:
        carry_out(session, {"note": f'"{"x" * 61}"'})
    (detail,) = caught.value.details
    assert detail.endswith("it refused: a line of the note is longer than 60")
    assert note(session) == "skid loose"


def spoiling(word: bytes, instead: bytes) -> Callable[[bytes], bytes]:
    """Spoil what the board says of one line, once."""
    left = [word]

    def spoil(data: bytes) -> bytes:
        if left and word in data:
            left.clear()
            return data.replace(word, instead)
        return data

    return spoil


def test_damage_in_the_middle_leaves_no_note_open_and_is_told() -> None:
    board = board_of(DUNLIN)
    session = meet_board(DUNLIN, board)
    board.damage = spoiling(b"\x1b[0mhorn", b"\x1b[0mhern")
    assert write(session, "skid\nhorn\nspline") is Verdict.DAMAGED
    assert b"spline\r" not in board.written
    assert board.written.count(b">>\r") == 1
    # The next words are taken as words, not as lines of a note.
    assert note(session) == "skid\nhorn"
    assert write(session, "skid\nhorn\nspline") is Verdict.OK
    assert note(session) == "skid\nhorn\nspline"


def test_damage_in_the_middle_is_mended_by_writing_it_again() -> None:
    board = board_of(DUNLIN)
    session = meet_board(DUNLIN, board)
    board.damage = spoiling(b"\x1b[0mhorn", b"\x1b[0mhern")
    carry_out(session, {"note": '"skid\\nhorn\\nspline"'})
    assert note(session) == "skid\nhorn\nspline"


def interrupting(board: VirtualBoard, line: str) -> None:
    """A Ctrl-C once the board was sent this line of a note."""
    asked = board.ask

    def ask(commands, progress=None):  # type: ignore[no-untyped-def]  # as it is
        answers = asked(commands, progress)
        if commands[0].line == line:
            board.ask = asked  # type: ignore[method-assign]  # once
            raise KeyboardInterrupt
        return answers

    board.ask = ask  # type: ignore[method-assign]  # the hand on the keyboard


def test_an_interrupt_in_the_middle_closes_the_note_and_puts_the_old_one_back() -> None:
    board, person = board_of(DUNLIN), ScriptedPerson()
    session = meet_board(DUNLIN, board)
    write(session, "as it was")
    interrupting(board, "horn")
    with pytest.raises(KeyboardInterrupt):
        carry_out(session, {"note": '"skid\\nhorn\\nspline"'}, person)
    assert note(session) == "as it was"
    assert any("every old value is back" in said for said in person.told)


def test_a_note_alone_is_written_without_a_restart_that_would_wipe_it() -> None:
    board = board_of(DUNLIN)
    applied = carry_out(meet_board(DUNLIN, board), {"note": '"skid loose"'})
    assert applied.proof is Proof.FLEETING
    assert applied.lost == ()
    assert board.device.boots == 1
    assert shown(DUNLIN, board)["note"] == "skid loose"


def test_a_note_written_with_others_is_lost_by_design_and_is_told() -> None:
    board = board_of(DUNLIN)
    session = meet_board(DUNLIN, board)
    values = {"note": '"skid loose"', "pack/capacity": "1800"}
    applied = carry_out(session, values)
    assert applied.lost == ("note",)
    found = compare_board(session, ScriptedPerson(), wanting(values)).difference
    (lost,) = found.of(State.NEVER_KEPT)
    assert (lost.name, lost.trouble) == (
        "note",
        "the board never keeps it: it is lost at every restart",
    )
    assert found.counts[State.AS_INTENDED] == 1
    assert found.same
