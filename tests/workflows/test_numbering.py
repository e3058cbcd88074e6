"""Names that only the board can count."""

from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.console.template import template
from benchlink.errors import BoardError
from benchlink.workflows import numbering
from benchlink.workflows.numbering import with_all_names
from benchlink.workflows.session import Session, meet
from mocks.options import ConsoleKind
from tests.consoles.consoles import AVOCET, board_of, described
from tests.support.virtual_board import VirtualBoard


def session_of(settings: int, *numbered: str) -> Session:
    board = board_of(AVOCET, replace(AVOCET.options, settings=settings))
    console = described(ConsoleKind.AVOCET)
    source = replace(
        console.sources[0],
        each=("+TLC",) if "+MXE{count}" in numbered else (),
        numbered=tuple(map(template, numbered)),
    )
    return meet(board, Grammar(replace(console, sources=(source,))))


@pytest.mark.parametrize(("settings", "most"), [(60, 0), (612, 16), (700, 21)])
def test_names_go_up_to_the_last_that_the_board_has(settings: int, most: int) -> None:
    session = session_of(settings, "+MXE{count}")
    (source,) = with_all_names(session)
    names = [f"+MXE{n}" for n in range(1, most + 1)]
    assert list(source.each) == ["+TLC", *names]
    held = session.board.device.shown()  # type: ignore[attr-defined]
    assert [n for n in held if n.startswith("+MXE")] == names


def test_a_source_of_which_the_board_has_nothing_is_not_asked_for() -> None:
    assert with_all_names(session_of(60, "+CV{count}")) == ()


def test_only_an_answer_that_was_damaged_is_asked_for_again() -> None:
    session = session_of(612, "+MXE{count}")
    board = session.board
    assert isinstance(board, VirtualBoard)
    spoilt: list[bytes] = []

    def once(data: bytes) -> bytes:
        if b"+MXE5" in data and not spoilt:
            spoilt.append(data)
            return data.replace(b"+MXE5", b"+M#E5")
        return data

    board.damage = once
    before = len(board.written)
    (source,) = with_all_names(session)
    assert len(source.each) == 17
    asked = [line for line in board.written[before:] if b"+MXE" in line]
    assert sorted(asked.count(line) for line in set(asked))[-2:] == [1, 2]


def test_a_board_that_never_says_no_is_not_asked_for_ever(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(numbering, "MOST", 10)
    with pytest.raises(BoardError, match="answers to every name"):
        with_all_names(session_of(612, "+MXE{count}"))
