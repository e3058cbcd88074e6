"""The map of outputs as lines of text and as data: a pad a line, findings as sentences."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Final, Protocol

from benchlink.core.bench_record import Said
from benchlink.core.output_findings import OutputFinding
from benchlink.core.outputs import Output, OutputMap
from benchlink.core.wiggle import Observed
from benchlink.faces.output import Json
from benchlink.workflows.wiggle import LITTLE_US

WIDTH: Final = 80


class Found(Protocol):
    """A finding, wherever it comes from."""

    @property
    def pads(self) -> tuple[str, ...]:
        """The pads that it is about."""
        ...

    @property
    def sentence(self) -> str:
        """What is wrong."""
        ...

    @property
    def remedies(self) -> tuple[str, ...]:
        """What to do about it, the best first."""
        ...


def map_lines(declared: OutputMap) -> list[str]:
    """What each pad does; the free ones in one line."""
    rows = [_row(output) for output in declared.outputs if not output.free]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = [
        "  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
    free = [output.name for output in declared.outputs if output.free]
    if free:
        lines += _wrapped(f"free: {', '.join(free)}", "  ")
    return lines


def finding_lines(found: Iterable[Found]) -> list[str]:
    """Each finding, and below it what to do about it."""
    return [line for finding in found for line in _finding(finding)]


def observed_lines(observed: Iterable[Observed]) -> list[str]:
    """What each output moved."""
    return [
        line
        for one in observed
        for line in _wrapped(
            f"{one.output.name}  should move {one.output.what}:"
            f" {'yes' if one.as_declared else f'NO, {one.seen.value} moved'}{_way(one)}",
            "  ",
        )
    ]


def map_data(declared: OutputMap, found: Sequence[OutputFinding]) -> dict[str, Json]:
    """The same for a program."""
    return {
        "outputs": [
            {
                "pad": output.pad,
                "drives": output.job.value if output.job else None,
                "word": output.word or None,
                "setting": output.setting or None,
                "rate_hz": output.rate_hz,
                "shortest_us": output.shortest_us,
                "longest_us": output.longest_us,
                "timer": output.timer or None,
            }
            for output in declared.outputs
        ],
        "findings": [{"about": f.about.value, **found_data(f)} for f in found],
    }


def found_data(finding: Found) -> dict[str, Json]:
    """A finding for a program."""
    return {
        "pads": list(finding.pads),
        "sentence": finding.sentence,
        "remedies": list(finding.remedies),
    }


def observed_data(observed: Iterable[Observed]) -> list[Json]:
    """What each output moved, for a program."""
    return [
        {
            "pad": one.output.pad,
            "drives": one.output.job.value if one.output.job else None,
            "moved": one.seen.value,
            "longer_pulse_tilts": one.way.value if one.way else None,
        }
        for one in observed
    ]


def said_of_outputs(observed: Iterable[Observed]) -> tuple[Said, ...]:
    """What each output moved, for the record."""
    return tuple(map(_said, observed))


def _said(one: Observed) -> Said:
    way = f", {one.way.value} with a longer pulse" if one.way else ""
    return Said(
        about=one.output.name,
        done=f"{LITTLE_US:.0f} us longer than the centre of {one.output.what}",
        asked="What moved?",
        answer=f"{one.seen.value}{way}",
    )


def _row(output: Output) -> tuple[str, ...]:
    rate = "" if output.rate_hz is None else f"{output.rate_hz:g} Hz"
    pulses = ""
    if output.shortest_us is not None and output.longest_us is not None:
        pulses = f"{output.shortest_us:.0f} to {output.longest_us:.0f} us"
    timer = f"timer {output.timer}" if output.timer else ""
    return output.name, output.what, rate, pulses, timer


def _way(one: Observed) -> str:
    return f"; a longer pulse tilts it {one.way.value}" if one.way else ""


def _finding(finding: Found) -> Iterator[str]:
    yield from _wrapped(f"! {finding.sentence}", "  ")
    for remedy in finding.remedies:
        yield from _wrapped(f"    {remedy}", "    ")


def _wrapped(line: str, indent: str) -> list[str]:
    return textwrap.wrap(line, WIDTH, subsequent_indent=indent)
