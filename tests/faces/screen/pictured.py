"""What an app shows as plain text, and that it shows it in the terminal's own colours.

Every picture of the tests is taken here, so whatever state is looked at suits light and dark
terminals alike: a fixed colour would suit one of them.
"""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rich.style import Style
    from textual.app import App

PICTURES: Final = Path(__file__).parent / "pictures"
RENEW: Final = os.environ.get("BENCHLINK_RENEW_PICTURES") == "1"


def picture_of(app: "App[None]") -> str:
    """The lines that show, without the blanks at their ends."""
    lines = app.screen._compositor.render_strips()
    fixed = {
        (segment.text, colour)
        for line in lines
        for segment in line
        for colour in fixed_colours(segment.style)
    }
    assert not fixed, "colours that are not the terminal's own"
    rows = ("".join(segment.text for segment in line).rstrip() for line in lines)
    return "\n".join(rows) + "\n"


def fixed_colours(style: "Style | None") -> list[str]:
    """Those that look the same on every terminal."""
    colours = (style.color, style.bgcolor) if style else ()
    return [str(c.triplet) for c in colours if c is not None and c.triplet is not None]


def compare(picture: str, name: str) -> None:
    """Hold a picture against the kept one, or keep it anew."""
    file = PICTURES / f"{name}.txt"
    if RENEW:
        file.write_text(picture, encoding="utf-8")
    assert picture == file.read_text(encoding="utf-8")
