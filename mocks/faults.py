"""The faults of one board at work, and how often they came to pass.

`Device` and `Line` ask here only while a fault is active. Positions on the wire count
the bytes of a way as they were put on it: damage does not move them.
"""

from collections.abc import Callable
from random import Random
from typing import TYPE_CHECKING, final

from .fault import Fault, FaultError, Running, Way
from .fault_answers import AnswerFault
from .fault_events import Event, Pull
from .fault_flight import Flight
from .fault_restarts import RestartFault
from .fault_values import ValueFaults
from .fault_wire import InputOverrun, WireFault

if TYPE_CHECKING:
    from .console import Said
    from .device import Device

_US_PER_MS = 1000


@final
class Faults:
    """What is wrong with one board. Times are integer microseconds."""

    def __init__(
        self, device: "Device", *, seed: int, is_write: Callable[[str], bool]
    ) -> None:
        self.pull: Pull | None = None
        """The line has to take the cable out."""
        self.flight = Flight(is_write)
        self.values = ValueFaults(device.aircraft, self._fire)
        self._device = device
        self._seed = seed
        self._now_us = 0
        self._ever: list[Running] = []
        self._active: list[Running] = []
        self._wire: list[tuple[WireFault, Running]] = []
        self._overruns: list[tuple[InputOverrun, Running]] = []
        self._answers: list[tuple[AnswerFault, Running]] = []
        self._restarts: list[tuple[RestartFault, Running]] = []
        self._events: list[tuple[Event, Running]] = []

    @property
    def active(self) -> tuple[Fault, ...]:
        """The faults that can still come to pass."""
        return tuple(run.fault for run in self._active if not run.spent)

    def tally(self) -> dict[str, tuple[int, int]]:
        """How often each came to pass, and how often it hit a write.

        A write is hit from when the host sends it until its answer is handed over.
        Faults that are gone count on.
        """
        counts: dict[str, tuple[int, int]] = {}
        for run in self._ever:
            fired, hit = counts.get(run.fault.name, (0, 0))
            counts[run.fault.name] = (fired + run.fired, hit + run.hit_write)
        return counts

    def add(self, fault: Fault, now_us: int) -> None:
        """Make a fault active. Raises `FaultError` where its byte has passed."""
        passed = {Way.RECEIVED: self._device.received, Way.SENT: self._device.sent}
        byte, way = _byte_of(fault)
        if 0 < byte <= passed[way]:
            msg = f"{fault.name}: byte {byte} was {way.value} already"
            raise FaultError(msg)
        if not self._device.faulty:
            self.flight.start(self._device.received)
        seed = f"{self._seed} {len(self._ever)} {fault.name}"
        run = Running(
            fault=fault,
            random=Random(seed),
            chance=Random(f"{seed} chance"),
            since_us=now_us,
        )
        self._ever.append(run)
        self._active.append(run)
        self._sort()

    def heal(self) -> None:
        """No fault is active any more; a cable that is out stays out."""
        self._active.clear()
        self.values.uncover()
        self._sort()

    def take_pull(self) -> Pull | None:
        """The cable has to come out: told once."""
        pull, self.pull = self.pull, None
        if pull is not None:
            self._sort()
        return pull

    def due_us(self) -> int | None:
        """When a fault next comes to pass by itself."""
        known = [at for at in map(self._event_us, self._events) if at is not None]
        return min(known) if known else None

    def act(self, now_us: int) -> bool:
        """Let happen what is due; says whether anything was."""
        due = [
            each
            for each in self._events
            if (at := self._event_us(each)) is not None and at <= now_us
        ]
        for fault, run in due:
            by_sent = fault.at and fault.way is Way.SENT
            left = fault.at - self._device.sent if by_sent else None
            self._happen(fault, run, now_us, left)
        return bool(due)

    def until_us(self, now_us: int) -> int | None:
        """The last moment before something parts the bytes before from those after."""
        ends = [run.until_us for _, run in self._overruns if run.until_us]
        due = self.due_us()
        known = ends if due is None else [*ends, due]
        later = [at for at in known if at > now_us]
        return min(later) - 1 if later else None

    def until_received(self) -> int | None:
        """Bytes up to the next one at whose arrival something happens."""
        received = self._device.received
        marks = [f.at for f, _ in self._events if f.at and f.way is Way.RECEIVED]
        marks += [f.at for f, _ in self._overruns if f.at]
        later = [at - received for at in marks if at > received]
        return min(later) if later else None

    def receive(self, data: bytes, now_us: int) -> None:
        """Bytes arrive at the board's input, one mark after the other."""
        device = self._device
        self._now_us = now_us
        self.flight.expect(data, device.received)
        at = 0
        while at < len(data) and self.pull is None:
            count = self.until_received() or len(data)
            piece = data[at : at + count]
            at += len(piece)
            self._arrive(piece, now_us)

    def damaged(self, way: Way, data: bytes, first: int, now_us: int) -> bytes:
        """Bytes as they come out of the wire; the first has the index `first`."""
        self._now_us = now_us
        hits = [
            (offset, order)
            for order, (fault, run) in enumerate(self._wire)
            if fault.way is way
            for offset in run.offsets(fault, first, len(data))
        ]
        if not hits:
            return data
        arrived = {offset: data[offset : offset + 1] for offset, _ in hits}
        for offset, order in sorted(hits):
            fault, run = self._wire[order]
            collected = first + offset if way is Way.SENT else self._device.sent
            _count(run, wrote=self.flight.is_open(collected, now_us))
            arrived[offset] = fault.change(arrived[offset], run.random)
        out, done = bytearray(), 0
        for offset in sorted(arrived):
            out += data[done:offset] + arrived[offset]
            done = offset + 1
        return bytes(out + data[done:])

    def work(self, now_us: int) -> "Said":
        """Let the console carry out its next command; gives what the board says."""
        device = self._device
        self._now_us = now_us
        self.values.begin(now_us)
        device.aircraft.trouble = self.values
        try:
            said = device.console.work(now_us)
        finally:
            device.aircraft.trouble = None
            self.values.end()
        if self.values.wrote:
            self.flight.wrote(device.taken)
        said = self.values.answer(said)
        for fault, run in self._answers:
            spoiled = fault.spoil(said, run.random)
            if spoiled is not None and run.hits(fault):
                self._fire(run)
                said = spoiled
        return said

    def finish(self, at_us: int, done_us: int) -> None:
        """The command that began at `at_us` ends at `done_us`, or in a brown-out."""
        self.values.done(done_us)
        if self.values.browned:
            self._device.reset_later((at_us + done_us) // 2)
        self.handled()

    def handled(self) -> None:
        """The board has nothing to do but what still waits in its input."""
        device = self._device
        if not device.console.busy:
            self.flight.handled(device.taken, device.said, device.free_us)

    def boot(self, now_us: int, *, again: bool) -> None:
        """The board resets; `again`: it is not the first power-up."""
        self._now_us = now_us
        self.values.uncover()
        if again:
            for fault, run in self._restarts:
                if run.hits(fault):
                    self._fire(run)
                    fault.befall(self._device, now_us, run.random)
        self.flight.reset(self._device.received)

    def _arrive(self, piece: bytes, now_us: int) -> None:
        """Bytes without a mark but at their end."""
        device = self._device
        heard = min(
            (self._heard(fault, run, piece) for fault, run in self._overruns),
            default=len(piece),
        )
        first = device.received
        data = self.damaged(Way.RECEIVED, piece[:heard], first, now_us)
        lost = self.damaged(Way.RECEIVED, piece[heard:], first + heard, now_us)
        device.dropped += len(lost)
        device.received += len(piece)
        device.take_in(data, now_us)
        for fault, run in list(self._events):
            if fault.at == device.received and fault.way is Way.RECEIVED:
                self._happen(fault, run, now_us, None)

    def _heard(self, fault: InputOverrun, run: Running, piece: bytes) -> int:
        """How many bytes the board still takes."""
        hits = run.offsets(fault, self._device.received, len(piece))
        if self._now_us < run.until_us:
            return 0
        if not hits:
            return len(piece)
        self._fire(run)
        run.until_us = self._now_us + fault.for_ms * _US_PER_MS
        return hits[0]

    def _event_us(self, each: tuple[Event, Running]) -> int | None:
        fault, run = each
        if fault.after_us:
            return run.since_us + fault.after_us
        if not fault.at or fault.way is Way.RECEIVED:
            return None
        passes_us = self._device.passes_us(fault.at - self._device.sent)
        return None if passes_us is None else max(run.since_us, passes_us)

    def _happen(
        self, fault: Event, run: Running, now_us: int, left: int | None
    ) -> None:
        self._now_us = now_us
        run.spent = True
        self._fire(run)
        fault.happen(self._device, now_us, left)
        self._sort()

    def _fire(self, run: Running) -> None:
        writing = self.values.wrote and self._device.aircraft.trouble is not None
        under_way = self.flight.is_open(self._device.sent, self._now_us)
        _count(run, wrote=writing or under_way)

    def _sort(self) -> None:
        """Sort the active faults by where they strike."""
        self._active = [run for run in self._active if not run.spent]
        self._device.faulty = bool(self._active) or self.pull is not None
        pairs = [(run.fault, run) for run in self._active]
        self._wire = [(f, run) for f, run in pairs if isinstance(f, WireFault)]
        self._overruns = [(f, run) for f, run in pairs if isinstance(f, InputOverrun)]
        self._answers = [(f, run) for f, run in pairs if isinstance(f, AnswerFault)]
        self._restarts = [(f, run) for f, run in pairs if isinstance(f, RestartFault)]
        self._events = [(f, run) for f, run in pairs if isinstance(f, Event)]
        self.values.use(self._active)


def _byte_of(fault: Fault) -> tuple[int, Way]:
    """The byte that a fault waits for; 0: none."""
    match fault:
        case WireFault() | Event():
            return fault.at, fault.way
        case InputOverrun():
            return fault.at, Way.RECEIVED
        case _:
            return 0, Way.RECEIVED


def _count(run: Running, *, wrote: bool) -> None:
    run.fired += 1
    run.hit_write += wrote
