"""The page before a rehearsal: what will be done, and what the hands are for."""

from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.binding import Binding, BindingType
from textual.widgets import Static

from benchlink.faces.screen.frame.keys import GUIDE_KEYS, foot
from benchlink.faces.screen.frame.page import Page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.widget import Widget

    from benchlink.faces.screen.frame.keys import Key

STEPS: Final = """\
  1  keep all that is on the board                        back up
  2  bring it to the baseline of its type                 apply
  3  see which output moves what                          outputs, wiggle
  4  centre both tilt arms on the jig                     centre
  5  find how far each arm may travel                     throw
  6  run each motor for half a second, props off          spin"""

GUIDE: Final = f"""\
A twin-motor tilt-rotor, fresh from the soldering iron, is simulated here: its board, \
both tilt servos, both motors, their power and the radio. Nothing can break. \
In about fifteen minutes:

{STEPS}

F2, on every page, is for your hands at the bench: connect the pack, turn the supply \
on, read the jig, move a horn by a tooth, pull the cable. Opened, it shows what moved \
since it was closed. With a real aircraft there is no F2: your own hands do it, \
and all else is as here.

Two mistakes were made when it was put together. The steps above find them; \
what they were is told when you leave."""


@final
class GuidePage(Page):
    """Read once, then out of the way; the board is being read meanwhile."""

    KEYS: ClassVar[tuple["Key", ...]] = GUIDE_KEYS
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,escape", "begin", show=False),
        Binding("question_mark", "help", show=False),
        Binding("q", "app.quit", show=False),
    ]

    def parts(self) -> "Iterator[Widget]":
        """Heading, text, keys."""
        yield Static("A rehearsal", id="title", markup=False)
        yield Static(GUIDE, id="guide", markup=False)
        yield Static(foot(GUIDE_KEYS), id="keys", markup=False)

    def action_begin(self) -> None:
        """Go on to the board; typed ahead of the hands panel, it closes nothing else."""
        if self.app.screen is self:
            self.app.pop_screen()
