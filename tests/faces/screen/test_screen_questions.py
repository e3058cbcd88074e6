"""What is no station asks as well: a login, whose board this is."""

import asyncio
from collections.abc import Callable

from textual.screen import Screen

from benchlink.errors import DeclinedError
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.steps.opening import OpeningPage
from benchlink.faces.screen.threads.news import Errand, Failed
from benchlink.faces.screen.threads.person import ScreenPerson
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import FakeEntrance, Stage

WORD = "The word for the bench: "


def shows(stage: Stage, page: type[Screen[None]]) -> bool:
    return isinstance(stage.app.screen, page)


async def asked(
    stage: Stage, ask: Callable[[ScreenPerson], str]
) -> "asyncio.Task[str]":
    """Have the work ask on its thread, until its page stands there."""
    task = asyncio.create_task(asyncio.to_thread(ask, stage.app._desks.person))
    while not shows(stage, StationPage):
        await stage.settle()
    return task


def login(person: ScreenPerson) -> str:
    person.tell("This console wants a login.")
    return person.whispers(WORD)


async def test_a_board_that_asks_while_it_is_opened_gets_an_answer(
    begin: Begin,
) -> None:
    async with begin(FakeEntrance()) as stage:
        stage.work.holds = {Errand.OPEN}
        await stage.press("enter")
        typed = await asked(stage, login)
        picture = stage.picture()
        assert "This console wants a login." in picture
        assert WORD.strip() in picture
        await stage.press(*"reed", "enter")
        assert await typed == "reed"
        assert "reed" not in stage.picture()
        stage.work.release()
        await stage.settle()
        assert shows(stage, HomePage)
        await stage.press("p")
        assert shows(stage, OpeningPage)


async def test_where_it_comes_to_nothing_the_list_says_why(begin: Begin) -> None:
    async with begin(FakeEntrance()) as stage:
        stage.work.holds = {Errand.OPEN}
        await stage.press("enter")
        typed = await asked(stage, login)
        await stage.press("enter")
        assert await typed == ""
        error = DeclinedError("the login was not accepted", hint="Try again.")
        stage.work.post(Failed(errand=Errand.OPEN, error=error, bench=None))
        await stage.settle()
        assert shows(stage, OpeningPage)
        assert "the login was not accepted" in stage.picture()


async def test_ctrl_c_ends_what_asks_and_not_the_program(begin: Begin) -> None:
    def ended(person: ScreenPerson) -> str:
        try:
            return login(person)
        except KeyboardInterrupt:
            return "ended"

    async with begin(FakeEntrance()) as stage:
        stage.work.holds = {Errand.OPEN}
        await stage.press("enter")
        typed = await asked(stage, ended)
        await stage.press("ctrl+c")
        assert await typed == "ended"
        assert stage.app.is_running


async def test_a_look_at_the_steps_may_ask_whose_board_it_is(at_board: Begin) -> None:
    def whose(person: ScreenPerson) -> str:
        return str(person.agrees("Does this board sit in LW-03 from now on?"))

    async with at_board() as stage:
        await stage.press("h")
        stage.work.holds = {Errand.JOB}
        await stage.press("r")
        agreed = await asked(stage, whose)
        await stage.press(*"yes", "enter")
        assert await agreed == "True"
        stage.work.release()
        await stage.settle()
        assert shows(stage, HomePage)


async def test_a_question_stands_over_help(begin: Begin) -> None:
    async with begin(FakeEntrance()) as stage:
        stage.work.holds = {Errand.OPEN}
        await stage.press("enter", "question_mark")
        typed = await asked(stage, login)
        await stage.press("enter")
        await typed
        stage.work.release()
        await stage.settle()
        assert stage.app.bench is not None
        assert not any(isinstance(p, StationPage) for p in stage.app.screen_stack)
