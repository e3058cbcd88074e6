"""A board that went away and comes back: waited for in words, known again, or left alone."""

from collections.abc import Callable
from dataclasses import replace
from threading import Thread
from typing import final

import pytest

from benchlink.core.exchange import Command
from benchlink.errors import DeclinedError, NoPortError, PortLostError, WrongBoardError
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.steps.opening import OpeningPage
from benchlink.faces.screen.threads.entrance import Place
from benchlink.faces.screen.threads.news import Errand, Told
from benchlink.faces.screen.threads.return_wait import ReturnWait
from benchlink.faces.screen.values.values import ValuesPage
from benchlink.units import Seconds
from benchlink.workflows.session import Session
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import SECOND, FakeEntrance, Stage
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import meet_wader, virtual_board

LOST = PortLostError("/dev/ttyACM0 went away", hint="Check the cable.")
ELSEWHERE = "/dev/ttyACM7"


async def lose(stage: Stage, key: str = "r") -> None:
    """The cable comes out, and the next question finds that."""
    stage.entrance.board.trouble = LOST
    await stage.press(key)


def shown(stage: Stage) -> type:
    """The page that shows."""
    return type(stage.app.screen)


async def come_back(stage: Stage, port: str = ELSEWHERE) -> None:
    """It is in again, and the wait finds it."""
    stage.entrance.board.trouble = None
    stage.entrance.board.port = port
    stage.work.release()
    await stage.settle()


async def test_the_steps_wait_and_look_again_when_it_is_back(begin: Begin) -> None:
    async with begin() as stage:
        await stage.press("enter")
        stage.entrance.job_fails = LOST
        await lose(stage)
        notice = stage.text("notice")
        assert "BOARD GONE: /dev/ttyACM0 went away" in notice
        assert "Waiting for the same board, at whatever port" in notice
        assert stage.work.given[-1] is Errand.RETURN
        looked = stage.work.given.count(Errand.JOB)
        stage.entrance.job_fails = None
        await come_back(stage)
        assert "BOARD GONE" not in stage.picture()
        assert f"it is back at {ELSEWHERE}: the same board" in stage.text("says")
        assert f"port    {ELSEWHERE}" in stage.picture()
        assert stage.work.given.count(Errand.JOB) == looked + 1
        await stage.press("r")
        assert "it is back" not in stage.text("says")


async def test_the_values_wait_too_and_the_steps_look_again_later(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        assert shown(stage) is ValuesPage
        await lose(stage)
        assert "Waiting for the same board" in stage.text("notice")
        await stage.press("h")
        assert "BOARD GONE" in stage.picture()
        await stage.press("v")
        assert "PORT LOST" in stage.picture()
        await come_back(stage)
        assert stage.text("says").startswith(f"it is back at {ELSEWHERE}")
        assert "PORT LOST" not in stage.picture()
        assert stage.work.given.count(Errand.RETURN) == 1
        await stage.press("h")
        assert "BOARD GONE" not in stage.picture()


async def test_another_board_is_named_whole_and_waited_past(begin: Begin) -> None:
    async with begin() as stage:
        await stage.press("enter")
        stage.entrance.job_fails = LOST
        await lose(stage)
        named = "this was wader, number 1; now wader, number 2 answers. Only questions"
        stage.work.post(Told(sentence=named))
        await stage.settle()
        shown = " ".join(stage.picture().split())
        assert named in shown
        assert "Waiting for the same board" in shown


async def test_a_board_that_does_not_say_which_one_it_is_is_never_taken_back_silently(
    begin: Begin,
) -> None:
    entrance = FakeEntrance()
    entrance.nameless = True
    async with begin(entrance) as stage:
        await stage.press("enter")
        entrance.job_fails = LOST
        await lose(stage)
        assert "does not say which one it is" in stage.text("notice")
        assert "p, then open its port" in stage.text("notice")
        await stage.press("r")
        assert Errand.RETURN not in stage.work.given


@pytest.mark.parametrize("page", [HomePage, ValuesPage], ids=["steps", "values"])
async def test_the_list_of_ports_comes_at_once_and_the_wait_is_over(
    at_board: Begin, page: type
) -> None:
    async with at_board() as stage:
        await lose(stage)
        await stage.press(*(["h"] if page is HomePage else []))
        assert shown(stage) is page
        await stage.press("p")
        assert shown(stage) is OpeningPage
        await come_back(stage)
        assert shown(stage) is OpeningPage
        await stage.press("enter")
        assert shown(stage) is HomePage
        assert "BOARD GONE" not in stage.picture()


@pytest.mark.parametrize(
    ("found", "row"),
    [((SECOND, Place(title="it", detail="", url=ELSEWHERE)), 1), ((SECOND,), 1)],
    ids=["there", "gone"],
)
async def test_the_list_stands_on_the_port_that_was_open(
    begin: Begin, found: tuple[Place, ...], row: int
) -> None:
    """Where it is gone, on no port at all: Enter must not open another board."""
    async with begin() as stage:
        await stage.press("enter")
        stage.entrance.board.port = ELSEWHERE
        stage.entrance.found = found
        await stage.press("p")
        stage.app._opening.seen(found)
        await stage.settle()
        assert stage.sheet.cursor == row
        await stage.press("up", "up")
        stage.entrance.found = (*found, Place(title="new", detail="", url="new"))
        stage.app._opening.seen(stage.entrance.found)
        await stage.settle()
        assert stage.sheet.cursor == 0


@final
class AwayBoard:
    """Comes back when a test says so; every slice of a wait that is over is noted."""

    port, speed, epoch = ELSEWHERE, None, 1

    def __init__(self, session: Session, slices: list[str]) -> None:
        self._board = session.board
        self._slices = slices
        self.seen: list[str] = []

    def come_back(
        self,
        within: Seconds,
        waiting: Callable[[Seconds], None],
        ours: Callable[[], None],
    ) -> None:
        outcome = self._slices.pop(0)
        self.seen.append(outcome)
        if outcome == "in time":
            ours()
            return
        if outcome == "another":
            msg = "this was wader, number 1; now wader, number 2 answers"
            raise WrongBoardError(msg)
        if outcome == "nobody":
            raise NoPortError(outcome)
        while True:
            waiting(within)

    def ask(self, *given: object) -> object:
        return self._board.ask(*given)  # type: ignore[arg-type]  # passed on as it is

    def live(self, slot: str, command: Command) -> None:
        raise NotImplementedError

    def stop(self, command: Command) -> None:
        raise NotImplementedError


def away(*slices: str) -> tuple[ReturnWait, AwayBoard]:
    session = meet_wader(virtual_board())
    board = AwayBoard(session, list(slices))
    gone = replace(session, board=board)  # type: ignore[arg-type]  # what a wait asks
    return ReturnWait(gone, ScriptedPerson()), board


def test_a_wait_goes_on_past_its_time_and_past_another_board() -> None:
    wait, board = away("nobody", "another", "in time")
    assert wait.until_back() == ELSEWHERE
    assert board.seen == ["nobody", "another", "in time"]


def test_a_wait_is_begun_anew_at_once_and_ended_at_once() -> None:
    wait, board = away("a long one", "in time")
    ports: list[str] = []
    waiting = Thread(target=lambda: ports.append(wait.until_back()), daemon=True)
    waiting.start()
    wait.hurry()
    waiting.join(10.0)
    assert ports == [ELSEWHERE]
    assert board.seen[-1] == "in time"
    wait, _ = away("a long one")
    wait.end()
    with pytest.raises(DeclinedError):
        wait.until_back()
