"""Help wherever one is, a mouse that harms nothing, room that is used where there is room."""

from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from typing import Final

import pytest
from rich.style import Style
from textual import events
from textual.screen import Screen

from benchlink.faces.screen.frame.help import HelpPage
from benchlink.faces.screen.hands.hands_panel import HandsPanel
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.steps.guide import GuidePage
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.steps.opening import OpeningPage
from benchlink.faces.screen.threads.home_facts import Volts
from benchlink.faces.screen.threads.news import Asked, AskedFor, Errand
from benchlink.faces.screen.values.values import ValuesPage
from tests.faces.screen.conftest import Begin
from tests.faces.screen.hands_bench import FakeHands
from tests.faces.screen.home_bench import facts, home
from tests.faces.screen.pictured import compare, fixed_colours
from tests.faces.screen.scene_bench import at_page
from tests.faces.screen.screen_bench import SMALL, FakeEntrance, Stage
from tests.support.scenes import spin

HUGE: Final = (200, 60)
TINY: Final = (30, 8)
PAGES: Final[Mapping[str, type[Screen[None]]]] = {
    "opening": OpeningPage,
    "guide": GuidePage,
    "home": HomePage,
    "values": ValuesPage,
    "station": StationPage,
    "hands": HandsPanel,
}
WAYS_THERE: Final[Mapping[str, tuple[str, ...]]] = {
    "opening": (),
    "guide": ("enter",),
    "home": ("enter", "enter"),
    "values": ("enter", "enter", "v"),
    "station": ("enter", "enter"),
    "hands": ("enter", "enter", "f2"),
}


@asynccontextmanager
async def at(begin: Begin, place: str) -> AsyncIterator[Stage]:
    """The screen of a rehearsal, at one of its pages."""
    entrance = FakeEntrance()
    entrance.hands = FakeHands()
    async with begin(entrance) as stage:
        stage.work.holds.add(Errand.STATION)
        await stage.press(*WAYS_THERE[place])
        if place == "station":
            stage.app.start_station("Spin check", ("spin",))
            await stage.settle()
        assert isinstance(stage.app.screen, PAGES[place])
        yield stage


def top(stage: Stage) -> Screen[object]:
    return stage.app.screen


@pytest.mark.parametrize("size", [SMALL, TINY])
@pytest.mark.parametrize("place", PAGES)
async def test_help_comes_on_every_page_in_every_window_and_goes_by_the_same_key(
    begin: Begin, place: str, size: tuple[int, int]
) -> None:
    async with at(begin, place) as stage:
        below = top(stage)
        await stage.pilot.resize_terminal(*size)
        await stage.settle()
        await stage.press("f1")
        assert isinstance(top(stage), HelpPage)
        assert "Nothing is written and" in stage.picture()
        await stage.press("f1")
        assert top(stage) is below


@pytest.mark.parametrize("place", ["opening", "guide", "home", "values", "hands"])
async def test_a_question_mark_asks_for_help_where_nothing_is_typed(
    begin: Begin, place: str
) -> None:
    async with at(begin, place) as stage:
        await stage.press("question_mark")
        assert isinstance(top(stage), HelpPage)


@pytest.mark.parametrize("key", ["question_mark", "f1", "escape", "q", "enter"])
async def test_whatever_people_try_closes_the_help(begin: Begin, key: str) -> None:
    async with begin() as stage:
        await stage.press("question_mark", key)
        assert not isinstance(stage.app.screen, HelpPage)
        assert stage.app.is_running


async def test_narrow_help_breaks_its_lines_and_loses_no_word(begin: Begin) -> None:
    async with begin(size=(24, 40)) as stage:
        await stage.press("f1")
        shown = " ".join(stage.picture().split())
        assert "moves before you have typed that it may." in shown
        assert "rehearse on a simulated aircraft: no hardware, no risk" in shown


async def test_clicks_harm_nothing_where_keys_are_listened_for(
    begin: Begin,
) -> None:
    async with at(begin, "station") as stage:
        stage.work.post(Asked(prompt="Key: ", for_what=AskedFor.KEYS))
        await stage.settle()
        before = stage.picture()
        for offset in ((5, 1), (40, 12), (5, 23)):
            await stage.pilot.click(offset=offset)
        assert stage.picture() == before
        assert isinstance(top(stage), StationPage)


async def test_a_click_picks_nothing_and_the_wheel_scrolls(begin: Begin) -> None:
    async with at(begin, "values") as stage:
        cursor, first = stage.sheet.cursor, stage.sheet.scroll_y
        await stage.pilot.click(stage.sheet, offset=(5, 3))
        assert stage.sheet.cursor == cursor
        x, y = stage.sheet.region.x + 5, stage.sheet.region.y + 3
        wheel = events.MouseScrollDown(
            *(stage.sheet, x, y, 0, 1, 0), shift=False, meta=False, ctrl=False
        )
        stage.sheet.post_message(wheel)
        while stage.sheet.scroll_y == first:
            await stage.pilot.pause(0)
        assert stage.sheet.scroll_y > first
        assert stage.sheet.cursor == cursor


def test_a_fixed_colour_would_be_seen() -> None:
    assert fixed_colours(Style.parse("#102030 on red")) != []
    assert fixed_colours(Style.parse("bold magenta on default")) == []


async def test_the_steps_with_all_the_room_there_can_be() -> None:
    async with home(HUGE, facts()) as stage:
        stage.page.take_volts(Volts(pack_v=15.92, rail_v=5.04))
        await stage.settle()
        compare(stage.picture(), "home_200x60")


async def test_a_change_with_all_the_room_there_can_be() -> None:
    async with at_page("Apply", HUGE) as station:
        await station.says(
            "Lapwing baseline on wader 44CB-9325: 2 values differ.",
            "  tilt.left.centre_us   1500 -> 1512   measured on the bench",
            "  motor.left.idle_pct      5 -> 6      from the baseline",
            "This can move something. Props off; pack out, or hands clear of the arms:",
            "  tilt.left.centre_us: may move a servo",
            "  the restart: arms may jump",
        )
        await station.asks("Type `hands clear` once it is so: ", AskedFor.LINE)
        compare(station.picture(), "apply_200x60")


async def test_a_motor_with_all_the_room_there_can_be() -> None:
    prompt = "left at 8 %. Props off counts for 9 min 12 s more. Key: "
    async with at_page("Spin check", HUGE) as station, station.listening(prompt):
        await station.shows(spin())
        compare(station.picture(), "spin_ready_200x60")
