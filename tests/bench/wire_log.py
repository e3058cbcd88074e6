"""What left the host, as the wire itself carried it: byte after byte, ten bits each."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tests.bench.aircraft import wire_s
from tests.bench.effort import MeasureError
from tests.bench.tap import Seen

LINE_END = b"\r"


@dataclass(frozen=True, slots=True, kw_only=True)
class OnWire:
    """One line and the time it was on the wire (monotonic seconds)."""

    line: bytes
    handed_over_s: float
    """The host let go of it: nothing can call it back."""
    first_s: float
    """Its first byte begins to leave."""
    end_s: float
    """Its last byte has left."""


def on_wire(handed_over: Sequence[Seen], seen: Sequence[Seen]) -> list[OnWire]:
    """What was handed over at the near end and seen at the far end, line by line.

    A line waits on the wire until the one before it has left.

    Raises:
        MeasureError: the two ends tell of different lines.
    """
    lines: list[OnWire] = []
    free_s = 0.0
    near, far = list(_lines(handed_over)), list(_lines(seen))
    if [line for _, line in near] != [line for _, line in far]:
        msg = "what was handed over and what came over the wire are not the same"
        raise MeasureError(msg)
    for (handed_over_s, line), (at_s, _) in zip(near, far, strict=True):
        first_s = max(at_s, free_s)
        free_s = first_s + wire_s(len(line))
        lines.append(
            OnWire(
                line=line, handed_over_s=handed_over_s, first_s=first_s, end_s=free_s
            )
        )
    return lines


def leaving_s(lines: Sequence[OnWire], now_s: float) -> float:
    """How long the line that is leaving at a moment still takes; 0 on a silent wire."""
    ends = (line.end_s for line in lines if line.first_s <= now_s < line.end_s)
    return max((end_s - now_s for end_s in ends), default=0.0)


def started_s(lines: Sequence[OnWire], now_s: float) -> float:
    """How long all lines that were handed over before a moment still take."""
    ends = (line.end_s for line in lines if line.handed_over_s <= now_s < line.end_s)
    return max((end_s - now_s for end_s in ends), default=0.0)


def _lines(seen: Sequence[Seen]) -> Iterator[tuple[float, bytes]]:
    """Each line with the time of its last byte."""
    begun = b""
    for one in seen:
        *whole, begun = (begun + one.data).split(LINE_END)
        for line in whole:
            yield one.at_s, line + LINE_END
