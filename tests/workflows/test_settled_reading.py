"""Two readings that agree are believed; where they do not, a third one decides."""

import re
from typing import Final, final

import pytest

from benchlink.core.values import Number
from benchlink.errors import BoardError, LinkError, UnansweredError
from benchlink.workflows.read import SURE, read_once, read_settled
from benchlink.workflows.session import Session
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import meet_wader, virtual_board, words_sent
from tests.support.virtual_board import VirtualBoard

CAPACITY: Final = "pack.capacity_mah"


@final
class BadCable:
    """Turns each sight of one value into the next of the given bytes."""

    def __init__(self, *values: bytes, of: bytes = b"capacity_mah: 1550") -> None:
        self._of = of
        self._values = list(values)

    def __call__(self, data: bytes) -> bytes:
        return re.sub(re.escape(self._of), self._next, data)

    def _next(self, found: re.Match[bytes]) -> bytes:
        return self._values.pop(0) if self._values else found[0]


def met(*values: bytes) -> tuple[VirtualBoard, Session]:
    board = virtual_board()
    session = meet_wader(board)
    board.damage = BadCable(*values)
    return board, session


def number_in(session: Session, name: str) -> str:
    snapshot = read_settled(session, ScriptedPerson())
    value = snapshot.settings[name].value
    assert isinstance(value, Number)
    return str(value)


def test_a_clock_that_never_stands_still_does_not_count() -> None:
    board, session = met()
    snapshot = read_settled(session, ScriptedPerson())
    assert snapshot.settings["board.uptime_s"].volatile
    assert snapshot.complete
    assert len(words_sent(board, "recite")) == 2


def test_both_listings_are_under_way_before_the_first_has_come() -> None:
    board, session = met()
    heard_before: list[int] = []

    def watch(data: bytes) -> bytes:
        heard_before.append(len(words_sent(board, "recite")))
        return data

    board.damage = watch
    read_settled(session, ScriptedPerson())
    assert heard_before[0] == 2


def test_three_listings_that_agree_decide_against_a_damaged_first_one() -> None:
    board, session = met(b"capacity_mah: 1558")
    assert number_in(session, CAPACITY) == "1550"
    assert len(words_sent(board, "recite")) == 4


def test_three_listings_that_agree_decide_against_a_damaged_second_one() -> None:
    _, session = met(b"capacity_mah: 1550", b"capacity_mah: 9550")
    assert number_in(session, CAPACITY) == "1550"


def test_a_line_that_cannot_be_understood_is_damage_as_well() -> None:
    board, session = met(b"capac\x00ty_mah = 1550")
    assert number_in(session, CAPACITY) == "1550"
    assert len(words_sent(board, "recite")) == 4


def test_listings_that_all_differ_are_refused_with_what_is_disputed() -> None:
    _, session = met(*(b"capacity_mah: 155%d" % n for n in range(1, 10)))
    with pytest.raises(BoardError, match="no two readings") as caught:
        read_settled(session, ScriptedPerson())
    told = " / ".join(f"155{n}" for n in range(1, 10))
    assert caught.value.details == (f"{CAPACITY}: {told}",)


def test_two_wrong_listings_that_differ_do_not_make_a_right_one() -> None:
    _, session = met(b"capacity_mah: 1", b"capacity_mah: 2", b"capacity_mah: 2")
    assert number_in(session, CAPACITY) == "1550"


def test_damage_is_told_with_its_share() -> None:
    _, session = met(b"capacity_mah: 1558")
    person = ScriptedPerson()
    snapshot = read_settled(session, person)
    count = len(snapshot.settings)
    assert snapshot.damage == pytest.approx(1 / (4 * count))
    assert any("in 4 readings" in told for told in person.told)


def bad_wire() -> Session:
    """No two readings agree, and a quarter of the answers came damaged."""
    board, session = met(*(b"capacity_mah: %d" % n for n in range(1551, 1560)))
    board.answers, board.damaged = 40, 10
    return session


def test_over_a_bad_wire_the_long_reading_is_explained() -> None:
    person = ScriptedPerson()
    with pytest.raises(BoardError, match="no two readings"):
        read_settled(bad_wire(), person)
    assert any("The wire damages 25% of the answers" in told for told in person.told)


def test_what_would_be_written_afterwards_is_refused_before_the_long_reading() -> None:
    session = bad_wire()
    with pytest.raises(LinkError, match="damaged 25% of what it carried"):
        read_settled(session, ScriptedPerson(), to_write=True)
    assert isinstance(session.board, VirtualBoard)
    assert len(words_sent(session.board, "recite")) == SURE


def test_a_name_that_was_damaged_into_another_one_is_not_believed() -> None:
    _, session = met(b"capaCity_mah: 1550")
    assert "pack.capaCity_mah" not in read_settled(session, ScriptedPerson()).settings


def test_one_reading_is_refused_when_its_answer_is_damaged() -> None:
    board, session = met()
    board.damage = lambda data: data.replace(b"recite\r\n", b"re\x07ite\r\n")
    with pytest.raises(UnansweredError, match="did not come through whole"):
        read_once(session, ScriptedPerson())


def test_reading_tells_how_many_bytes_have_come() -> None:
    person = ScriptedPerson()
    _, session = met()
    read_settled(session, person, "backing up")
    assert {advance.what for advance in person.advances} == {"backing up"}
    sizes = [advance.size for advance in person.advances if advance.size]
    assert all(size.total is None for size in sizes)
    assert sizes[-1].done > 2000
    person.advances.clear()
    read_settled(session, person)
    again = [advance.size for advance in person.advances if advance.size]
    assert {(size.total, size.about) for size in again} == {(sizes[-1].done, True)}
    assert again[-1].done == sizes[-1].done
