"""Journals on disk: whole or not at all, readable, and right after every torn write."""

import os
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.identity import Identity
from benchlink.core.journal import Entry, Kind, Mark, Step, Story, Transaction
from benchlink.core.values import Number, Series, Switch, Text, Unset, Value, Word
from benchlink.errors import FileError
from benchlink.store.journal_text import parse, render, render_step
from benchlink.store.journals import SUFFIX, Journals

NOON = datetime(2025, 3, 1, 12, 0, tzinfo=UTC)
VALUES: tuple[Value, ...] = (
    Number(Decimal("1500.0")),
    Switch(on=True),
    Word("on"),
    Text('two\nlines and a "quote"'),
    Series((Number(Decimal(1)), Word("x"))),
    Unset(),
)


def transaction(count: int = 6) -> Transaction:
    entries = {
        f"a.{n}": Entry(
            name=f"a.{n}",
            old=VALUES[n % 6],
            new=VALUES[(n + 1) % 6] if n % 2 else None,
            stage=1 + n % 2,
            within=Decimal("0.5") if n == 1 else Decimal(0),
            planned=bool(n % 2),
        )
        for n in range(count)
    }
    return Transaction(
        kind=Kind.CHANGE,
        opened_at=NOON,
        what="Marsh baseline",
        identity=Identity(board_type="wader", firmware="1.4.2", number="7F3A"),
        console="wader",
        console_hash="ab" * 32,
        port="/dev/ttyACM0",
        backup="backups/x.backup.yaml",
        entries=entries,
    )


def journals(folder: Path) -> tuple[Journals, list[str]]:
    told: list[str] = []
    return Journals(folder, lambda: NOON, told.append), told


def same(a: Transaction, b: Transaction) -> bool:
    """Equal, a stage of nothing counting as the first."""
    return render(a) == render(b) and a.identity == b.identity


def test_a_journal_is_read_as_it_was_written(tmp_path: Path) -> None:
    shelf, told = journals(tmp_path)
    paper = shelf.open(transaction())
    paper.mark(Mark.WRITING)
    paper.mark(Mark.PROVEN, 2)
    (found,) = shelf.unfinished()
    assert same(found.transaction, transaction())
    assert {n: e.new for n, e in found.transaction.entries.items()} == {
        n: e.new for n, e in transaction().entries.items()
    }
    assert found.story.steps[1:] == (Step(Mark.WRITING), Step(Mark.PROVEN, 2))
    assert told == []


def test_a_person_can_read_it(tmp_path: Path) -> None:
    shelf, _ = journals(tmp_path)
    shelf.open(transaction()).mark(Mark.WRITING)
    (path,) = tmp_path.glob(f"*{SUFFIX}")
    text = path.read_text("utf-8")
    assert "Marsh baseline" in text
    assert '"name": "a.0", "old": "1500.0"' in text
    assert '{"mark": "WRITING", "stage": 1, "at": "2025-03-01T12:00:00+00:00"}' in text


def test_what_is_done_is_put_away(tmp_path: Path) -> None:
    shelf, _ = journals(tmp_path)
    paper = shelf.open(transaction())
    for mark in (Mark.WRITING, Mark.SETTLED, Mark.DONE):
        paper.mark(mark)
    assert shelf.unfinished() == ()
    assert Path(paper.path).parent.name == "closed"
    assert Path(paper.path).exists()


def test_a_mark_needs_no_room_that_was_not_taken_before(tmp_path: Path) -> None:
    shelf, _ = journals(tmp_path)
    paper = shelf.open(transaction())
    before = Path(paper.path).stat().st_size
    for _ in range(40):
        paper.mark(Mark.WRITING)
    assert Path(paper.path).stat().st_size == before


def test_more_marks_than_room_still_count(tmp_path: Path) -> None:
    shelf, _ = journals(tmp_path)
    paper = shelf.open(transaction())
    for _ in range(300):
        paper.mark(Mark.WRITING)
    (found,) = shelf.unfinished()
    assert len(found.story.steps) == 301


def test_every_torn_mark_counts_as_never_written(tmp_path: Path) -> None:
    shelf, _ = journals(tmp_path)
    paper = shelf.open(transaction())
    paper.mark(Mark.WRITING)
    path = Path(paper.path)
    clean = path.read_bytes()
    line = render_step(Step(Mark.PROVEN), NOON)
    at = len(clean.rstrip(b" \n")) + 1
    for cut in range(len(line) - 1):  # without its line end it is whole already
        path.write_bytes(clean[:at] + line[:cut] + clean[at + cut :])
        (found,) = shelf.unfinished()
        assert found.story.state is Mark.WRITING, cut
        shelf.go_on(found).mark(Mark.UNDOING)
        (found,) = shelf.unfinished()
        assert found.story.state is Mark.UNDOING, cut


def test_a_journal_that_was_cut_short_is_told_and_not_used(tmp_path: Path) -> None:
    shelf, told = journals(tmp_path)
    path = Path(shelf.open(transaction()).path)
    whole = render(transaction())
    for cut in range(0, len(whole), 7):
        path.write_bytes(whole[:cut])
        told.clear()
        assert shelf.unfinished() == ()
        assert len(told) == 1
        assert str(path) in told[0]


@given(st.integers(0, 2000), st.integers(1, 255))
def test_a_changed_byte_never_gives_another_value(at: int, bits: int) -> None:
    whole = bytearray(render(transaction()))
    at %= len(whole)
    whole[at] ^= bits
    try:
        told, _, _ = parse(bytes(whole), "x")
    except FileError:
        return
    assert same(told, transaction())


def test_a_full_disk_is_said_and_the_mark_before_holds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf, _ = journals(tmp_path)
    paper = shelf.open(transaction())
    paper.mark(Mark.WRITING)

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(FileError, match="No space left"):
            paper.mark(Mark.PROVEN)
    assert paper.story.state is Mark.WRITING
    paper.mark(Mark.UNDOING)
    (found,) = shelf.unfinished()
    assert found.story.state is Mark.UNDOING


def test_two_journals_of_one_second_do_not_meet(tmp_path: Path) -> None:
    shelf, _ = journals(tmp_path)
    assert shelf.open(transaction()).path != shelf.open(transaction()).path
    assert len(shelf.unfinished()) == 2


def test_a_fresh_story_is_ready() -> None:
    assert Story().state is Mark.READY
