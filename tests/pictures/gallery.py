"""The screens that are exported as pictures: each by its name, as it is drawn now."""

from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from contextlib import asynccontextmanager, chdir
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from benchlink.faces.screen.threads.home_facts import PropsOffFor, Volts
from benchlink.faces.screen.threads.news import AskedFor
from benchlink.units import Seconds
from benchlink.workflows.tilt_view import READ_KEYS
from tests.faces.screen.home_bench import facts, home
from tests.faces.screen.list_bench import listed
from tests.faces.screen.scene_bench import at_page
from tests.faces.screen.screen_bench import FakeEntrance, Stage, Stages, lw03
from tests.pictures.drawing import drawn
from tests.support.scenes import read, spin, tilt

FOLDER: Final = Path(__file__).parent
HOME_SIZE: Final = (120, 31)
STATION_SIZE: Final = (96, 24)
TITLE: Final = "benchlink"
VOLTS: Final = Volts(pack_v=15.92, rail_v=5.04)
PROPS: Final = PropsOffFor(left=Seconds(492.0), by="by the builder")
CLEAR: Final = "Stand behind the disc, never in its plane."


async def steps_of_the_job() -> str:
    """LW-03 half way through its job, the board moved since."""
    async with home(HOME_SIZE, facts()) as stage:
        stage.app.props = PROPS
        stage.page.take_volts(VOLTS)
        await stage.show(facts())
        return drawn(stage.app, TITLE)


async def tilt_within_tolerance() -> str:
    """The left tilt, read at the jig within half a degree."""
    async with at_page(size=STATION_SIZE) as station:
        await station.says("  3.6 deg forward", "  0.2 deg forward")
        seen = (read(1500.0, 3.6), read(1464.0, 0.2))
        await station.shows(tilt(*seen, keys=READ_KEYS))
        prompt = "The jig shows (7.5 aft; n to nudge; add `buzzes` if it hums): "
        await station.asks(prompt, AskedFor.LINE)
        await station.later(1.0)
        return drawn(station.app, TITLE)


async def what_can_be_done() -> str:
    """The list over the steps, with what a word of it has found."""
    entrance = FakeEntrance()
    entrance.shows = facts()
    async with staged(entrance) as stage:
        await stage.press("enter")
        await listed(stage, "tilt")
        return drawn(stage.app, TITLE)


async def values_marked() -> str:
    """A board beside what LW-03 should hold; one difference is to be left."""
    entrance = FakeEntrance()
    entrance.wants = lw03()
    async with staged(entrance) as stage:
        await stage.press("enter", "v", "1", "space")
        return drawn(stage.app, TITLE)


@asynccontextmanager
async def staged(entrance: FakeEntrance) -> AsyncIterator[Stage]:
    """The whole program, in a folder without copies of any board."""
    app, work = Stages(entrance).app()
    with TemporaryDirectory() as folder, chdir(folder):
        async with app.run_test(size=STATION_SIZE) as pilot:
            stage = Stage(app, entrance, work, pilot)
            await stage.settle()
            yield stage


async def spin_stopped() -> str:
    """The left motor before its run: stopped, and how it would be run."""
    prompt = "left at 8 %. Props off counts for 9 min 12 s more. Key: "
    async with (
        at_page("Spin check", STATION_SIZE) as station,
        station.listening(prompt),
    ):
        await station.says(CLEAR)
        await station.shows(replace(spin(), run_for=Seconds(0.5)))
        return drawn(station.app, TITLE)


GALLERY: Final[Mapping[str, Callable[[], Awaitable[str]]]] = {
    "steps_of_the_job": steps_of_the_job,
    "tilt_within_tolerance": tilt_within_tolerance,
    "spin_stopped": spin_stopped,
    "what_can_be_done": what_can_be_done,
    "values_marked": values_marked,
}


def file_of(name: str) -> Path:
    """Where a picture is kept."""
    return FOLDER / f"{name}.svg"
