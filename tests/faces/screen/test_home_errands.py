"""What the work thread brings to the home page, from a board in virtual time."""

from dataclasses import replace
from io import StringIO
from pathlib import Path

import pytest

from benchlink.core.job_steps import Step
from benchlink.core.journal import Kind
from benchlink.faces.at_board import AtBoard
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.screen.threads import errands
from benchlink.workflows.finishing import Found
from tests.core.test_greeting import unfinished
from tests.faces.screen.screen_bench import BenchBoard, FakeEntrance, wader


@pytest.fixture(autouse=True)
def bench_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def at(board: BenchBoard | None = None, *found: Found) -> AtBoard:
    person = PlainPerson(StringIO(), StringIO(), StringIO())
    bench = FakeEntrance(board).rehearse(person)
    return AtBoard(bench=bench, person=person, aircraft=None, found=list(found))


def left(kind: Kind, name: str) -> Found:
    return Found(unfinished=unfinished(kind, name), certain=True)


def test_a_fresh_board_begins_with_the_papers_and_the_shipped_baseline() -> None:
    facts = errands.home(at(BenchBoard(settings=600)))
    assert facts.greeting.startswith("wader, firmware 1.4.2, number 44CB-9325, never")
    assert facts.turn is Step.PAPERS
    words = {step.state.step: step.words for step in facts.steps}
    assert words[Step.PAPERS] == ("job", "done", "papers")
    assert words[Step.BASELINE] == ("apply", "lapwing")
    assert words[Step.CENTRE] == ("centre", "both")
    assert facts.readiness is not None
    assert (facts.folder, facts.left, facts.ways) == ("", (), frozenset())


def test_what_was_left_unfinished_says_what_can_be_done_about_it() -> None:
    held = errands.home(at(None, left(Kind.BENCH, "level.self_levelling")))
    assert (held.held, held.unkept) == (("level.self_levelling",), ())
    assert held.ways == {"undo"}
    changed = errands.home(at(None, left(Kind.CHANGE, "pack.cells")))
    assert changed.unkept == ("centring: nothing sent yet",)
    assert changed.ways == {"undo", "resume"}


def test_volts_are_asked_for_by_the_questions_that_tell_them() -> None:
    board = BenchBoard()
    bench = at(board).bench
    board.asked.clear()
    told = errands.volts(bench.session)
    assert told.tells
    assert told.rail_v is not None
    assert board.asked
    assert not [line for line in board.asked if line.startswith(("recite", "let"))]


def test_a_console_that_tells_no_volts_is_asked_nothing() -> None:
    board = BenchBoard(description=replace(wader(), readings=()))
    bench = at(board).bench
    board.asked.clear()
    assert not errands.volts(bench.session).tells
    assert board.asked == []
