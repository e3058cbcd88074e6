"""The vigil over the page and its terminal, and what others feel of it."""

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import final

import pytest
from textual import constants
from textual.app import App, ComposeResult
from textual.events import Resize
from textual.geometry import Size
from textual.widgets import Static

from benchlink.errors import SafetyRefusalError
from benchlink.faces.held import LOST
from benchlink.faces.screen.threads.news import News, Told
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.screen.threads.pulse import (
    LOOKS,
    LOST_AFTER,
    STUCK_AFTER,
    Listening,
    Pulse,
)
from benchlink.faces.screen.threads.vigil import MOST_WAITING, Vigil
from benchlink.faces.screen.way_out import HUNG_UP
from benchlink.units import Seconds
from tests.faces.screen.scene_bench import Hand

PICTURES = 6


@final
class Window:
    """A terminal as the test wants it."""

    def __init__(self) -> None:
        self.waiting = 0
        self.stalled = self.gone = self.takes_nothing = False
        self.given_up = 0

    def give_up(self) -> None:
        self.given_up += 1


@final
class OneWidget(App[None]):
    drawn = 0
    """Pictures."""

    def compose(self) -> ComposeResult:
        yield Static("one")

    def post_display_hook(self) -> None:
        self.drawn += 1


@final
class Watch:
    def __init__(self) -> None:
        self.app = OneWidget()
        self.window = Window()
        self.clock = Hand()
        self.pulse = Pulse(self.clock)
        self.left: list[int] = []
        self.vigil = Vigil(self.app, self.pulse, self.window, self.left.append)


@asynccontextmanager
async def drawing() -> AsyncIterator[Watch]:
    watch = Watch()
    async with watch.app.run_test() as pilot:
        await pilot.pause()
        yield watch


async def draws(watch: Watch) -> bool:
    """Whether something is drawn, within the time of a few pictures."""
    before = watch.app.drawn
    later = asyncio.Event()
    watch.app.set_timer(PICTURES / constants.MAX_FPS, later.set)
    await later.wait()
    return watch.app.drawn > before


async def test_nothing_is_drawn_while_much_waits_and_then_all_of_it_anew() -> None:
    async with drawing() as watch:
        watch.window.waiting = MOST_WAITING
        watch.vigil.look()
        watch.app.query_one(Static).update("two")
        assert await draws(watch)
        watch.window.waiting = MOST_WAITING + 1
        watch.vigil.look()
        watch.app.query_one(Static).update("three")
        assert not await draws(watch)
        watch.vigil.look()
        watch.window.waiting = 0
        watch.vigil.look()
        assert await draws(watch)
        watch.vigil.look()
        assert not await draws(watch)


async def test_a_window_of_another_size_meanwhile_is_drawn_in_the_end() -> None:
    async with drawing() as watch:
        watch.window.waiting = MOST_WAITING + 1
        watch.vigil.look()
        watch.app.post_message(Resize(Size(60, 20), Size(60, 20)))
        await draws(watch)
        watch.window.waiting = 0
        watch.vigil.look()
        assert await draws(watch)


async def test_a_terminal_that_is_gone_is_given_up_and_left_once() -> None:
    async with drawing() as watch:
        watch.vigil.look()
        assert not watch.left
        watch.window.gone = True
        watch.vigil.look()
        watch.vigil.look()
        assert watch.left == [HUNG_UP]
        assert watch.window.given_up == 1


@pytest.mark.parametrize("trouble", ["stalled", "gone"])
async def test_only_a_terminal_that_follows_is_felt_and_the_loop_all_the_same(
    trouble: str,
) -> None:
    async with drawing() as watch:
        watch.vigil.look()
        felt = watch.pulse.beats
        assert felt == 1
        setattr(watch.window, trouble, True)
        watch.clock.on(STUCK_AFTER + 1)
        assert watch.pulse.stuck
        watch.vigil.look()
        assert watch.pulse.beats == felt
        assert not watch.pulse.stuck


def test_it_takes_time_and_turns_of_the_one_who_waits_to_lose_somebody() -> None:
    clock = Hand()
    pulse = Pulse(clock)
    listening = Listening(pulse)
    assert not any(listening.lost() for _ in range(LOOKS + 1))
    clock.on(LOST_AFTER + 0.1)
    assert listening.lost()
    pulse.beat(follows=True)
    clock.on(LOST_AFTER + 0.1)
    assert not any(listening.lost() for _ in range(LOOKS))
    clock.on(LOST_AFTER + 0.1)
    assert listening.lost()
    stopped = Listening(pulse)
    clock.on(LOST_AFTER + 0.1)
    assert not any(stopped.lost() for _ in range(LOOKS - 1))
    assert stopped.lost()


@final
class Held:
    """Somebody who is asked while something is held; nobody beats the pulse by itself."""

    def __init__(self) -> None:
        self.clock = Hand()
        self.pulse = Pulse(self.clock)
        self.posted: list[News] = []
        self.person = ScreenPerson(self.posted.append, self.clock, self.pulse)
        self.times = 0

    def hold(self) -> None:
        self.times += 1
        self.clock.on(LOST_AFTER)

    def hold_and_beat(self) -> None:
        self.hold()
        self.pulse.beat(follows=True)
        if self.times > LOOKS + 1:
            self.person.answer("7.5 f")


@pytest.mark.parametrize("asks", [ScreenPerson.reads, ScreenPerson.types_while])
def test_nothing_is_held_for_a_page_that_does_not_follow(
    asks: Callable[[ScreenPerson, str, Callable[[], None]], str],
) -> None:
    held = Held()
    with pytest.raises(SafetyRefusalError, match="nobody could be reached"):
        asks(held.person, "The jig shows: ", held.hold)
    assert held.times == LOOKS - 1
    assert LOST in [news.sentence for news in held.posted if isinstance(news, Told)]


def test_it_is_held_as_long_as_the_page_follows() -> None:
    held = Held()
    assert held.person.reads("The jig shows: ", held.hold_and_beat) == "7.5 f"


def test_at_keys_nobody_is_there_when_the_page_does_not_follow() -> None:
    held = Held()
    with held.person.keys("Key: ") as keys:
        seen = []
        for _ in range(LOOKS):
            seen.append(keys.pressed(Seconds(0)))
            held.clock.on(LOST_AFTER)
    assert seen == [()] * (LOOKS - 1) + [("gone",)]
