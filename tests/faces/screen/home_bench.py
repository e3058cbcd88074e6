"""The home page alone, on facts that a test gives it, and what it asks for."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path, PurePath
from typing import ClassVar, Final, final

from textual import events
from textual.app import App
from textual.pilot import Pilot
from textual.reactive import Reactive

import benchlink.faces.screen
from benchlink.core.bench_record import Work
from benchlink.core.doors import LinkHealth
from benchlink.core.identity import Readiness
from benchlink.core.job_facts import BoardNow
from benchlink.core.job_standing import (
    Standing,
    StepState,
    standings,
    whose_turn,
)
from benchlink.core.job_steps import Happening, Step
from benchlink.faces.screen.app import THEME
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.threads.home_facts import HomeFacts, JobStep, PropsOffFor
from tests.faces.screen.pictured import picture_of
from tests.faces.screen.screen_bench import CHARACTERS, CROSSINGS, SMALL
from tests.support.bench_records import WADER
from tests.support.job_bench import ALL_DONE, BOARD, happened, paper

STYLES = Path(benchlink.faces.screen.__file__).parent / "screen.tcss"
LATE = {s.value for s in (Step.SHAKE, Step.CORRECTIONS, Step.SIGN, Step.OUTDOORS)}
HALF_WAY = (
    *(r for r in ALL_DONE if r.work is not Work.SPIN and r.about not in LATE),
    happened(Happening.BOARD),
)
"""All but the last steps, and then the board was moved."""

CANNOT_WIGGLE = replace(
    BOARD, cannot={Step.WIGGLE: "its console has no way to drive an output"}
)


def facts(board: BoardNow = CANNOT_WIGGLE) -> HomeFacts:
    """LW-03 half way through its job."""
    records = tuple(r for r in HALF_WAY if r.work is not Work.OUTPUTS)
    states = standings(paper(records), board)
    turn = whose_turn(states)
    return HomeFacts(
        greeting="LW-03, as backed up on 1 March, except 2 values; 1 bench setting not"
        " put back; 6 steps open.",
        steps=tuple(_step(state) for state in states),
        turn=turn.step if turn else None,
        today=date(2026, 3, 4),
        identity=WADER,
        readiness=Readiness(armed=False),
        port="/dev/ttyACM0",
        speed=115_200,
        health=LinkHealth(sent_bytes=0, received_bytes=0, answers=41, damaged=0),
        folder="aircraft/LW-03",
        held=("level.self_levelling",),
        left=(
            (
                "BENCH SETTING MAY STILL BE SET: level.self_levelling (centring)."
                " `benchlink undo` puts the old value back."
            ),
        ),
        ways=frozenset({"undo"}),
    )


def _step(state: StepState) -> JobStep:
    by_hand = state.step.duty.by_hand or state.standing is Standing.NOT_HERE
    words = ("job", "done", state.step.value) if by_hand else state.step.duty.words
    return JobStep(state=state, words=words, by_hand=by_hand)


@final
class HomeApp(App[None]):
    """Nothing but the page; what it asks for is noted."""

    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = STYLES
    theme: Reactive[str] = Reactive(THEME)

    def __init__(self) -> None:
        super().__init__()
        self.animation_level = "none"
        self.props: PropsOffFor | None = None
        self.page: Final = HomePage(lambda: self.props)
        self.asked: list[object] = []

    def on_mount(self) -> None:
        self.push_screen(self.page)

    def on_home_page_look_wanted(self) -> None:
        self.asked.append("look")

    def on_home_page_volts_wanted(self) -> None:
        self.asked.append("volts")

    def on_home_page_values_wanted(self) -> None:
        self.asked.append("values")

    def on_home_page_ports_wanted(self) -> None:
        self.asked.append("ports")

    def on_home_page_station_wanted(self, message: HomePage.StationWanted) -> None:
        self.asked.append((message.title, *message.words))


@dataclass(frozen=True)
class Home:
    """The page on a screen."""

    app: HomeApp
    pilot: Pilot[None]

    @property
    def page(self) -> HomePage:
        return self.app.page

    async def press(self, *keys: str) -> None:
        for key in keys:
            letter = CHARACTERS.get(key, key if len(key) == 1 else None)
            self.app.post_message(events.Key(key, letter))
            await self.settle()

    async def settle(self) -> None:
        for _ in range(CROSSINGS):
            await self.pilot.pause(0)

    async def show(self, shown: HomeFacts) -> None:
        self.page.take_facts(shown)
        await self.settle()

    def picture(self) -> str:
        return picture_of(self.app)


@asynccontextmanager
async def home(
    size: tuple[int, int] = SMALL, shown: HomeFacts | None = None
) -> AsyncIterator[Home]:
    """The page with a job on it, or still looking where `shown` is None."""
    app = HomeApp()
    async with app.run_test(size=size) as pilot:
        stage = Home(app, pilot)
        await stage.settle()
        if shown:
            await stage.show(shown)
        yield stage
