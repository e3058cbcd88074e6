"""The device core: bytes and time in, bytes out. No thread, no clock, no I/O.

One processor does everything in turn. It takes typed bytes while it is free; each
command costs handling time, a keep stalls it, and its print blocks while more than
`TX_BUFFER` bytes wait for the wire. Bytes that arrive meanwhile wait in the input
buffer, and what does not fit is lost. Between two calls the core works out what
happened at its proper time, so it does not matter how seldom it is asked.
"""

from functools import partial
from typing import TYPE_CHECKING, Final, final

from .aircraft import Aircraft
from .catalogue import card
from .console import Hearing, Timed
from .consoles import FRONTS, Front
from .fault import Way
from .fault_lines import is_write
from .faults import Faults
from .fleet import fit_out
from .motor import Wiring
from .pace import PacedStream
from .store import MemoryStore

if TYPE_CHECKING:
    from .console import Console
    from .options import Options
    from .settings import Setting
    from .store import Store

TX_BUFFER: Final = 256
"""Bytes that the board can print ahead of the wire."""
RESET_AFTER_US: Final = 50_000
"""From the answer to `restart` until the reset."""
BROWN_OUT_US: Final = 2_000
"""So long the board lives on with too few volts."""
NEVER_US: Final = 1 << 62


@final
class Device:
    """A board, powered up at time 0. Times are integer microseconds and never fall."""

    def __init__(self, options: "Options", store: "Store | None" = None) -> None:
        self._front = FRONTS[options.console]
        settings = _settings(options, self._front)
        self.aircraft = _aircraft(settings, store or MemoryStore(), options)
        self._options = options
        self.console: Console = self._front.make(self.aircraft, options)
        self._timed = self.console if isinstance(self.console, Timed) else None
        self._hearing = self.console if isinstance(self.console, Hearing) else None
        self.dropped = 0
        """Bytes that found the input buffer full."""
        self.lost_in_boot = 0
        """Bytes that came while the board was booting."""
        self.boots = 0
        """Power-ups and restarts so far."""
        self.received = self.sent = 0
        """Bytes off and onto the wire so far, as they were put on it."""
        self.dead = self.faulty = False
        """It did not come back from a restart; any of its `faults` is active."""
        self.powered = True
        self._rx_buffer = options.rx_buffer
        self._handling_us = options.handling_us
        self._waiting = bytearray()
        self._out = PacedStream(0)
        self._free_us = self._hears_us = 0
        self._reset_us: int | None = None
        self._in_hand = 0
        self.faults = Faults(
            self,
            seed=options.seed,
            is_write=partial(is_write, options.console, options.seed),
        )
        for fault in options.faults:
            self.faults.add(fault, 0)
        self.power_up(0)

    @property
    def free_us(self) -> int:
        """When the processor is done with what it is doing."""
        return self._free_us

    @property
    def taken(self) -> int:
        """Bytes that the host has sent and the board has used or lost."""
        return self.received - len(self._waiting) - self._in_hand

    @property
    def said(self) -> int:
        """Bytes that the board has said and not lost by a reset."""
        return self.sent + len(self._out)

    def shown(self) -> dict[str, str]:
        """The live values as the console names and spells them."""
        return self._front.shown(self.aircraft, self._options)

    def kept_shown(self) -> dict[str, str]:
        """The kept values as the console names and spells them."""
        return self._front.kept_shown(self.aircraft, self._options)

    def about(self) -> dict[str, object] | None:
        """All choices of a made-up console; None for the others."""
        about = self._front.about
        return None if about is None else about(self._options)

    def connect(self, out: PacedStream) -> None:
        """Print into this stream from now on."""
        self._out.drain_into(out)
        self._out = out

    def receive(self, data: bytes, now_us: int) -> None:
        """Bytes arrive at the board's input."""
        self.advance(now_us)
        if self.faulty:
            self.faults.receive(data, now_us)
            return
        self.received += len(data)
        self.take_in(data, now_us)

    def take_in(self, data: bytes, now_us: int) -> None:
        """Bytes have come off the wire."""
        if now_us < self._hears_us:
            self.lost_in_boot += len(data)
            return
        if self._hearing is not None:
            data = self._hearing.hear(data, now_us)
        at = 0
        while at < len(data) and self._idle(now_us):
            at = self._type(data, at, now_us)
            self._in_hand = len(data) - at
            self.advance(now_us)
        self._in_hand = 0
        if now_us < self._hears_us:
            self.lost_in_boot += len(data) - at
            return
        room = (
            len(data) if not self._rx_buffer else self._rx_buffer - len(self._waiting)
        )
        self._waiting += data[at : at + room]
        self.dropped += max(0, len(data) - at - room)
        if self.faulty:
            self.faults.handled()

    def collect(self, now_us: int) -> bytes:
        """What the board has said up to now and was not collected before."""
        self.advance(now_us)
        return self.take(now_us)

    def take(self, now_us: int, most: int | None = None) -> bytes:
        """What has left the board by then, of all that has happened so far."""
        data = self._out.take(now_us, most)
        first, self.sent = self.sent, self.sent + len(data)
        if self.faulty:
            return self.faults.damaged(Way.SENT, data, first, now_us)
        return data

    def passes_us(self, count: int) -> int | None:
        """When exactly `count` more bytes have left; None: not with what was said."""
        return self._out.passes_us(count)

    def next_us(self, now_us: int) -> int | None:
        """When something next happens by itself; None: nothing will."""
        due = (self.wake_us(), self._out.due_us(1))
        return (
            max(now_us, min(known))
            if (known := [t for t in due if t is not None])
            else None
        )

    def wake_us(self) -> int | None:
        """When the processor next has something to do; None: it waits for input."""
        work = self._free_us if self.console.busy or self._waiting else None
        outputs_us = self.aircraft.outputs.due_us
        due = (work, self._reset_us, self._unasked_us(), outputs_us)
        known = [at for at in due if at is not None]
        if self.faulty and (trouble_us := self.faults.due_us()) is not None:
            known.append(trouble_us)
        return min(known) if known else None

    def advance(self, now_us: int) -> None:
        """Do all that happens by itself up to now."""
        while (due := self.wake_us()) is not None and due <= now_us:
            if self.faulty and self.faults.act(due):
                continue
            if due == self.aircraft.outputs.due_us:
                self.settle(due)
            elif due == self._reset_us:
                self.power_up(due)
            elif due == self._unasked_us() and self._timed is not None:
                self._say(self._timed.speak(due), due)
            else:
                self._work(due)

    def settle(self, now_us: int) -> None:
        """Let what hangs on the outputs follow; too few volts reset the board."""
        outputs = self.aircraft.outputs
        outputs.review(now_us)
        if outputs.collapsed_us is not None and self.powered:
            reset_us = outputs.collapsed_us + BROWN_OUT_US
            self._reset_us = min(reset_us, self._reset_us or reset_us)

    def feed(self, now_us: int) -> None:
        """Somebody connected or disconnected something that may feed the board."""
        self.aircraft.outputs.changed(now_us)
        on = self.aircraft.airframe.power.board_on
        if on and not self.powered:
            self.powered = True
            self.power_up(now_us)
        elif self.powered and not on:
            self._power_down(now_us)
        self.settle(now_us)

    def reset(self, now_us: int, left: int | None) -> None:
        """Reset; of what has left the board, `left` bytes are not lost (None: all)."""
        if left is not None:
            self._out.keep(left)
        self.power_up(now_us)

    def reset_later(self, at_us: int) -> None:
        """Reset at this time."""
        self._reset_us = at_us

    def power_up(self, now_us: int) -> None:
        """Reset or power up: input and unsent output are lost, the store is loaded."""
        if not self.powered:
            return
        self._out.cut(now_us)
        self._waiting.clear()
        self.console.wipe()
        self.dead = False
        if self.faulty:
            self.faults.boot(now_us, again=self.boots > 0)
        self.aircraft.power_up(now_us)
        self.boots += 1
        self._reset_us = None
        if self.dead:
            self._hears_us = self._free_us = NEVER_US
            return
        for line in self.console.boot():
            self._hears_us = now_us + line.after_us
            self._out.push(line.data, self._hears_us)
        self._free_us = self._hears_us
        self.settle(now_us)

    def _power_down(self, now_us: int) -> None:
        self._out.cut(now_us)
        self._waiting.clear()
        self.console.wipe()
        self.aircraft.power_down(now_us)
        self.powered = False
        self.dead = True
        self._reset_us = None
        self._hears_us = self._free_us = NEVER_US

    def reset_counts(self) -> None:
        """Start counting anew."""
        self.dropped = self.lost_in_boot = self.console.commands = 0

    def _unasked_us(self) -> int | None:
        """When the console next speaks unasked: as soon as it may and can."""
        due_us = None if self._timed is None or self.dead else self._timed.due_us
        return None if due_us is None else max(due_us, self._free_us)

    def _idle(self, now_us: int) -> bool:
        return self._free_us <= now_us and not self.console.busy and not self._waiting

    def _work(self, at_us: int) -> None:
        if not self.console.busy:
            upto = self._type(self._waiting, 0, at_us)
            del self._waiting[:upto]
            if self.faulty:
                self.faults.handled()
            return
        self.aircraft.outputs.settle(at_us)
        said = self.faults.work(at_us) if self.faulty else self.console.work(at_us)
        self.settle(at_us)
        done_us = at_us + self._handling_us + said.stall_us
        self._say(said.data, done_us)
        if said.restart:
            self._reset_us = done_us + RESET_AFTER_US
        if self.faulty:
            self.faults.finish(at_us, done_us)

    def _type(self, data: bytes | bytearray, start: int, at_us: int) -> int:
        typed = self.console.type(data, start)
        self._say(typed.say, at_us)
        return typed.upto

    def _say(self, data: bytes, at_us: int) -> None:
        self._out.push(data, at_us)
        blocked_us = self._out.end_us - self._out.span_us(TX_BUFFER)
        self._free_us = max(at_us, blocked_us)


def _settings(options: "Options", front: Front) -> "tuple[Setting, ...]":
    """What a board of this console has."""
    settings = fit_out(count=options.settings, seed=options.seed)
    if options.card:
        settings = (*settings, *card())
    return settings if front.fit is None else front.fit(settings)


def _aircraft(
    settings: "tuple[Setting, ...]", store: "Store", options: "Options"
) -> Aircraft:
    aircraft = Aircraft(settings, store, seed=options.seed)
    aircraft.drives.expiry = options.expiry
    aircraft.outputs.tilts_follow = options.tilts_follow
    for side, teeth in (("left", options.left_horn), ("right", options.right_horn)):
        aircraft.airframe.servos[side].seat(teeth)
    if options.swapped_motor:
        aircraft.airframe.motors[options.swapped_motor].wiring = Wiring(swapped=True)
    if options.pack_in:
        aircraft.airframe.power.pack_in = True
        aircraft.outputs.changed(0)
    return aircraft
