"""Where a station shows its scene: the latest one, drawn no oftener than anyone can read.

Nothing is shown before the first scene. What draws it is loaded with it.
"""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Final, final

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from benchlink.units import Seconds

if TYPE_CHECKING:
    from textual.timer import Timer

    from benchlink.core.scene import Scene
    from benchlink.core.servo_fit import Reading
    from benchlink.faces.screen.station.scene_form import Line

DRAW_EVERY: Final = Seconds(0.05)
COUNT_EVERY: Final = Seconds(0.1)
"""How often a countdown is drawn; a tenth is what it shows."""
FLASH_FOR: Final = Seconds(0.8)
SAID_FOR: Final = Seconds(3.0)
"""How long a reading within the tolerance is told, whatever comes after it."""


@final
class SceneBox(Widget):
    """Draws scenes; decides nothing and waits for nobody."""

    def __init__(
        self,
        clock: Callable[[], Seconds] = lambda: Seconds(time.monotonic()),
        *,
        id: str,  # noqa: A002 - textual's word
    ) -> None:
        super().__init__(id=id)
        self._clock: Final = clock
        self.scene: Scene | None = None
        """The latest."""
        self.drawn = 0
        """How often one was drawn."""
        self._said_at = Seconds(0.0)
        self._drawn_at = Seconds(float("-inf"))
        self._waiting: Timer | None = None
        self._lines: list[Line] = []
        self._counts = False
        """Whether what is drawn changes with time alone."""
        self._praised: Reading | None = None
        """The last reading within its tolerance; each rings once."""
        self._praised_at = Seconds(float("-inf"))

    def on_mount(self) -> None:
        """Countdowns go on between two scenes."""
        self.set_interval(COUNT_EVERY, self._count)

    def show_scene(self, scene: "Scene") -> None:
        """Draw it soon; one that comes before that takes its place."""
        self.scene, self._said_at = scene, self._clock()
        self._praise(scene)
        wait = self._drawn_at + DRAW_EVERY - self._clock()
        if wait <= 0:
            self.redraw()
        elif self._waiting is None:
            self._waiting = self.set_timer(wait, self.redraw)

    def take_away(self) -> None:
        """The work is over; a motor that may still turn stays on the screen."""
        if self.scene is not None and self.scene.at_rest:
            self.scene = None
            self.redraw()

    def redraw(self) -> None:
        """Work the lines out for the window there is now, and paint those that changed."""
        if self._waiting is not None:
            self._waiting.stop()
            self._waiting = None
        self._drawn_at = self._clock()
        self.drawn += 1
        before, self._lines = self._lines, self._worked_out()
        self.set_class(bool(self._lines), "-shown")
        if len(before) != len(self._lines):
            self.styles.height = len(self._lines)
            self.refresh(layout=True)
            return
        for y, (old, new) in enumerate(zip(before, self._lines, strict=True)):
            if old != new:
                self.refresh(Region(0, y, self.size.width, 1))

    def render_line(self, y: int) -> Strip:
        """One line of the scene."""
        if y >= len(self._lines):
            return Strip.blank(self.size.width, self.rich_style)
        segments = [Segment(text, Style.parse(style)) for text, style in self._lines[y]]
        strip = Strip(segments).adjust_cell_length(self.size.width)
        return strip.apply_style(self.rich_style)

    def _worked_out(self) -> "list[Line]":
        from benchlink.core.scene import SpinScene, TiltScene  # noqa: PLC0415 - first paint
        from benchlink.faces.screen.station.scene_form import form_for  # noqa: PLC0415
        from benchlink.faces.screen.station.spin_scene import spin_lines  # noqa: PLC0415
        from benchlink.faces.screen.station.tilt_scene import tilt_lines  # noqa: PLC0415

        columns, lines = self.app.size
        width, form = max(0, columns - 2), form_for(columns, lines)
        now = self._clock()
        match self.scene:
            case TiltScene() as scene:
                since = now - self._praised_at
                told = since < SAID_FOR and scene.read is self._praised
                within = scene.within or told
                self._counts = told
                flash = since < FLASH_FOR
                return tilt_lines(scene, width, form, within=within, flash=flash)
            case SpinScene() as scene:
                self._counts = True
                return spin_lines(scene, width, form, Seconds(now - self._said_at))
            case _:
                self._counts = False
                return []

    def _praise(self, scene: "Scene") -> None:
        """Ring once for each reading that is within its tolerance."""
        if scene.praises is None or scene.praises is self._praised:
            return
        self._praised, self._praised_at = scene.praises, self._clock()
        self.app.bell()

    def _count(self) -> None:
        if self._counts and self._waiting is None:
            self.redraw()
