"""The home page: the steps, the board beside them, and what its keys ask for."""

from dataclasses import replace

import pytest
from textual.widgets import Static

from benchlink.core.identity import Readiness
from benchlink.core.job_steps import Step
from benchlink.errors import PortLostError, SilentBoardError
from benchlink.faces.screen.frame.help import HelpPage
from benchlink.faces.screen.frame.sheet import Sheet
from benchlink.faces.screen.threads.home_facts import PropsOffFor, Volts
from benchlink.faces.screen.threads.return_wait import WAITS
from benchlink.units import Seconds
from tests.faces.screen.home_bench import Home, facts, home
from tests.faces.screen.pictured import compare
from tests.faces.screen.screen_bench import LARGE, SMALL

LOST = PortLostError("/dev/ttyACM0 went away", hint="Check the cable.")
VOLTS = Volts(pack_v=15.92, rail_v=5.04)


@pytest.fixture(autouse=True)
def plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "TEXTUAL_THEME"):
        monkeypatch.delenv(name, raising=False)


def text(stage: Home, part: str) -> str:
    return str(stage.page.query_one(f"#{part}", Static).content)


# Pictures


@pytest.mark.parametrize("size", [(60, 16), SMALL, LARGE])
async def test_half_way_through_a_job(size: tuple[int, int]) -> None:
    async with home(size, facts()) as stage:
        stage.page.take_volts(VOLTS)
        stage.app.props = PropsOffFor(left=Seconds(492.0), by="by the builder")
        await stage.show(facts())
        compare(stage.picture(), f"home_{size[0]}x{size[1]}")


async def test_a_board_that_goes_away_leaves_what_was_known() -> None:
    async with home(SMALL, facts()) as stage:
        stage.page.take_failed(LOST)
        stage.page.take_lost(WAITS, waits=True)
        await stage.settle()
        compare(stage.picture(), "home_lost_80x24")


async def test_before_the_first_look() -> None:
    async with home() as stage:
        compare(stage.picture(), "home_looking_80x24")


# What it asks for


async def test_it_looks_at_once_and_again_on_a_key_but_never_twice_at_a_time() -> None:
    async with home() as stage:
        await stage.press("r")
        assert stage.app.asked == ["look"]
        await stage.show(facts())
        await stage.press("r")
        assert stage.app.asked == ["look", "look"]


async def test_the_cursor_begins_on_what_is_next_and_stays_where_it_was_put() -> None:
    async with home(SMALL, facts()) as stage:
        steps = list(Step)
        sheet = stage.page.query_one(Sheet)
        assert steps[sheet.cursor] is Step.MOUNTING
        await stage.press("down", "down")
        await stage.show(facts())
        assert steps[sheet.cursor] is Step.WIGGLE


async def test_enter_begins_the_step_or_writes_down_that_it_was_done() -> None:
    async with home(SMALL, facts()) as stage:
        await stage.press("enter", "home", "down", "down", "enter")
        assert stage.app.asked[1:] == [
            ("how the board sits", "job", "done", "mounting"),
            ("first copy of the board", "backup"),
        ]


async def test_only_what_was_left_can_be_finished() -> None:
    async with home(SMALL, facts()) as stage:
        await stage.press("s")
        assert "nothing is left to resume" in text(stage, "says")
        await stage.press("u", "c", "v", "p")
        assert stage.app.asked[1:] == [
            ("Put back what was left", "undo"),
            ("Moved or exchanged", "job", "changed"),
            "values",
            "ports",
        ]


async def test_nothing_begins_while_it_looks_or_when_the_board_is_gone() -> None:
    async with home(SMALL, facts()) as stage:
        await stage.press("r", "enter")
        assert "still looking" in text(stage, "says")
        stage.page.take_failed(LOST)
        stage.page.take_lost(WAITS, waits=True)
        await stage.press("enter", "u")
        assert "the board is gone" in text(stage, "says")
        assert stage.app.asked == ["look", "look"]
        await stage.press("r")
        assert "trying to reach the same board at once" in text(stage, "says")
        assert stage.app.asked == ["look", "look", "look"]
        assert "r" not in stage.page.idle


async def test_a_look_shows_how_far_it_has_come() -> None:
    async with home() as stage:
        stage.page.take_progress("reading   24,512 bytes")
        assert "looking at the board: reading   24,512 bytes" in text(stage, "says")
        stage.page.take_progress("")
        assert "looking at the board, and at what" in text(stage, "says")
        await stage.show(facts())
        stage.page.take_progress("reading   24,512 bytes")
        assert "24,512" not in text(stage, "says")


async def test_help_is_a_key_away() -> None:
    async with home(SMALL, facts()) as stage:
        await stage.press("question_mark")
        assert isinstance(stage.app.screen, HelpPage)


# Volts


async def test_volts_are_asked_for_one_at_a_time_and_not_while_it_looks() -> None:
    async with home() as stage:
        stage.page.watch_volts()
        await stage.show(facts())
        stage.page.watch_volts()
        stage.page.watch_volts()
        await stage.settle()
        assert stage.app.asked == ["look", "volts"]
        stage.page.skipped_volts()
        stage.page.watch_volts()
        await stage.settle()
        assert stage.app.asked == ["look", "volts", "volts"]
        stage.page.take_volts(VOLTS)
        assert "pack    15.92 V" in text(stage, "board")
        await stage.press("r")
        stage.page.watch_volts()
        await stage.settle()
        assert stage.app.asked[-1] == "look"


@pytest.mark.parametrize(
    ("volts", "told"),
    [
        (Volts(pack_v=None, rail_v=5.04), "pack    not told\nrail    5.04 V"),
        (
            Volts(pack_v=None, rail_v=None, tells=False),
            "volts   this console cannot tell",
        ),
    ],
)
async def test_what_is_not_told_is_said(volts: Volts, told: str) -> None:
    async with home(LARGE, facts()) as stage:
        stage.page.take_volts(volts)
        assert told in text(stage, "board")


async def test_after_trouble_nothing_is_asked_until_a_look() -> None:
    async with home(SMALL, facts()) as stage:
        stage.page.take_volts(VOLTS)
        stage.page.take_failed(SilentBoardError("the board says nothing"))
        stage.page.watch_volts()
        await stage.settle()
        assert "NOT LOOKED AT" in stage.picture()
        assert "15.92" not in stage.picture()
        assert "outputs ?? treat as LIVE" in stage.picture()
        await stage.press("r")
        assert stage.app.asked == ["look", "look"]


# The board


@pytest.mark.parametrize(
    ("readiness", "told"),
    [
        (None, "?? treat as LIVE"),
        (Readiness(armed=True), "!! LIVE: keep clear !!"),
    ],
)
async def test_outputs_that_may_move_are_told_by_word_and_shape(
    readiness: Readiness | None, told: str
) -> None:
    async with home(LARGE, replace(facts(), readiness=readiness)) as stage:
        assert told in text(stage, "board")


async def test_a_confirmation_counts_down_and_is_gone_when_it_is_over() -> None:
    async with home(LARGE, facts()) as stage:
        stage.app.props = PropsOffFor(left=Seconds(59.6), by="by the builder")
        stage.page._write_board()
        assert "OFF, said by the builder; 1:00 left" in text(stage, "board")
        stage.app.props = None
        stage.page._write_board()
        assert "props   not confirmed" in text(stage, "board")


@pytest.mark.parametrize(
    ("left", "void", "told"),
    [
        (0.0, "", "not confirmed: its time is over"),
        (400.0, "the pack was swapped", "not confirmed: the pack was swapped"),
    ],
)
async def test_a_confirmation_that_counts_no_more_says_why(
    left: float, void: str, told: str
) -> None:
    async with home(LARGE, facts()) as stage:
        stage.app.props = PropsOffFor(
            left=Seconds(left), by="by the builder", void=void
        )
        stage.page._write_board()
        assert told in " ".join(text(stage, "board").split())


async def test_what_a_board_says_cannot_act_on_the_screen() -> None:
    hostile = replace(facts().identity, firmware="1\x1b[2J")
    async with home(LARGE, replace(facts(), identity=hostile)) as stage:
        assert "1\\u{1b}[2J" in text(stage, "board")
        assert "\x1b" not in stage.picture()
