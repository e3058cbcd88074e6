"""A kept listing read once more gives what the board was read as."""

from dataclasses import replace

import pytest

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.rereading import reread
from benchlink.core.settings import Snapshot
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet
from mocks.options import ConsoleKind, Options
from tests.console.talking import console
from tests.consoles.consoles import CASES, Case, board_of, meet_board
from tests.consoles.generated import described
from tests.support.people import ScriptedPerson
from tests.support.virtual_board import VirtualBoard


def require_same(description: Description, then: Snapshot) -> None:
    read = reread(description, then)
    assert read.otherwise == ()
    assert read.now.not_understood == ()
    marks = {n: (s.writable, s.board_owned) for n, s in then.settings.items()}
    assert marks == {
        n: (s.writable, s.board_owned) for n, s in read.now.settings.items()
    }


@pytest.mark.parametrize("case", CASES, ids=str)
def test_every_console_is_read_again_as_it_was(case: Case) -> None:
    session = meet_board(case, board_of(case))
    then = read_settled(session, ScriptedPerson())
    require_same(session.grammar.description, then)


@pytest.mark.parametrize("seed", range(8))
def test_every_made_up_console_is_read_again_as_it_was(seed: int) -> None:
    description = described(seed)
    options = Options(console=ConsoleKind.GENERATED, seed=seed)
    session = meet(VirtualBoard(description, options), Grammar(description))
    require_same(description, read_settled(session, ScriptedPerson()))


def test_where_lines_name_nothing_the_listed_values_are_spelled_anew() -> None:
    settings = '[{list: {line: "{name}?"}, each: [sag], forms: [{pair: "{value}"}]}]'
    old = console(settings=settings)
    new = console(settings=settings, spelling='[{names: [sag], scale: "0.1"}]')
    listed = console(spelling="[]")
    then = reread(listed, Snapshot(settings={}, verbatim=b"sag=215\n")).now
    then = replace(then, verbatim=b"215\n")
    assert reread(old, then).otherwise == ()
    read = reread(new, then)
    assert read.otherwise == ("sag",)
    assert str(read.now.settings["sag"].value) == "21.5"
