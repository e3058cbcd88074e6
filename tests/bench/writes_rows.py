"""200 verified writes, through the product's own heart of every change.

What the wire must carry is summed over two phases with a wall between them: the
writing, and the reading back. In each of them only the busier direction counts, since
the two directions run side by side; the walls are taken where the workflow itself
reports that the writing is over.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fnmatch import fnmatchcase
from itertools import islice
from statistics import median
from typing import Final, final

from benchlink.core.advance import Advance
from benchlink.core.plan import Plan
from benchlink.core.settings import Snapshot
from benchlink.core.values import Number, Value
from benchlink.faces.wiring import Bench
from benchlink.units import Seconds
from benchlink.workflows.bring import Goal, bring
from benchlink.workflows.read import read_settled
from tests.bench.aircraft import BAUD, Aircraft, Counted
from tests.bench.at_bench import Nobody, at_bench
from tests.bench.effort import Effort, MeasureError
from tests.bench.rows import SECONDS, SHARE, Row, at_least, shown
from tests.bench.stop_and_wait import StopAndWait
from tests.bench.stopwatch import stopwatch
from tests.support.people import StillPerson

SETTINGS: Final = 520
"""Few more than hold 200 plain numbers: a long listing would hide slow writes."""
WRITES: Final = 200
PLAIN_NUMBERS: Final = (
    "curve.*_pct",
    "channel.*.offset_us",
    "channel.*.slow_ms",
    "radio.channel*_us",
    "log.f*.every",
)
"""None of them moves anything, is rounded, is limited, or pulls a neighbour along."""
ENOUGH: Final = 100
"""Numbers below it go up and others go down: all of these stay in their ranges."""
TARGETS: Final = (0.95, 0.90)
DELAYS_MS: Final = (0, 16)


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What the wire had to carry, and how long it took."""

    wire_s: float
    elapsed_s: float

    @property
    def share(self) -> float:
        """1 is a wire that never rests."""
        return self.wire_s / self.elapsed_s

    def text(self) -> str:
        """Both times."""
        return f" (wire {SECONDS.text(self.wire_s)} of {SECONDS.text(self.elapsed_s)})"


@final
class PhaseWatch(StillPerson):
    """Counts what the aircraft saw at the end of the writing."""

    def __init__(self, craft: Aircraft) -> None:
        self._craft: Final = craft
        self.written: Counted | None = None

    def tell(self, sentence: str) -> None:
        """Not shown."""

    def progress(self, advance: Advance) -> None:
        """The last word of the writing is the wall between the phases."""
        size = advance.size
        through = size is not None and size.done == size.total
        if advance.what == "writing" and through and self.written is None:
            self.written = self._craft.counted()

    def show_plan(self, plan: Plan) -> None:
        """Not shown."""

    def agrees(self, question: str) -> bool:  # noqa: ARG002 - the door's shape
        """No."""
        return False

    def whispers(self, prompt: str) -> str:  # noqa: ARG002 - the door's shape
        """Nothing."""
        return ""

    def types(self, prompt: str) -> str:  # noqa: ARG002 - the door's shape
        """Nothing."""
        return ""

    def waits_for(
        self,
        word: str,  # noqa: ARG002 - the door's shape
        within: Seconds,  # noqa: ARG002 - the door's shape
        prompt: Callable[[Seconds], str],  # noqa: ARG002 - the door's shape
        meanwhile: Callable[[], None],  # noqa: ARG002 - the door's shape
    ) -> bool:
        """No."""
        return False


def measure(effort: Effort) -> list[Row]:
    """Without and with an adapter that holds bytes back."""
    before = _snapshot()
    rows: list[Row] = []
    for delay_ms, target in zip(DELAYS_MS, TARGETS, strict=True):
        options = {"baud": BAUD, "settings": SETTINGS, "adapter_delay_ms": delay_ms}
        with Aircraft(**options) as craft:
            with at_bench(craft.port) as bench:
                proven = _proven(craft, bench, before)
                alone = _alone(craft, bench, before, effort)
            simple = _simple_way(craft, before, effort)
        where = f", {delay_ms} ms adapter" if delay_ms else ""
        rows += [
            at_least(
                f"200 verified writes{where}, share of the wire",
                proven.share,
                target,
                SHARE,
                beside=proven.text(),
            ),
            at_least(
                f"  their write phase alone{where}",
                alone.share,
                target,
                SHARE,
                beside=alone.text(),
            ),
            simple,
        ]
    return rows


def _snapshot() -> Snapshot:
    """All boards of one seed hold the same; one without a slow wire is read sooner."""
    with Aircraft(settings=SETTINGS) as craft, at_bench(craft.port) as bench:
        return read_settled(bench.session, Nobody())


def _wanted(before: Snapshot, step: int) -> dict[str, Value]:
    plain = (
        (name, setting.value.value)
        for name, setting in before.settings.items()
        if isinstance(setting.value, Number) and _is_plain(name)
    )
    wanted: dict[str, Value] = {
        name: Number(Decimal(value + (step if value < ENOUGH else -step)))
        for name, value in islice(plain, WRITES)
    }
    if len(wanted) < WRITES:
        msg = f"the board has only {len(wanted)} plain numbers"
        raise MeasureError(msg)
    return wanted


def _is_plain(name: str) -> bool:
    return any(fnmatchcase(name, pattern) for pattern in PLAIN_NUMBERS)


def _proven(craft: Aircraft, bench: Bench, before: Snapshot) -> Share:
    goal = Goal(before=before, wanted=_wanted(before, 1), tolerances={})
    person = PhaseWatch(craft)
    craft.reset()
    with stopwatch() as took:
        brought = bring(bench.session, person, goal, before)
    whole = craft.counted()
    if brought.troubles or whole.dropped or person.written is None:
        msg = f"{len(brought.troubles)} troubles, {whole.dropped} bytes dropped"
        raise MeasureError(msg)
    phases = (person.written, whole - person.written)
    return Share(
        wire_s=sum(phase.busiest_s for phase in phases), elapsed_s=took.elapsed_s
    )


def _alone(craft: Aircraft, bench: Bench, before: Snapshot, effort: Effort) -> Share:
    session = bench.session
    shares: list[Share] = []
    for round_ in range(effort.repeats(full=5, quick=1)):
        wanted = _wanted(before, 2 + round_)
        utterances = session.grammar.writes(wanted, before)
        commands = [c for utterance in utterances for c in utterance.commands]
        craft.reset()
        with stopwatch() as took:
            answers = session.board.ask(commands)
        counted = craft.counted()
        refused = sum(not answer.trusted or bool(answer.remark) for answer in answers)
        if refused or counted.dropped:
            msg = f"{refused} writes refused, {counted.dropped} bytes dropped"
            raise MeasureError(msg)
        shares.append(Share(wire_s=counted.busiest_s, elapsed_s=took.elapsed_s))
    middle = median(share.share for share in shares)
    return min(shares, key=lambda share: abs(share.share - middle))


def _simple_way(craft: Aircraft, before: Snapshot, effort: Effort) -> Row:
    wanted = _wanted(before, 1)
    count = effort.repeats(full=WRITES, quick=WRITES // 8)
    with StopAndWait(craft.port) as client:
        craft.reset()
        with stopwatch() as took:
            for name, value in islice(wanted.items(), count):
                client.ask(f"let {name} be {value}")
                if f"{name}: {value}".encode() not in client.ask(f"recite {name}"):
                    msg = f"{name} did not take {value}"
                    raise MeasureError(msg)
        counted = craft.counted()
    share = Share(wire_s=counted.busiest_s, elapsed_s=took.elapsed_s)
    return shown(
        f"  beside it: stop-and-wait, {count} times put and read one",
        SHARE.text(share.share) + share.text(),
    )
