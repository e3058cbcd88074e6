"""A station page alone, on a clock of its own, told its scenes by the test."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.app import App
from textual.reactive import Reactive

from benchlink.core.doors import Keys
from benchlink.core.scene import Scene
from benchlink.faces.screen.app import THEME
from benchlink.faces.screen.station.scene_box import SceneBox
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.threads.news import Asked, AskedFor, News, Staged, Told
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.units import Seconds
from tests.faces.screen.pictured import picture_of
from tests.faces.screen.screen_bench import SMALL

if TYPE_CHECKING:
    from textual.pilot import Pilot

ROOT = Path(__file__).parents[3]


@final
class Hand:
    """A clock that only the test moves."""

    def __init__(self) -> None:
        self.now = Seconds(100.0)

    def __call__(self) -> Seconds:
        return self.now

    def on(self, by: float) -> None:
        self.now = Seconds(self.now + by)


@final
class OnePage(App[None]):
    """Only the page."""

    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = str(
        ROOT / "benchlink/faces/screen/screen.tcss"
    )
    theme: Reactive[str] = Reactive(THEME)

    def __init__(self, page: StationPage) -> None:
        super().__init__()
        self.bells = 0
        self._page: Final = page

    def on_mount(self) -> None:
        self.push_screen(self._page)

    def bell(self) -> None:
        self.bells += 1


@final
class Station:
    """The page, and what reaches its workflow."""

    def __init__(self, title: str, size: tuple[int, int]) -> None:
        self.size = size
        self.clock = Hand()
        self.posted: list[News] = []
        self.person = ScreenPerson(self.posted.append, self.clock)
        self.page = StationPage(title, self.person)
        self.app = OnePage(self.page)
        self.pilot: Pilot[None]

    async def says(self, *sentences: str) -> None:
        for sentence in sentences:
            self.page.take(Told(sentence=sentence))
        await self.pilot.pause()

    async def shows(self, scene: Scene, after_s: float = 1.0) -> None:
        """The next picture, some time after the last."""
        self.clock.on(after_s)
        self.page.take(Staged(scene=scene))
        await self.pilot.pause()

    async def asks(self, prompt: str, for_what: AskedFor) -> None:
        self.page.take(Asked(prompt=prompt, for_what=for_what))
        await self.pilot.pause()

    async def later(self, by_s: float) -> None:
        """Time passes, and the page looks at the clock."""
        self.clock.on(by_s)
        self.page.query_one(SceneBox).redraw()
        await self.pilot.pause()

    @asynccontextmanager
    async def listening(self, prompt: str = "Key: ") -> AsyncIterator[Keys]:
        """The workflow waits for keys, and the page knows."""
        with self.person.keys(prompt) as keys:
            await self.asks(prompt, AskedFor.KEYS)
            yield keys
        await self.asks("", AskedFor.NOTHING)

    def picture(self) -> str:
        return picture_of(self.app)

    def scene(self) -> str:
        """What stands in the scene's place."""
        box = self.page.query_one(SceneBox)
        rows = self.picture().split("\n")
        return "\n".join(rows[box.region.y : box.region.bottom])


@asynccontextmanager
async def at_page(
    title: str = "Centre the left tilt", size: tuple[int, int] = SMALL
) -> AsyncIterator[Station]:
    """A station whose workflow is the test."""
    station = Station(title, size)
    async with station.app.run_test(size=size) as pilot:
        station.pilot = pilot
        await pilot.pause()
        yield station
