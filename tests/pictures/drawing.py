"""A screen as an SVG picture that is the same everywhere, and the text in one."""

import html
import re
from typing import TYPE_CHECKING, Final

from textual.app import App

if TYPE_CHECKING:
    from textual.app import ReturnType

WEB_FONT: Final = re.compile(r"\s*@font-face \{.*?\}", re.DOTALL)
FAMILY: Final = re.compile(r"font-family: [^;]*?monospace")
OWN_NAMES: Final = re.compile(r"terminal-\d+")
"""Made of a checksum by the toolkit: they would change with every letter shown."""
NOTE: Final = re.compile(r"\s*<!--.*?-->", re.DOTALL)
LINE: Final = re.compile(
    r'<text class="terminal-matrix"[^>]* y="([\d.]+)"[^>]*>(.*?)</text>', re.DOTALL
)


def drawn(app: "App[ReturnType]", title: str) -> str:
    """What the app shows; asks no server for a font, whoever looks at it."""
    svg = app.export_screenshot(title=title, simplify=True)
    svg = WEB_FONT.sub("", NOTE.sub("", svg))
    svg = OWN_NAMES.sub("terminal", FAMILY.sub("font-family: monospace", svg))
    return "\n".join(line.rstrip() for line in svg.split("\n")).rstrip() + "\n"


def words_of(svg: str) -> str:
    """The text of a picture, line by line, without its colours and places."""
    lines: dict[float, list[str]] = {}
    for y, text in LINE.findall(svg):
        lines.setdefault(float(y), []).append(html.unescape(text))
    return "\n".join(" ".join("".join(lines[y]).split()) for y in sorted(lines))
