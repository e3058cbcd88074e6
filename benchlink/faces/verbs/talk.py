"""`benchlink talk`: lines typed to the board, each looked at before it is sent."""

import sys
from typing import Final
from urllib.parse import quote

from benchlink.console.description import LineEnd
from benchlink.errors import UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board, choice_of
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.shell.page import ShellPage
from benchlink.faces.shell.piped import converse_piped
from benchlink.faces.shell.words import GREETING, parting_lines
from benchlink.faces.undescribed import nobody_described, open_undescribed
from benchlink.faces.wiring import clock, now, state_folder
from benchlink.link.bare_line import BareLine
from benchlink.workflows.bare_talk import BareTalk
from benchlink.workflows.talk import Talk

HISTORY: Final = "talk"
"""Folder of what was typed, a file a console."""


def run(given: Given) -> int:
    """Talk to the board that was meant, described or not."""
    if nobody_described(choice_of(given), PlainPerson()):
        return _bare(given)
    with at_board(given) as at:
        return at_work(at, given) if sys.stdin.isatty() else _piped(at)


def at_work(at: AtBoard, given: Given) -> int:
    """Talk at the terminal until the person leaves, then read the board again."""
    # A pipe needs none of these.
    from benchlink.faces.shell.history import LineHistory  # noqa: PLC0415
    from benchlink.faces.shell.loop import converse  # noqa: PLC0415
    from benchlink.faces.shell.prompter import Prompter, Questions  # noqa: PLC0415

    del given  # which board it is was decided before
    console = at.bench.session.grammar.description.name
    questions = Questions()
    person = PlainPerson(asks=questions.ask)
    page = ShellPage(at.person.result, now)
    talk = Talk(at.bench.session, person, page, at.bench.ears)
    prompter = Prompter(
        at.aircraft.tail if at.aircraft else console,
        lambda: talk.offers,
        LineHistory(state_folder() / HISTORY / quote(console, safe="")),
        questions,
    )
    person.tell(GREETING)
    converse(talk, prompter, page, person)
    return _left(at, talk)


def _piped(at: AtBoard) -> int:
    page = ShellPage(at.person.result, now)
    talk = Talk(at.bench.session, at.person, page, at.bench.ears, attended=False)
    at.person.done()
    well = converse_piped(talk, sys.stdin, at.person)
    code = _left(at, talk)
    return code if well else ExitCode.TROUBLE


def _left(at: AtBoard, talk: Talk) -> int:
    grammar = at.bench.session.grammar
    keep = grammar.utter("keep").commands[0].line if grammar.can("keep") else ""
    parting = talk.leave()
    at.person.done()
    for line in parting_lines(parting, keep):
        at.person.tell(line)
    return ExitCode.SAME


def _bare(given: Given) -> int:
    """The same with a board of which nothing is known; nothing typed is kept."""
    if not sys.stdin.isatty():
        msg = "nobody has described this board's console, so every line is held"
        raise UsageError(msg, hint="Nothing was sent. Run this at a terminal.")
    from prompt_toolkit.history import InMemoryHistory  # noqa: PLC0415

    from benchlink.faces.shell.loop import converse  # noqa: PLC0415
    from benchlink.faces.shell.prompter import Prompter, Questions  # noqa: PLC0415

    questions = Questions()
    person = PlainPerson(asks=questions.ask)
    page = ShellPage(person.result, now)
    with open_undescribed(choice_of(given), person) as wire:
        bare = BareLine(wire, clock)
        talk = BareTalk(bare, person, page, LineEnd[given.raw_end])
        prompter = Prompter("board", lambda: talk.offers, InMemoryHistory(), questions)
        person.tell(f"Nobody has described what the board at {bare.port} speaks.")
        if given.record:
            person.tell("All that is typed stands in the recording, secrets too.")
        person.tell(GREETING)
        converse(talk, prompter, page, person)
        for line in parting_lines(talk.leave(), ""):
            person.tell(line)
    return ExitCode.SAME
