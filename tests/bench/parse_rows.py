"""Parsing a listing: what 1,000 lines cost, and whether 5,000 cost five times that."""

from statistics import median
from typing import Final

from benchlink.console.description import Description
from benchlink.console.listing import Listing
from benchlink.console.schema import describe
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.core.utterance import Reply, Utterance
from benchlink.store.descriptions import find_console, node_of
from benchlink.units import Seconds
from mocks.device import Device
from mocks.options import Options
from tests.bench.at_bench import CONSOLE
from tests.bench.effort import Effort
from tests.bench.rows import MS, TIMES, Row, at_most, shown
from tests.bench.stopwatch import stopwatch

COUNTS: Final = (1000, 5000)
LINEAR: Final = 1.3
"""Five times the lines may cost this much more than five times the time: noise."""


def measure(effort: Effort) -> list[Row]:
    """In turns, so that a slow moment hits both alike."""
    _, path, data = find_console(CONSOLE)
    description = describe(node_of(data, path))
    replies = {count: _listed(count) for count in COUNTS}
    took_s: dict[int, list[float]] = {count: [] for count in COUNTS}
    for _ in range(effort.repeats(full=20, quick=5)):
        for count, reply in replies.items():
            with stopwatch() as took:
                _parse(description, reply)
            took_s[count].append(took.elapsed_s * 1000 / count)
    per_thousand = [median(took_s[count]) for count in COUNTS]
    return [
        shown("parsing a listing, a thousand lines", MS.text(per_thousand[0] * 1000)),
        at_most(
            "  a thousand of 5,000 against a thousand of 1,000",
            per_thousand[1] / per_thousand[0],
            LINEAR,
            TIMES,
        ),
    ]


def _listed(count: int) -> Reply:
    """What the board lists, as the conversation hands it over."""
    device = Device(Options(settings=count))
    device.collect(1_000_000)
    device.receive(b"recite\r", 1_000_000)
    lines = device.collect(60_000_000).decode().split("\r\n")
    command = Command(line="recite", answer_within=Seconds(1.0))
    answer = Answer(command=command, verdict=Verdict.OK, lines=tuple(lines[1:-2]))
    return Reply(utterance=Utterance(commands=(command,)), answers=(answer,))


def _parse(description: Description, reply: Reply) -> None:
    listing = Listing(description)
    listing.take(description.sources[0], reply)
    snapshot = listing.finish()
    if not snapshot.complete:
        msg = f"not understood: {snapshot.not_understood[:3]}"
        raise ValueError(msg)
