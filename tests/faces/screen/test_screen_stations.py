"""Stations on the screen: a workflow that says, asks and listens, on its own thread."""

import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager

import pytest
from textual.pilot import Pilot

from benchlink.errors import RigError
from benchlink.faces.screen.app import BenchApp
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.threads.mailbox import Mailbox
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.screen.threads.work import WorkThread
from benchlink.faces.wiring import Bench
from benchlink.units import Seconds
from tests.faces.screen.screen_bench import SMALL, FakeEntrance

WITHIN_S = 10.0
Work = Callable[[Bench, ScreenPerson, tuple[str, ...]], int]


class Desk:
    """An app whose station runs on a real thread."""

    def __init__(
        self, app: BenchApp, entrance: FakeEntrance, pilot: Pilot[None]
    ) -> None:
        self.app = app
        self.entrance = entrance
        self.pilot = pilot

    async def until(self, met: Callable[[], bool]) -> None:
        """Wait for it; the screen goes on meanwhile."""
        by = time.monotonic() + WITHIN_S
        while not met():
            assert time.monotonic() < by, self.picture()
            await self.pilot.pause(0.01)

    async def shows(self, text: str) -> None:
        """Wait until it stands on the screen."""
        await self.until(lambda: text in self.picture())

    def picture(self) -> str:
        strips = self.app.screen._compositor.render_strips()
        return "\n".join("".join(s.text for s in strip) for strip in strips)

    async def type(self, text: str) -> None:
        await self.pilot.press(*text, "enter")


@asynccontextmanager
async def at_station(does: Work, size: tuple[int, int] = SMALL) -> AsyncIterator[Desk]:
    entrance = FakeEntrance()
    entrance.does = does
    mailbox = Mailbox()
    work = WorkThread(mailbox.post)
    app = BenchApp(entrance, mailbox, work, let_go=lambda job: job())
    work.start()
    async with app.run_test(size=size) as pilot:
        desk = Desk(app, entrance, pilot)
        await desk.shows("Which board?")
        await pilot.press("enter")
        await desk.until(lambda: app.bench is not None)
        app.start_station("Centre the left tilt", ("centre", "left"))
        yield desk
    app.abandon()
    work.finish(Seconds(WITHIN_S))


async def test_what_is_said_and_asked_stands_there_and_is_answered() -> None:
    heard: list[str] = []

    def does(_: Bench, person: ScreenPerson, words: tuple[str, ...]) -> int:
        person.tell(f"for {' '.join(words)}")
        heard.append(person.types("Type `hands clear` to go on:"))
        person.result("Done: one value.")
        return 0

    async with at_station(does) as desk:
        await desk.shows("Type `hands clear`")
        assert "for centre left" in desk.picture()
        await desk.type("hands clear")
        await desk.shows("Done.")
        assert heard == ["hands clear"]
        assert "Done: one value." in desk.picture()


async def test_what_was_typed_before_answers_nothing() -> None:
    heard: list[str] = []

    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        person.answer("typed ahead")
        heard.append(person.types("Now?"))
        return 0

    async with at_station(does) as desk:
        await desk.shows("Now?")
        await desk.type("now")
        await desk.shows("Done.")
        assert heard == ["now"]


async def test_keys_reach_the_workflow_as_words() -> None:
    heard: list[str] = []

    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        with person.keys("nudge") as keys:
            while "enter" not in heard:
                heard.extend(keys.pressed(Seconds(5.0)))
                keys.show(f"{len(heard)} keys")
        return 0

    async with at_station(does) as desk:
        await desk.shows("nudge")
        await desk.pilot.press("up", "right", "7", "f5", "enter")
        await desk.shows("Done.")
        assert heard == ["up", "right", "7", "other", "enter"]


@pytest.mark.parametrize("key", ["ctrl+p", "f2"])
async def test_nothing_opens_over_a_station_that_listens_for_keys(key: str) -> None:
    heard: list[str] = []

    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        with person.keys("space runs it") as keys:
            heard.extend(keys.pressed(Seconds(5.0)))
        return 0

    async with at_station(does) as desk:
        await desk.shows("space runs it")
        await desk.pilot.press(key)
        assert isinstance(desk.app.screen, StationPage)
        await desk.shows("Done.")
        assert heard == ["other"]


async def test_while_a_line_is_asked_for_what_is_held_is_looked_after() -> None:
    held: list[int] = []

    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        person.reads("The jig shows:", lambda: held.append(1))
        return 0

    async with at_station(does) as desk:
        await desk.until(lambda: len(held) > 1)
        await desk.type("7.5 aft")
        await desk.shows("Done.")


async def test_ctrl_c_ends_it_at_its_next_word_and_puts_back() -> None:
    put_back: list[str] = []

    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        try:
            person.types("Go on?")
        finally:
            put_back.append("servo")
        return 0

    async with at_station(does) as desk:
        await desk.shows("Go on?")
        await desk.pilot.press("ctrl+c")
        await desk.shows("it was ended before it was through")
        assert put_back == ["servo"]
        await desk.pilot.press("enter")
        await desk.until(lambda: not isinstance(desk.app.screen, StationPage))


async def test_an_interrupt_after_the_last_word_ends_nothing_that_comes_later() -> None:
    persons: list[ScreenPerson] = []

    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        persons.append(person)
        person.interrupt()
        return 0

    async with at_station(does) as desk:
        await desk.until(lambda: bool(persons))
        await desk.shows("Done.")
        await desk.pilot.press("enter")
        await desk.until(lambda: not isinstance(desk.app.screen, StationPage))
        persons[0].pause(Seconds(0))


async def test_an_error_says_what_is_safe_now() -> None:
    def does(_: Bench, __: ScreenPerson, ___: tuple[str, ...]) -> int:
        msg = "something holds the arm"
        raise RigError(msg, hint="Nothing was kept.", details=("at 12 deg",))

    async with at_station(does) as desk:
        await desk.shows("something holds the arm")
        assert "Nothing was kept." in desk.picture()
        assert "at 12 deg" in desk.picture()


async def test_a_secret_does_not_show() -> None:
    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        return 0 if person.whispers("Word:") == "reed" else 2

    async with at_station(does) as desk:
        await desk.shows("Word:")
        await desk.pilot.press(*"reed")
        assert "reed" not in desk.picture()
        await desk.pilot.press("enter")
        await desk.shows("Done.")


async def test_leaving_ends_the_work_first_and_then_lets_go() -> None:
    order: list[str] = []

    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        try:
            person.types("Go on?")
        finally:
            order.append("put back")
        return 0

    async with at_station(does) as desk:
        desk.entrance.when_closed = lambda: order.append("let go")
        await desk.shows("Go on?")
        await desk.pilot.press("ctrl+q")
        await desk.until(lambda: len(order) == 2)
        assert order == ["put back", "let go"]


@pytest.mark.parametrize("text", ["\x1b[2J gone", "a" * 9000])
async def test_what_is_said_cannot_damage_the_screen(text: str) -> None:
    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        person.tell(text)
        person.types("Still there?")
        return 0

    async with at_station(does) as desk:
        await desk.shows("Still there?")
        assert "\x1b" not in desk.picture()
        await desk.type("")
        await desk.shows("Done.")
