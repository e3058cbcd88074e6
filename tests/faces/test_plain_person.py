"""The person at a plain terminal, and the pipe where nobody is."""

import os
import pty
from io import StringIO
from typing import final

import pytest
from typing_extensions import override

from benchlink.core.advance import Advance, Amount
from benchlink.core.identity import Identity
from benchlink.core.plan import Plan
from benchlink.errors import SafetyRefusalError
from benchlink.faces.held import HELD_FOR, LET_GO
from benchlink.faces.plain_person import PlainPerson
from benchlink.units import Seconds


@final
class Terminal(StringIO):
    @override
    def isatty(self) -> bool:
        return True


def at_terminal(typed: str) -> tuple[PlainPerson, Terminal]:
    screen = Terminal()
    return PlainPerson(Terminal(typed), screen, screen), screen


def in_a_pipe() -> tuple[PlainPerson, StringIO, StringIO]:
    out, err = StringIO(), StringIO()
    return PlainPerson(StringIO("yes\nhands clear\n"), out, err), out, err


@pytest.mark.parametrize(
    ("typed", "agreed"),
    [
        ("yes\n", True),
        (" YES \n", True),
        ("y\n", True),
        ("no\n", False),
        ("\n", False),
        ("", False),
    ],
)
def test_only_a_typed_yes_is_a_yes(typed: str, *, agreed: bool) -> None:
    person, screen = at_terminal(typed)
    assert person.agrees("Write one value?") is agreed
    assert screen.getvalue() == "Write one value? [yes/no] "


@pytest.mark.parametrize(
    ("typed", "agreed"),
    [
        ("yeah\nye\nyes\n", True),
        ("yeah\nn\nyes\n", False),
        ("yeah\n\nyes\n", False),
        ("yeah\nsure\nof course\nyes\n", False),
    ],
)
def test_other_words_are_told_and_asked_again_twice_and_never_count(
    typed: str, *, agreed: bool
) -> None:
    person, screen = at_terminal(typed)
    assert person.agrees("Write one value?") is agreed
    question = "Write one value? [yes/no] "
    assert screen.getvalue().startswith(f"{question}Not 'yeah': {question}")
    assert screen.getvalue().count(question) <= 3


def test_in_a_pipe_nobody_agrees_and_nobody_is_asked() -> None:
    person, out, err = in_a_pipe()
    assert not person.agrees("Write one value?")
    assert person.types("Type 'hands clear': ") == ""
    assert out.getvalue() + err.getvalue() == ""


def test_typed_words_come_without_their_line_end_and_nothing_else_is_mended() -> None:
    person, _ = at_terminal("hands clear \n")
    assert person.types("? ") == "hands clear "


def writing(done: int) -> Advance:
    return Advance(what="writing", settings=Amount(done=done, total=62))


def test_where_nothing_is_drawn_over_each_step_is_said_once_line_by_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TERM", "dumb")
    person, screen = at_terminal("")
    for done in (1, 2, 60):
        person.progress(writing(done))
    person.done()
    person.tell("All of it is written.")
    assert screen.getvalue() == "writing ...\nAll of it is written.\n"


def test_where_nothing_is_drawn_over_a_countdown_says_its_question_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TERM", "dumb")
    master, slave = pty.openpty()
    screen = Terminal()
    try:
        with os.fdopen(slave) as typed:
            person = PlainPerson(typed, screen, screen)
            said = person.waits_for(
                "keep", Seconds(0.05), lambda left: f"keep? {left:.2f} s", lambda: None
            )
    finally:
        os.close(master)
    assert not said
    assert screen.getvalue() == "keep? 0.05 s\n"


def test_progress_is_drawn_over_itself_and_wiped_before_the_next_words(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    person, screen = at_terminal("")
    person.progress(writing(10))
    person.progress(writing(9))
    person.tell("keeping")
    first, second, wiped, said = screen.getvalue().split("\r")[1:]
    assert (first, second) == (
        "writing   10 of 62 settings",
        "writing   9 of 62 settings ",
    )
    assert wiped.strip() == ""
    assert len(wiped) >= len(second.rstrip())
    assert said == "keeping\n"


def test_a_line_that_stands_there_is_not_drawn_again() -> None:
    person, screen = at_terminal("")
    person.progress(writing(10))
    person.progress(writing(10))
    assert screen.getvalue().count("writing") == 1
    person.done()
    person.progress(writing(10))
    assert screen.getvalue().count("writing") == 2


def test_progress_without_a_known_end_counts_bytes_and_fits_the_screen(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "14")
    person, screen = at_terminal("")
    person.progress(Advance(what="reading", size=Amount(done=18_432)))
    person.done()
    assert screen.getvalue().split("\r")[1] == "reading   18,"


def test_in_a_pipe_progress_draws_nothing() -> None:
    person, out, err = in_a_pipe()
    person.progress(writing(10))
    person.done()
    assert out.getvalue() + err.getvalue() == ""


def test_a_result_stands_clear_of_a_half_drawn_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    person, screen = at_terminal("")
    person.progress(writing(3))
    person.result("one\ntwo")
    drawn, wiped, said = screen.getvalue().split("\r")[1:]
    assert (wiped, said) == (" " * len(drawn), "one\ntwo\n")


def test_narration_and_plan_go_their_own_ways() -> None:
    person, out, err = in_a_pipe()
    person.tell("keeping\x1b[2J")
    person.show_plan(Plan(identity=Identity(), fingerprint="", changes=()))
    assert err.getvalue() == "keeping\\x1b[2J\n"
    assert (
        out.getvalue()
        == "Nothing to do: the board holds all of it now. Whether it would after a restart, only a restart shows.\n"
    )


def test_nothing_is_held_for_somebody_who_does_not_answer() -> None:
    master, slave = pty.openpty()
    now, held = [0.0], []

    def hold() -> None:
        held.append(now[0])
        now[0] += HELD_FOR / 3 + 1

    screen = Terminal()
    with os.fdopen(slave) as terminal:
        person = PlainPerson(terminal, screen, screen, clock=lambda: now[0])
        with pytest.raises(SafetyRefusalError, match="nobody answered for 3 minutes"):
            person.reads("The jig shows: ", hold)
    os.close(master)
    assert len(held) == 3
    assert screen.getvalue() == f"The jig shows: \a\n{LET_GO}\n"
