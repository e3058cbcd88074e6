"""The list of what can be done here: what stands in it, what it does, where it stays shut."""

import asyncio
import subprocess
import sys
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest
from textual.screen import Screen

from benchlink.faces.screen.frame.help import HelpPage
from benchlink.faces.screen.frame.palette import offers_of
from benchlink.faces.screen.hands.hands_panel import HandsPanel
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.steps.guide import GuidePage
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.steps.opening import OpeningPage
from benchlink.faces.screen.threads.home_facts import HomeFacts
from benchlink.faces.screen.threads.news import Asked, AskedFor, Errand
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.wiring import Bench
from benchlink.units import Seconds
from tests.faces.screen.conftest import Begin
from tests.faces.screen.hands_bench import FakeHands
from tests.faces.screen.home_bench import facts
from tests.faces.screen.list_bench import LIST, listed
from tests.faces.screen.pictured import compare
from tests.faces.screen.screen_bench import LARGE, SMALL, FakeEntrance, Stage

ROOT: Final = Path(__file__).parents[3]


def names(stage: Stage) -> list[str]:
    return [offer.name for offer in offers_of(stage.app.screen)]


def shows(stage: Stage, page: type[Screen[None]]) -> bool:
    return isinstance(stage.app.screen, page)


async def chosen(stage: Stage, typed: str) -> None:
    """Pick the first of what is found, once typing has told."""
    await listed(stage, typed)
    await stage.press("enter")
    await asyncio.sleep(0)
    await stage.settle()


@asynccontextmanager
async def at_home(
    begin: Begin, shown: HomeFacts | None = None, size: tuple[int, int] = SMALL
) -> AsyncIterator[Stage]:
    entrance = FakeEntrance()
    entrance.shows = shown or facts()
    async with begin(entrance, size) as stage:
        await stage.press("enter")
        assert isinstance(stage.app.screen, HomePage)
        yield stage


async def test_the_first_page_offers_what_its_keys_do(begin: Begin) -> None:
    async with begin() as stage:
        assert names(stage) == ["open", "rehearse", "help", "quit"]
        await chosen(stage, "rehearse")
        assert stage.entrance.opened == ["rehearse"]


async def test_the_steps_page_offers_its_keys_and_every_step(begin: Begin) -> None:
    async with at_home(begin) as stage:
        offered = names(stage)
        keys, steps = offered[:9], offered[9:]
        assert keys == [
            *("this step", "values", "undo", "changed", "talk", "look again"),
            *("ports", "help", "quit"),
        ]
        assert steps == [s.state.step.duty.title for s in facts().steps]


@pytest.mark.parametrize(
    ("ways", "offered"),
    [((), []), (("resume",), ["resume"]), (("undo", "resume"), ["resume", "undo"])],
)
async def test_only_what_was_left_is_offered_to_be_finished(
    begin: Begin, ways: Sequence[str], offered: list[str]
) -> None:
    async with at_home(begin, replace(facts(), ways=frozenset(ways))) as stage:
        assert [n for n in names(stage) if n in {"resume", "undo"}] == offered


async def test_nothing_is_offered_to_begin_while_the_board_is_looked_at(
    begin: Begin,
) -> None:
    async with at_home(begin) as stage:
        stage.work.holds.add(Errand.JOB)
        await stage.press("r")
        assert names(stage) == ["values", "ports", "help", "quit"]


async def test_a_step_that_is_picked_begins_as_by_enter(begin: Begin) -> None:
    async with at_home(begin) as stage:
        begun: list[tuple[str, ...]] = []

        def does(_bench: Bench, _person: ScreenPerson, words: tuple[str, ...]) -> int:
            begun.append(words)
            return 0

        stage.entrance.does = does
        await chosen(stage, "spin")
        assert begun == [("spin",)]
        assert shows(stage, StationPage)
        assert names(stage) == ["help", "back"]
        await chosen(stage, "back")
        assert shows(stage, HomePage)


async def test_over_a_question_it_offers_no_answer_and_gives_the_line_back(
    begin: Begin,
) -> None:
    async with at_home(begin) as stage:
        stage.work.holds.add(Errand.STATION)
        await chosen(stage, "spin")
        stage.work.post(Asked(prompt="Type CLEAR: ", for_what=AskedFor.LINE))
        await stage.settle()
        assert names(stage) == ["end it", "help"]
        assert stage.app.screen.focused is not None
        await listed(stage)
        await stage.press("escape")
        assert stage.app.screen.focused is not None, "the line can be typed on"


@pytest.mark.parametrize("for_what", [AskedFor.KEYS, AskedFor.UNSEEN])
async def test_it_stays_shut_over_keys_and_over_a_line_typed_unseen(
    begin: Begin, for_what: AskedFor
) -> None:
    async with at_home(begin) as stage:
        stage.work.holds.add(Errand.STATION)
        stage.app.start_station("Spin check", ("spin",))
        await stage.settle()
        stage.work.post(Asked(prompt="Now: ", for_what=for_what))
        await stage.settle()
        await stage.press(LIST)
        assert isinstance(stage.app.screen, StationPage)
        assert "ctrl+p" not in stage.text("keys")


@pytest.mark.parametrize("key", [LIST, "f1"])
async def test_what_covers_a_station_goes_when_keys_are_listened_for(
    begin: Begin, key: str
) -> None:
    async with at_home(begin) as stage:
        stage.work.holds.add(Errand.STATION)
        stage.app.start_station("Spin check", ("spin",))
        await stage.settle()
        await stage.press(key)
        assert not shows(stage, StationPage)
        stage.work.post(Asked(prompt="Any key stops: ", for_what=AskedFor.KEYS))
        await stage.settle()
        assert shows(stage, StationPage)
        with stage.app._desks.person.keys("Any key stops: ") as keys:
            await stage.settle()
            await stage.press("x")
            assert "x" in keys.pressed(Seconds(0))


async def test_it_stays_shut_over_the_hands_and_over_itself(begin: Begin) -> None:
    async with at_home(begin) as stage:
        stage.entrance.hands = FakeHands()
        assert "hands" in names(stage)
        await listed(stage)
        await stage.press(LIST)
        assert len(stage.app.screen_stack) == 3
        await stage.press("escape")
        await chosen(stage, "hands")
        assert isinstance(stage.app.screen, HandsPanel)
        await stage.press(LIST)
        assert isinstance(stage.app.screen, HandsPanel)


async def test_brackets_of_a_board_are_shown_and_mean_nothing(begin: Begin) -> None:
    step, *others = facts().steps
    hostile = replace(
        step, state=replace(step.state, by="[@click=app.quit]x[/]\x1b[2J")
    )
    async with at_home(begin, replace(facts(), steps=(hostile, *others))) as stage:
        await listed(stage, "papers")
        assert "\x1b" not in stage.picture()
        assert "[@click=app.quit]x[/]" in stage.picture()


async def test_the_help_and_the_guide_have_their_ways_on(begin: Begin) -> None:
    async with begin() as stage:
        await stage.press("question_mark")
        assert shows(stage, HelpPage)
        assert names(stage) == ["back"]
        await chosen(stage, "back")
        assert shows(stage, OpeningPage)
        await stage.app.push_screen(GuidePage())
        await stage.settle()
        assert names(stage) == ["begin", "help", "quit"]


async def test_the_settings_offer_what_their_keys_do(at_board: Begin) -> None:
    async with at_board() as stage:
        assert {"search", "steps", "ports", "help", "quit"} < set(names(stage))
        await chosen(stage, "steps")
        assert shows(stage, HomePage)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_pictures(begin: Begin, size: tuple[int, int]) -> None:
    async with at_home(begin, size=size) as stage:
        await listed(stage)
        compare(stage.picture(), f"list_{size[0]}x{size[1]}")


def test_it_costs_nothing_before_it_is_asked_for() -> None:
    code = (
        "import sys, benchlink.faces.screen.program\n"
        "print(*(m for m in sys.modules if m.startswith('benchlink.faces.screen.')))"
    )
    told = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = {name.rpartition(".")[2] for name in told.stdout.split()}
    assert "opening" in loaded
    later = {"palette", "help", "marks", "news", "person", "board_desk", "stations"}
    assert not loaded & later
