"""The knot console: no echo, no prompt, `ok` to everything, and chatter of its own.

CR LF both ways. Whatever is typed is answered with `ok`, so only reading back tells
what was done:

* A value out of range is limited, any other wrong value is not taken.
* A row for an unknown thing makes that thing; it stands in the list until a restart.
* A field without a value changes nothing.
* A command that ends less than 2 ms after the one before is lost without an answer.
* A line is cut after 200 characters.
* `log-rate hz 0` hangs the board until the pack is pulled.
* `hold` on a weak supply keeps nothing and says so in a log line.
"""

import re
from typing import TYPE_CHECKING, Final, final

from . import knot_rows as sheet
from .console import BootLine, Said
from .keyed import CR, PRINTABLE, Keyed, text
from .quantities import Fraction, RefusalError, Whole
from .spelling import plate

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from .aircraft import Aircraft
    from .settings import Setting

ALIVE_US: Final = 1_000_000
"""A lone dot comes so often."""
LOG_US: Final = 1_700_000
"""A log line comes so often."""
ROWS_BETWEEN_LOGS: Final = 20
"""In a long list a log line, and a dot, comes every so many rows."""
APART_US: Final = 2000
"""Commands that end closer together are not both heard."""
LONGEST_LINE: Final = 200
FLASH_STALL_US: Final = 20_000
LAMP_LONGEST_MS: Final = 5000

_LOGS: Final = ("gps none", "imu 41 C", "radio idle", "shake 0.02")
_FIELD: Final = re.compile(r" *(\S+)(?: (<[^>]*>|\S+))?")
_THING: Final = re.compile("[A-Za-z][A-Za-z0-9-]*")
_LOST: Final = 0x18
"""Stands for the end of a line that came too soon."""


@final
class Knot(Keyed):
    """The console's state: the line being typed, made-up rows, the next chatter."""

    def __init__(self, aircraft: "Aircraft", *, weak_store: bool = False) -> None:
        super().__init__()
        self._aircraft = aircraft
        self._names = sheet.names(aircraft)
        self._weak_store = weak_store
        self.wipe()

    def wipe(self) -> None:
        """Power-up: also the one way out of hanging."""
        super().wipe()
        self._typed = ""
        self._made: dict[str, dict[str, str]] = {}
        self._hangs = False
        self._heard = False
        self._ended_us = -APART_US
        self._alive_us = self._log_us = 0
        self._logs = 0

    @property
    def due_us(self) -> int | None:
        """The next dot or log line."""
        return None if self._hangs else min(self._alive_us, self._log_us)

    def speak(self, now_us: int) -> bytes:
        """A dot or a log line; both begin a while after the boot."""
        if self._alive_us == 0:
            self._alive_us, self._log_us = now_us + ALIVE_US, now_us + LOG_US
            return b""
        if self._alive_us <= self._log_us:
            self._alive_us = now_us + ALIVE_US
            return text(".")
        self._log_us = now_us + LOG_US
        return text(self._log(now_us))

    def hear(self, data: bytes, now_us: int) -> bytes:
        """Mark the end of a command that comes too soon after another."""
        let_in = bytearray(data)
        for at, key in enumerate(data):
            if key == CR:
                if self._heard and now_us - self._ended_us < APART_US:
                    let_in[at] = _LOST
                elif self._heard:
                    self._ended_us = now_us
                self._heard = False
            elif key in PRINTABLE:
                self._heard = True
        return bytes(let_in)

    def boot(self) -> tuple[BootLine, ...]:
        """What is said after power-up."""
        return (BootLine(after_us=300_000, data=text("knot up")),)

    def _key(self, key: int) -> bytes:
        if self._hangs:
            return b""
        if key == CR:
            line, self._typed = self._typed.strip(), ""
            if line:
                self.received.append(line)
                self._todo.append(lambda now_us: self._carry_out(line, now_us))
        elif key == _LOST:
            self._typed = ""
        elif key in PRINTABLE and len(self._typed) < LONGEST_LINE:
            self._typed += chr(key)
        return b""

    def _carry_out(self, line: str, now_us: int) -> Said:
        head, _, rest = line.partition(" ")
        act = _WORDS.get(head)
        if act is not None:
            return act(self, rest, now_us)
        self._write_row(head, rest)
        return Said(data=b"") if self._hangs else _ok()

    def _write_row(self, thing: str, rest: str) -> None:
        for field, given in _FIELD.findall(rest):
            name = self._names.canonical.get(f"{thing} {field}")
            if (thing, field, given) == ("log-rate", "hz", "0"):
                self._hangs = True
                return
            if name is not None and given:
                self._write(self._aircraft.settings[name], given)
            elif given and not self._is_known(thing) and _THING.fullmatch(thing):
                self._made.setdefault(thing, {})[field] = given

    def _write(self, setting: "Setting", given: str) -> None:
        for value in (given, _nearest(setting, given)):
            try:
                read = sheet.VALUES.read(setting.kind, value)
                self._aircraft.write(setting.name, read)
            except RefusalError:
                continue
            return

    def _is_known(self, thing: str) -> bool:
        return any(name.startswith(f"{thing} ") for name in self._names.canonical)

    def _tell(self, what: str, now_us: int) -> Said:
        rows = sheet.rows(self._aircraft, now_us)
        rows |= {
            thing: " ".join((thing, *(f"{f} {v}" for f, v in fields.items())))
            for thing, fields in self._made.items()
        }
        if what != "everything":
            return _ok(*(rows[thing] for thing in (what,) if thing in rows))
        made = sum(len(fields) for fields in self._made.values())
        cells = len(self._aircraft.settings) + made
        head = f"knot {cells} cells in {len(rows)} rows"
        return _ok(head, *self._list(rows, now_us))

    def _list(self, rows: dict[str, str], now_us: int) -> "Iterator[str]":
        group = ""
        for number, (thing, row) in enumerate(rows.items()):
            if thing.partition("-")[0] != group:
                group = thing.partition("-")[0]
                yield f"( {group}"
            if number % ROWS_BETWEEN_LOGS == 7:
                yield self._log(now_us)
            if number % ROWS_BETWEEN_LOGS == 13:
                yield "."
            yield row

    def _log(self, now_us: int) -> str:
        self._logs += 1
        word = _LOGS[self._logs % len(_LOGS)]
        return f": {self._aircraft.uptime_ms(now_us) / 1000:.3f} {word}"

    def _hold(self, _rest: str, _now_us: int) -> Said:
        try:
            if not self._weak_store:
                self._aircraft.keep()
        except RefusalError:
            return _ok(": store weak")
        lines = (": store weak",) if self._weak_store else ()
        return _ok(*lines, stall_us=FLASH_STALL_US)

    def _restart(self, _rest: str, _now_us: int) -> Said:
        return Said(data=text("ok"), restart=True)

    def _name(self, _rest: str, _now_us: int) -> Said:
        facts = ("type", "firmware", "layout", "number")
        return _ok(" ".join(plate(self._aircraft, fact) for fact in facts))

    def _able(self, _rest: str, now_us: int) -> Said:
        craft = self._aircraft
        state = "outputs live" if craft.outputs_live else "outputs resting"
        reasons = (f"not able {reason}" for reason in craft.holding_back())
        return _ok(state, f"up {craft.uptime_ms(now_us) / 1000:.3f}", *reasons)

    def _lamp(self, rest: str, now_us: int) -> Said:
        if rest.isdecimal() and rest.isascii():
            span_ms = min(LAMP_LONGEST_MS, max(1, int(rest[:9])))
            self._aircraft.lamp.blink(span_ms, now_us)
        return _ok()

    def _halt(self, _rest: str, _now_us: int) -> Said:
        self._aircraft.halt()
        return _ok()


# The table stands outside the class whose private actions it names.
# ruff: noqa: SLF001
_WORDS: "Final[dict[str, Callable[[Knot, str, int], Said]]]" = {
    "tell": Knot._tell,
    "hold": Knot._hold,
    "turn-off-on": Knot._restart,
    "name?": Knot._name,
    "able?": Knot._able,
    "lamp": Knot._lamp,
    "halt": Knot._halt,
}


def _ok(*lines: str, stall_us: int = 0) -> Said:
    return Said(data=text(*lines, "ok"), stall_us=stall_us)


def _nearest(setting: "Setting", given: str) -> str:
    """The end of the range next to a number outside; else the same again."""
    kind = setting.kind
    if not isinstance(kind, Whole | Fraction):
        return given
    try:
        asked = float(given)
    except ValueError:
        return given
    if asked < float(kind.low):
        return str(kind.low)
    return str(kind.high) if asked > float(kind.high) else given
