"""One tilt arm as lines: large figures, the horn on a line, the keys."""

from typing import TYPE_CHECKING, Final

from benchlink.core.angles import SHOWN_DIGITS, way_of
from benchlink.core.servo_part import Turns
from benchlink.faces.screen.frame.legend import LEGEND
from benchlink.faces.screen.station.horn_gauge import gauge
from benchlink.faces.screen.station.scene_form import (
    BOLD,
    DIM,
    FRAME,
    KEY_GAP,
    LOUD,
    Figure,
    Form,
    Frame,
    figure_lines,
    figure_words,
    framed,
    head,
    key_lines,
    wrapped,
)

if TYPE_CHECKING:
    from benchlink.core.scene import TiltScene
    from benchlink.faces.screen.station.scene_form import Line

NONE: Final = "--"
"""A figure that nobody knows yet."""

WITHIN: Final = Frame(left="== ", right=" ==", style=BOLD)
FLASH: Final = Frame(left="== ", right=" ==", style=LOUD)
OPEN: Final = Frame()


def tilt_lines(
    scene: "TiltScene", width: int, form: Form, *, within: bool, flash: bool
) -> "list[Line]":
    """The scene in at most as many lines as the form allows.

    `within` is said longer than it lasts: a reading that is right is soon followed by
    the next move.
    """
    inner = width - 2 * FRAME
    frame = FLASH if flash else WITHIN if within else OPEN
    state = ""
    if within:
        state = f"== WITHIN {scene.tolerance_deg:g} deg =="
    top = head(
        f"{scene.side.value.upper()} TILT: {scene.asks}",
        state,
        inner,
        LOUD if flash else BOLD,
    )
    arm, scale = gauge(scene, inner)
    horn: list[Line] = [[(arm, BOLD)], [(scale, "")]]
    keys = key_lines(scene.keys, inner)
    figures = _figures(scene)
    if form is Form.LOW:
        lines = [top, [(figure_words((*figures[:2], figures[3])), BOLD)], *horn, *keys]
        return framed(lines[: form.value], width, frame)
    large = figure_lines(figures, inner, form)
    if form is Form.USUAL:
        above = [top, *large, *horn]
        facts = _facts(scene, inner)[: form.value - len(above) - len(keys)]
        return framed([*above, *facts, *keys][: form.value], width, frame)
    blank: Line = []
    legend = wrapped((f"{mark} {what}" for mark, what in LEGEND), KEY_GAP, inner, DIM)
    lines = [top, blank, *large, blank, *horn, *legend, blank]
    return framed(
        [*lines, *_facts(scene, inner), blank, *keys][: form.value], width, frame
    )


def _figures(scene: "TiltScene") -> tuple[Figure, ...]:
    pulse = NONE if scene.pulse_us is None else f"{scene.pulse_us:.0f}"
    read = None if scene.read is None else scene.read.angle_deg
    next_us, next_caption = NONE, "us, next"
    if scene.next_us is not None:
        next_us = f"{scene.next_us.nearest:.0f}"
        if doubt := round(scene.next_us.half_width_us):
            next_caption = f"us, next, +/-{doubt}"
    return (
        Figure(text=pulse, caption="us, pulse"),
        Figure(text=_size(read), caption=f"deg{_way(read)}, jig"),
        Figure(
            text=_size(scene.wanted_deg),
            caption=f"deg{_way(scene.wanted_deg)}, wanted",
            live=False,
        ),
        Figure(text=next_us, caption=next_caption, live=False),
    )


def _size(angle_deg: float | None) -> str:
    return NONE if angle_deg is None else f"{abs(angle_deg):.{SHOWN_DIGITS}f}"


def _way(angle_deg: float | None) -> str:
    """The word of an angle; none where nobody knows it."""
    if angle_deg is None:
        return ""
    if float(_size(angle_deg)) == 0:
        return " UPRIGHT"
    return f" {way_of(angle_deg).value.upper()}"


def _facts(scene: "TiltScene", width: int) -> "list[Line]":
    """What the readings say so far, the most telling first."""
    facts = [f"end {end.way.value.upper()} {end.pulse_us:.0f} us" for end in scene.ends]
    if scene.readings:
        said = "" if scene.stands is None else f": {scene.stands}"
        facts.append(f"readings {scene.readings}{said}")
    if scene.play is not None:
        size_deg = max(0.0, scene.play.mean_deg)
        within_deg = scene.play.half_width_deg
        facts.append(f"play {size_deg:.1f} deg, give or take {within_deg:.1f}")
    if scene.turns is not Turns.NOT_KNOWN:
        facts.append(scene.turns.value)
    return wrapped(facts, "; ", width) if facts else []
