"""What stands on a station's page while its work goes on: lines, progress and the scene."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest

from benchlink.core.advance import Advance, Amount
from benchlink.core.scene import MotorState
from benchlink.faces.screen.station.said_log import MOST, SaidLog
from benchlink.faces.screen.station.scene_box import SceneBox
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.threads.news import (
    Asked,
    AskedFor,
    Errand,
    News,
    Progressed,
    Resulted,
    Showed,
    Staged,
    Told,
)
from benchlink.units import Seconds
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import SMALL, Stage
from tests.support.scenes import spin, tilt

NARROW = (60, 24)
LONG = (
    "Proof, left: nothing of ours drives the arm now. Transmitter on, sticks and trims"
    " centred, aircraft level."
)
WRITING = "writing   12 of 40 settings, 310 of 870 bytes, about 3 s left"


@asynccontextmanager
async def at_work(
    at_board: Begin, size: tuple[int, int] = SMALL
) -> AsyncIterator[Stage]:
    async with at_board(None, size) as stage:
        stage.work.holds = {Errand.STATION}
        stage.app.start_station("Centre the tilts", ("centre",))
        await stage.settle()
        assert isinstance(stage.app.screen, StationPage)
        yield stage


async def say(stage: Stage, *news: News) -> None:
    for one in news:
        stage.work.post(one)
    await stage.settle()


def words(stage: Stage) -> str:
    return " ".join(stage.picture().split())


@pytest.mark.parametrize("for_what", [AskedFor.LINE, AskedFor.KEYS])
async def test_progress_goes_away_when_something_is_asked(
    at_board: Begin, for_what: AskedFor
) -> None:
    async with at_work(at_board) as stage:
        await say(stage, Progressed(line=WRITING))
        assert WRITING in stage.picture()
        await say(stage, Asked(prompt="Go on? ", for_what=for_what))
        assert "writing" not in stage.picture()


async def test_progress_goes_away_when_its_step_is_over(at_board: Begin) -> None:
    async with at_work(at_board) as stage:
        person = stage.app._desks.person
        person.clock = lambda: Seconds(5.0)  # type: ignore[misc]  # a clock of its own
        person.progress(Advance(what="reading back", size=Amount(done=8_412)))
        await stage.settle()
        assert "reading back   8,412 bytes" in stage.picture()
        person.done()
        await stage.settle()
        assert "reading back" not in stage.picture()


async def test_a_narrow_window_wraps_all_that_is_said(at_board: Begin) -> None:
    async with at_work(at_board, NARROW) as stage:
        await say(stage, Told(sentence=LONG), Progressed(line=WRITING))
        assert LONG in words(stage)
        assert WRITING.replace("   ", " ") in words(stage)
        await say(
            stage,
            Asked(prompt=LONG, for_what=AskedFor.KEYS),
            Showed(text=f"keys: {LONG}"[:110]),
        )
        assert words(stage).count("Transmitter on, sticks and") == 3


async def test_what_was_said_is_wrapped_anew_when_the_window_changes(
    at_board: Begin,
) -> None:
    async with at_work(at_board) as stage:
        await say(stage, Told(sentence=LONG), Resulted(line="one\ntwo"))
        await stage.pilot.resize_terminal(*NARROW)
        await stage.settle()
        assert LONG in words(stage)
        assert words(stage).count("one two") == 1
        await stage.pilot.resize_terminal(*SMALL)
        await stage.settle()
        assert LONG in words(stage)
        await say(stage, Told(sentence="and on"))
        assert words(stage).count("one two and on") == 1


async def test_a_long_log_is_wrapped_bit_by_bit_and_stays_in_its_order(
    at_board: Begin,
) -> None:
    async with at_work(at_board) as stage:
        many = 350
        await say(stage, *(Told(sentence=f"line {n}") for n in range(many)))
        await stage.pilot.resize_terminal(*NARROW)
        await say(stage, Told(sentence="the last one"))
        log = stage.app.screen.query_one(SaidLog)
        while len(log.lines) <= many:
            await stage.pilot.pause(0.01)
        said = [line.text.strip() for line in log.lines]
        assert said == [*(f"line {n}" for n in range(many)), "the last one"]
        assert many < MOST


async def test_a_scene_goes_when_nothing_is_driven_any_more(at_board: Begin) -> None:
    async with at_work(at_board) as stage:
        box = stage.app.screen.query_one(SceneBox)
        await say(stage, Staged(scene=tilt(at=1500.0)))
        assert box.scene is not None
        await say(stage, Staged(scene=None))
        assert box.scene is None


async def test_a_motor_that_may_still_turn_stays_in_the_picture(
    at_board: Begin,
) -> None:
    async with at_work(at_board) as stage:
        box = stage.app.screen.query_one(SceneBox)
        turning = spin(MotorState.NOT_KNOWN)
        await say(stage, Staged(scene=turning), Staged(scene=None))
        assert box.scene is turning


async def test_the_last_word_stays_in_sight_when_the_scene_takes_lines_away(
    at_board: Begin,
) -> None:
    async with at_work(at_board) as stage:
        await say(stage, *(Told(sentence=f"word {n}") for n in range(40)))
        await say(stage, Told(sentence="The arm moves now: hands clear."))
        await say(stage, Staged(scene=tilt()))
        assert "The arm moves now: hands clear." in stage.picture()
        await say(stage, Asked(prompt=LONG + LONG, for_what=AskedFor.LINE))
        assert "The arm moves now: hands clear." in stage.picture()


async def test_whoever_looks_back_is_not_pulled_away_by_a_scene(
    at_board: Begin,
) -> None:
    async with at_work(at_board) as stage:
        await say(stage, *(Told(sentence=f"word {n}") for n in range(40)))
        await stage.press("pageup")
        await say(stage, Staged(scene=tilt()))
        assert "word 39" not in stage.picture()
        await say(stage, Told(sentence="The arm moves now: hands clear."))
        assert "The arm moves now: hands clear." in stage.picture()
