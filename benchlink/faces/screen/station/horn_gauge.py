"""The horn on a line: where it may go, where it shall go, and where it stands.

Aft is on the left and forward on the right, said in words at both ends. The upper line is
the arm: where the readings say that it stands, drawn as wide as their doubt, and what the
jig showed. The lower line is what it is held against.
"""

from typing import TYPE_CHECKING, Final

from benchlink.core.angles import Way
from benchlink.faces.screen.frame.legend import (
    BEFORE,
    DOUBT,
    INSIDE,
    MEAN,
    NOW,
    OPEN,
    OUTSIDE,
    PART_END,
    SHUT,
    STOP,
    TICK,
    WANTED,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchlink.core.scene import Span, TiltScene

HALF_SPANS_DEG: Final = (5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0)
"""What lies between the middle and an end; few, so that the scale seldom jumps."""

DOUBT_MOST_DEG: Final = 30.0
"""A doubt that is wider runs off the line: before the first reading it says nothing."""

TICK_DEG: Final = 10


def gauge(scene: "TiltScene", width: int) -> tuple[str, str]:
    """The upper and the lower line."""
    half_deg = _half_span_deg(scene)
    left, right = f"AFT {half_deg:.0f} ", f" {half_deg:.0f} FORWARD"
    line = _Line(half_deg, max(3, width - len(left) - len(right)))
    arm = "".join(_arm(scene, line))
    scale = "".join(_scale(scene, line))
    return " " * len(left) + arm, f"{left}{scale}{right}"


class _Line:
    """Degrees to cells of one line, forward to the right."""

    def __init__(self, half_deg: float, cells: int) -> None:
        self._half_deg: Final = half_deg
        self.cells: Final = cells

    def cell(self, angle_deg: float) -> int:
        """The cell of an angle; the outermost where it lies beyond the line."""
        share = (angle_deg + self._half_deg) / (2 * self._half_deg)
        return max(0, min(self.cells - 1, round(share * (self.cells - 1))))

    def holds(self, angle_deg: float) -> bool:
        """Whether it lies on the line."""
        return abs(angle_deg) <= self._half_deg

    @property
    def ticks(self) -> "Iterator[int]":
        """The cells of whole tens of degrees."""
        most = int(self._half_deg // TICK_DEG)
        return (self.cell(ten * TICK_DEG) for ten in range(-most, most + 1))


def _arm(scene: "TiltScene", line: _Line) -> list[str]:
    cells = [" "] * line.cells
    stands = scene.stands
    if stands is not None:
        for cell in range(line.cell(stands.low_deg), line.cell(stands.high_deg) + 1):
            cells[cell] = DOUBT
        cells[line.cell(stands.mean_deg)] = MEAN
    if scene.read is not None:
        now = scene.read.pulse_us == scene.pulse_us
        cells[line.cell(scene.read.angle_deg)] = NOW if now else BEFORE
    return cells


def _scale(scene: "TiltScene", line: _Line) -> list[str]:
    cells = [OUTSIDE] * line.cells
    window = scene.window_deg
    if window is not None:
        aft, forward = line.cell(window.aft_deg), line.cell(window.forward_deg)
        cells[aft : forward + 1] = [INSIDE] * (forward + 1 - aft)
    for cell in line.ticks:
        cells[cell] = TICK
    _ends(cells, line, scene.part_deg, PART_END + PART_END)
    _ends(cells, line, window, OPEN + SHUT)
    for way in Way:
        stop_deg = scene.stops.size_deg(way)
        if stop_deg is not None:
            _beyond(cells, line.cell(stop_deg * way.sign), way)
    if scene.wanted_deg is not None:
        cells[line.cell(scene.wanted_deg)] = WANTED
    return cells


def _ends(cells: list[str], line: _Line, span: "Span | None", marks: str) -> None:
    """The two ends of a span, where they lie on the line."""
    ends_deg = () if span is None else (span.aft_deg, span.forward_deg)
    for end_deg, mark in zip(ends_deg, marks, strict=False):
        if line.holds(end_deg):
            cells[line.cell(end_deg)] = mark


def _beyond(cells: list[str], stop: int, way: Way) -> None:
    """Solid from the stop on."""
    first, last = (stop, len(cells)) if way is Way.FORWARD else (0, stop + 1)
    cells[first:last] = [STOP] * (last - first)


def _half_span_deg(scene: "TiltScene") -> float:
    """The smallest scale that holds all that counts."""
    shown = [scene.stops.size_deg(way) or 0.0 for way in Way]
    if scene.wanted_deg is not None:
        shown.append(scene.wanted_deg)
    if scene.read is not None:
        shown.append(scene.read.angle_deg)
    if scene.window_deg is not None:
        shown += [scene.window_deg.aft_deg, scene.window_deg.forward_deg]
    if scene.stands is not None:
        doubt_deg = max(abs(scene.stands.low_deg), abs(scene.stands.high_deg))
        shown.append(min(doubt_deg, DOUBT_MOST_DEG))
    most_deg = max(map(abs, shown), default=0.0)
    return next(
        (half for half in HALF_SPANS_DEG if half >= most_deg), HALF_SPANS_DEG[-1]
    )
