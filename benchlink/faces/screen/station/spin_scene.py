"""One motor as lines: what it is told, how hard, for how long; cautions; the keys."""

import math
from typing import TYPE_CHECKING, Final

from benchlink.core.scene import MotorState
from benchlink.faces.screen.station.scene_form import (
    BOLD,
    FRAME,
    LOUD,
    Figure,
    Form,
    Frame,
    figure_lines,
    figure_words,
    framed,
    head,
    key_lines,
)
from benchlink.units import MINUTE_S, Seconds, percent

if TYPE_CHECKING:
    from benchlink.core.scene import SpinScene
    from benchlink.faces.screen.station.scene_form import Line

LARGE: Final = {
    MotorState.STOPPED: "STOPPED",
    MotorState.RUNNING: "RUNNING",
    MotorState.NOT_KNOWN: "UNKNOWN",
}
CAPTIONS: Final = {
    MotorState.STOPPED: "[] nothing is told to turn",
    MotorState.RUNNING: "told to turn",
    MotorState.NOT_KNOWN: "treat it as RUNNING",
}
FRAMES: Final = {
    MotorState.STOPPED: Frame(),
    MotorState.RUNNING: Frame(left=">> ", right=" <<", style=LOUD),
    MotorState.NOT_KNOWN: Frame(left="?? ", right=" ??", style=LOUD),
}
NO_KEYS: Final = "No key runs anything now."


def spin_lines(
    scene: "SpinScene", width: int, form: Form, elapsed: "Seconds"
) -> "list[Line]":
    """The scene in at most as many lines as the form allows.

    `elapsed` is how long ago the scene was said: what counts down goes on from there.
    """
    inner = width - 2 * FRAME
    at_rest = scene.state is MotorState.STOPPED
    top = head(
        f"{scene.side.value.upper()} MOTOR: {scene.asks}",
        _confirmed(scene, elapsed),
        inner,
        BOLD if at_rest else LOUD,
    )
    cautions: list[Line] = [[(caution, BOLD)] for caution in scene.cautions]
    keys = key_lines(scene.keys, inner) or [[(NO_KEYS, "")]]
    figures = _figures(scene, elapsed)
    if form is Form.LOW:
        words: Line = [(f"{LARGE[scene.state]}  {figure_words(figures[1:])}", BOLD)]
        lines = [top, words, cautions[-1], *keys]
    elif form is Form.USUAL:
        lines = [top, *figure_lines(figures, inner, form), *cautions, *keys]
    else:
        blank: Line = []
        large = figure_lines(figures, inner, form)
        lines = [top, blank, *large, blank, *cautions, blank, *keys]
    return framed(lines[: form.value], width, FRAMES[scene.state])


def _figures(scene: "SpinScene", elapsed: "Seconds") -> tuple[Figure, ...]:
    seconds, caption = scene.run_for, "s, a press"
    if scene.state is not MotorState.STOPPED:
        seconds = Seconds(max(0.0, scene.left - elapsed))
        caption = f"s left of {scene.run_for:g}"
    return (
        Figure(text=LARGE[scene.state], caption=CAPTIONS[scene.state]),
        Figure(
            text=percent(scene.power).replace(" ", ""),
            caption=f"power, {percent(scene.ceiling)} at most",
        ),
        Figure(text=f"{seconds:.1f}", caption=caption),
    )


def _confirmed(scene: "SpinScene", elapsed: "Seconds") -> str:
    left = 0 if scene.confirmed_for is None else scene.confirmed_for - elapsed
    if left <= 0:
        return "props off NOT CONFIRMED"
    minutes, seconds = divmod(math.ceil(left), MINUTE_S)
    return f"props off for {minutes}:{seconds:02d} more"
