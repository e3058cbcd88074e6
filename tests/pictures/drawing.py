"""A screen as an SVG picture that is the same everywhere, and the text in one."""

import html
import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from textual.app import App

WEB_FONT: Final = re.compile(r"\s*@font-face \{.*?\}", re.DOTALL)
FAMILY: Final = re.compile(r"font-family: [^;]*monospace")
OWN_NAMES: Final = re.compile(r"terminal-\d+")
"""Made of a checksum by the toolkit: they would change with every letter shown."""
NOTE: Final = re.compile(r"\s*<!--.*?-->", re.DOTALL)
BUTTONS: Final = re.compile(r'\s*<g transform="[^"]*">\s*(?:<circle [^>]*/>\s*)+</g>')
"""Those of a window, which a terminal need not have."""
PIECE: Final = re.compile(
    r'<text class="(?P<style>terminal-r\d+)" x="(?P<x>[\d.]+)" y="(?P<y>[\d.]+)"'
    r' textLength="[\d.]+" clip-path="[^"]*">(?P<text>.*?)</text>',
    re.DOTALL,
)
PIECE_KEPT: Final = re.compile(
    r'<text class="terminal-r\d+" x="[\d.]+" y="(?P<y>[\d.]+)"[^>]*>(?P<text>.*?)</text>'
)
"""The same as it is kept."""
CELL: Final = 12.2
"""How wide a character of the toolkit's pictures is, in their own unit."""
BLANK: Final = "\N{NO-BREAK SPACE}"


def drawn(app: "App[None]", title: str) -> str:
    """What the app shows; asks no server for a font, whoever looks at it."""
    svg = app.export_screenshot(title=title, simplify=True)
    for part in (NOTE, WEB_FONT, BUTTONS):
        svg = part.sub("", svg)
    svg = OWN_NAMES.sub("terminal", FAMILY.sub("font-family: monospace", svg))
    svg = PIECE.sub(_placed, svg)
    return "\n".join(filter(None, map(str.rstrip, svg.split("\n")))) + "\n"


def words_of(svg: str) -> str:
    """The text of a picture, line by line, without its colours and places."""
    lines: dict[float, list[str]] = {}
    for piece in PIECE_KEPT.finditer(svg):
        text = html.unescape(piece["text"]).replace(BLANK, " ")
        lines.setdefault(float(piece["y"]), []).append(text)
    return "\n".join(" ".join(lines[y]) for y in sorted(lines))


def _placed(piece: re.Match[str]) -> str:
    """Begin where the first letter stands: some viewers drop blanks before it."""
    text = html.unescape(piece["text"])
    words = text.strip()
    if not words:
        return ""
    before = len(text) - len(text.lstrip())
    x, long = float(piece["x"]) + before * CELL, len(words) * CELL
    shown = html.escape(words, quote=False).replace(" ", BLANK)
    return (
        f'<text class="{piece["style"]}" x="{x:.1f}" y="{piece["y"]}"'
        f' textLength="{long:.1f}">{shown}</text>\n'
    )
