"""A terminal that takes nothing, or is gone: what is held is let go, and the end comes."""

import os
import select
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.faces.jig_hand import on_the_rail
from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.screen.screen_job import AtScreen
from tests.faces.screen.screen_terminal import PATIENCE_S, Terminal
from tests.faces.screen.test_screen_end_to_end import CENTRE, replies

ROOT: Final = Path(__file__).parents[3]
SOON_S: Final = 2.0
FEW_S: Final = 5.0
RENEWALS: Final = 4
"""Of what is held; more pictures than textual's own writer has room for."""
KEY_EVERY_S: Final = 0.03
"""As fast as a held key."""
Way = Callable[[Terminal], None]


@pytest.fixture
def craft(tmp_path: Path) -> Iterator[tuple[Workshop, Aircraft]]:
    workshop = Workshop(tmp_path)
    with aircraft(workshop, "--settings", "80", "--tilts-follow") as started:
        yield workshop, started


def holds_an_arm(screen: AtScreen, bench: Aircraft) -> None:
    """At a question of the centring, with the servo driven."""
    screen.open()
    on_the_rail(bench)
    screen.begin(CENTRE)
    screen.carry_through(replies(bench), to="Which way did it go")
    assert heard(bench, "swing")
    assert not heard(bench, "halt")


def heard(bench: Aircraft, word: str) -> int:
    lines = bench.order("received")["received"]
    assert isinstance(lines, list)
    return sum(str(line).startswith(word) for line in lines)


def halts_within(bench: Aircraft, seconds: float) -> None:
    by = time.monotonic() + seconds
    while not heard(bench, "halt"):
        assert time.monotonic() < by, "still driven"


def draws_a_lot(terminal: Terminal, bench: Aircraft) -> None:
    enough = heard(bench, "swing") + RENEWALS
    began = time.monotonic()
    typed = 0
    while heard(bench, "swing") < enough:
        took = time.monotonic() - began
        assert took < PATIENCE_S, "not held"
        if took > typed * KEY_EVERY_S:
            terminal.type("x\x7f")
            typed += 1


def presses_ctrl_c(terminal: Terminal) -> None:
    terminal.type("\x03")


def is_told_to_end(terminal: Terminal) -> None:
    terminal.process.send_signal(signal.SIGTERM)


@pytest.mark.parametrize("way", [presses_ctrl_c, is_told_to_end])
def test_an_arm_is_let_go_at_once_behind_a_terminal_that_takes_nothing(
    craft: tuple[Workshop, Aircraft], way: Way
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        holds_an_arm(screen, bench)
        screen.terminal.takes(output=False)
        draws_a_lot(screen.terminal, bench)
        way(screen.terminal)
        halts_within(bench, SOON_S)
        if way is is_told_to_end:
            assert screen.terminal.process.wait(FEW_S) == 143
            assert workshop.run("backup", "--port", bench.port).code == 0


def test_an_arm_is_let_go_when_nobody_can_see_it_for_long(
    craft: tuple[Workshop, Aircraft],
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        holds_an_arm(screen, bench)
        screen.terminal.takes(output=False)
        draws_a_lot(screen.terminal, bench)
        halts_within(bench, PATIENCE_S)
        screen.terminal.takes(output=True)
        screen.terminal.until("The terminal follows no more")
        screen.terminal.until("Not done: see above.")
        screen.back()


def test_a_terminal_that_is_gone_without_a_signal_ends_it_with_the_arm_let_go(
    craft: tuple[Workshop, Aircraft],
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        holds_an_arm(screen, bench)
        screen.terminal.vanish()
        halts_within(bench, SOON_S)
        assert screen.terminal.process.wait(FEW_S) == 129
        assert workshop.run("backup", "--port", bench.port).code == 0


@pytest.fixture
def steps() -> Iterator[Terminal]:
    opened = Terminal(
        [sys.executable, "-m", "tests.faces.screen.screen_program", "stuck"],
        ROOT,
        os.environ,
        own_output=True,
    )
    opened.until("nobody's aircraft yet")
    yield opened
    opened.close()


def test_a_loop_that_is_stuck_is_broken_out_of_by_a_signal(steps: Terminal) -> None:
    steps.type("v")
    steps.until("two readings agree")
    steps.type("b")
    out = steps.process.stdout
    assert out is not None
    assert out.readline() == b"stuck\n"
    by = time.monotonic() + PATIENCE_S
    ended = False
    while not ended and time.monotonic() < by:
        steps.process.send_signal(signal.SIGTERM)
        ended = bool(select.select([out], [], [], 0.1)[0])
    assert steps.end() == (71, "closed\ninterrupted\n")


def test_what_is_said_behind_the_screen_waits_for_no_terminal_either(
    steps: Terminal,
) -> None:
    steps.takes(output=False)
    steps.type("q")
    assert steps.process.wait(FEW_S) == 0
