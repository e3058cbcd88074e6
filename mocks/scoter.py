"""The scoter console: program messages of IEEE 488.2 with SCPI-1999 headers.

LF ends a message (a CR before it is white space), no echo, no prompt. Only a query
answers: all answers of one message stand in one line, joined with `;`. A command
says nothing; what went wrong waits in the error queue.
"""

from collections import deque
from collections.abc import Callable
from typing import TYPE_CHECKING, Final, final

from . import scoter_live
from .console import BootLine, Said, Typed
from .quantities import RefusalError, plain_text
from .scoter_headers import Node, grow, help_lines
from .scoter_message import Unit, parse, units
from .scoter_spelling import (
    TEXTS,
    ScpiError,
    extreme,
    is_numeric,
    learn,
    read,
    refused,
    spell,
)
from .settings import Owner

if TYPE_CHECKING:
    from .aircraft import Aircraft

LONGEST_MESSAGE: Final = 250
"""Characters in a message; a longer one is thrown away whole (-363)."""
QUEUE_LENGTH: Final = 8
BOOT_US: Final = 400_000
"""Deaf and silent after power-up."""
WARM_UP_MS: Final = 1000
"""Uptime up to which every answer is slow."""
SLOW_US: Final = 300_000
FLASH_STALL_US: Final = 20_000
LAMP_LONGEST_MS: Final = 5000
REMEMBERED_LINES: Final = 200

_LF: Final = 0x0A
_SPACE: Final = 0x20
_TOP: Final = 0x7E
_EVENT_BITS: Final = ((-199, -100, 32), (-299, -200, 16), (-399, -300, 8))
"""Lowest and highest error number, bit of the event register (488.2, 11.5.1)."""
_POWER_ON: Final = 128
_COMPLETE: Final = 1


@final
class Scoter:
    """The console's state: message being typed, units to do, error queue."""

    def __init__(self, aircraft: "Aircraft") -> None:
        self.commands = 0
        self.received: deque[str] = deque(maxlen=REMEMBERED_LINES)
        self._aircraft = aircraft
        self._root = grow(aircraft.settings.values())
        self._typed = bytearray()
        self._todo: deque[str] = deque()
        self._path = self._root
        self._answers: list[str] = []
        self._errors: deque[str] = deque()
        self._events = _POWER_ON
        self._restarts = False
        self._stall_us = 0

    @property
    def busy(self) -> bool:
        """A message still has units to carry out."""
        return bool(self._todo)

    def wipe(self) -> None:
        """Forget typed bytes, waiting units and errors."""
        self._typed.clear()
        self._todo.clear()
        self._answers.clear()
        self._errors.clear()
        self._events = _POWER_ON

    def boot(self) -> tuple[BootLine, ...]:
        """Silence."""
        return (BootLine(after_us=BOOT_US, data=b""),)

    def type(self, data: bytes | bytearray, start: int) -> Typed:
        """Take bytes from `start`, at most to the next line end."""
        end = data.find(_LF, start)
        upto = len(data) if end < 0 else end + 1
        self._typed += data[start:upto]
        # one too many is enough to know that the message is too long
        del self._typed[LONGEST_MESSAGE + 2 :]
        if end >= 0:
            self._accept()
        return Typed(upto=upto, say=b"")

    def work(self, now_us: int) -> Said:
        """Carry out the next unit; the last one sends all answers."""
        self.commands += 1
        try:
            answer = self._carry_out(parse(self._todo.popleft()), now_us)
        except ScpiError as error:
            self._complain(error.number)
            answer = None
        if answer is not None:
            self._answers.append(answer)
        slow = answer is not None and self._aircraft.uptime_ms(now_us) < WARM_UP_MS
        stall_us = SLOW_US if slow else self._stall_us
        self._stall_us = 0
        restart, self._restarts = self._restarts, False
        return Said(data=self._response(), stall_us=stall_us, restart=restart)

    def _response(self) -> bytes:
        if self._todo or not self._answers:
            return b""
        line = ";".join(self._answers)
        self._answers.clear()
        return f"{line}\n".encode("ascii")

    def _accept(self) -> None:
        typed = bytes(self._typed).rstrip(b"\r\n")
        self._typed.clear()
        if len(typed) > LONGEST_MESSAGE:
            self._complain(-363)
            return
        if any(byte > _TOP for byte in typed):
            self._complain(-101)
            return
        # 488.2, 7.4.1.2: all bytes up to the space are white space
        message = "".join(chr(max(byte, _SPACE)) for byte in typed)
        self._todo.extend(units(message))
        self._path = self._root
        if self._todo:
            self.received.append(message)

    def _complain(self, number: int) -> None:
        if len(self._errors) >= QUEUE_LENGTH:
            self._errors.pop()
            self._errors.append(_line(-350))
        else:
            self._errors.append(_line(number))
        for low, high, bit in _EVENT_BITS:
            self._events |= bit if low <= number <= high else 0

    def _carry_out(self, unit: Unit, now_us: int) -> str | None:
        if unit.header.startswith("*"):
            return self._common(unit, now_us)
        node = self._find(unit.header)
        if node.names in self._aircraft.settings:
            return self._setting(node.names, unit, now_us)
        order = f"{node.names}{'?' if unit.query else ''}"
        if order in scoter_live.MEASURES:
            if unit.data:
                raise ScpiError(-108)
            return scoter_live.measured(order, self._aircraft, now_us)
        act = _ORDERS.get(order)
        return self._act(act, unit, now_us)

    def _act(self, act: "_Act | None", unit: Unit, now_us: int) -> str | None:
        if act is None:
            raise ScpiError(-113)
        if unit.data and act not in _WITH_DATA:
            raise ScpiError(-108)
        return act(self, unit, now_us)

    def _find(self, path: str) -> Node:
        """Follow a header from the root or from where the last one ended."""
        node = self._root if path.startswith(":") else self._path
        parent = node
        for word in path.removeprefix(":").upper().split(":"):
            parent, below = node, node.nodes.get(word)
            if below is None:
                raise ScpiError(-113)
            node = below
        if node.names is None:
            raise ScpiError(-113)
        self._path = parent
        return node

    def _setting(self, name: str, unit: Unit, now_us: int) -> str | None:
        craft = self._aircraft
        setting = craft.settings[name]
        if unit.query:
            if unit.data and not is_numeric(setting):
                raise ScpiError(-108)
            text = craft.value(name, now_us)
            for word in unit.data:
                text = extreme(setting, word)
            return spell(setting.kind, text)
        if setting.owner is Owner.MAKER:
            raise ScpiError(-203)
        try:
            craft.write(name, read(setting, list(unit.data)))
        except RefusalError as refusal:
            raise refused(refusal) from refusal
        return None

    def _common(self, unit: Unit, now_us: int) -> str | None:
        act = _COMMON.get(unit.header.upper() + ("?" if unit.query else ""))
        return self._act(act, unit, now_us)

    def _identify(self, _unit: Unit, now_us: int) -> str:
        names = ("number", "firmware")
        own = (plain_text(self._aircraft.value(f"board.{n}", now_us)) for n in names)
        return ",".join(("estuary workshop", "scoter", *own))

    def _clear(self, _unit: Unit, _now_us: int) -> None:
        self._errors.clear()
        self._events = 0

    def _tell_events(self, _unit: Unit, _now_us: int) -> str:
        events, self._events = self._events, 0
        return str(events)

    def _complete(self, _unit: Unit, _now_us: int) -> None:
        self._events |= _COMPLETE

    def _one(self, _unit: Unit, _now_us: int) -> str:
        return "1"

    def _zero(self, _unit: Unit, _now_us: int) -> str:
        return "0"

    def _nothing(self, _unit: Unit, _now_us: int) -> None:
        return None

    def _save(self, unit: Unit, _now_us: int) -> None:
        _only(unit, low=1, high=1)
        self._stall_us = FLASH_STALL_US
        try:
            self._aircraft.keep()
        except RefusalError as refusal:
            raise refused(refusal) from refusal

    def _recall(self, unit: Unit, _now_us: int) -> None:
        _only(unit, low=1, high=1)
        self._aircraft.load()

    def _reset(self, _unit: Unit, _now_us: int) -> None:
        self._aircraft.start_over()

    def _learn(self, _unit: Unit, _now_us: int) -> str:
        return ";".join(
            f"{name} {data}" for name, data in learn(self._aircraft).items()
        )

    def _state(self, _unit: Unit, _now_us: int) -> str:
        return "1" if self._aircraft.outputs_live else "0"

    def _reasons(self, _unit: Unit, _now_us: int) -> str:
        return ",".join(f'"{why}"' for why in self._aircraft.holding_back()) or '""'

    def _halt(self, _unit: Unit, _now_us: int) -> None:
        self._aircraft.halt()

    def _lamp(self, unit: Unit, now_us: int) -> None:
        self._aircraft.lamp.blink(_only(unit, low=1, high=LAMP_LONGEST_MS), now_us)

    def _drive(self, unit: Unit, now_us: int) -> None:
        scoter_live.drive(self._aircraft, unit.data, now_us)

    def _release(self, unit: Unit, _now_us: int) -> None:
        scoter_live.release(self._aircraft, unit.data)

    def _spin(self, unit: Unit, now_us: int) -> None:
        scoter_live.spin(self._aircraft, unit.data, now_us)

    def _error(self, _unit: Unit, _now_us: int) -> str:
        return self._errors.popleft() if self._errors else _line(0)

    def _error_count(self, _unit: Unit, _now_us: int) -> str:
        return str(len(self._errors))

    def _help(self, _unit: Unit, _now_us: int) -> str:
        lines = [*(f"{header}{_mark(header)}" for header in _COMMON)]
        lines += help_lines(self._aircraft.settings.values())
        block = "".join(f"{line}\n" for line in lines)
        length = str(len(block))
        return f"#{len(length)}{length}{block}"

    def _version(self, _unit: Unit, _now_us: int) -> str:
        return "1999.0"

    def _reboot(self, _unit: Unit, _now_us: int) -> None:
        self._restarts = True


# The tables stand outside the class whose private actions they name.
# ruff: noqa: SLF001
_Act = Callable[[Scoter, Unit, int], str | None]

_COMMON: Final[dict[str, _Act]] = {
    "*CLS": Scoter._clear,
    "*ESR?": Scoter._tell_events,
    "*IDN?": Scoter._identify,
    "*LRN?": Scoter._learn,
    "*OPC": Scoter._complete,
    "*OPC?": Scoter._one,
    "*RCL": Scoter._recall,
    "*RST": Scoter._reset,
    "*SAV": Scoter._save,
    "*TST?": Scoter._zero,
    "*WAI": Scoter._nothing,
}

_ORDERS: Final[dict[str, _Act]] = {
    "OUTPut:STATe?": Scoter._state,
    "OUTPut:REASons?": Scoter._reasons,
    "OUTPut:HALT": Scoter._halt,
    "OUTPut:DRIVe": Scoter._drive,
    "OUTPut:RELease": Scoter._release,
    "OUTPut:SPIN": Scoter._spin,
    "DISPlay:LAMP": Scoter._lamp,
    "SYSTem:ERRor?": Scoter._error,
    "SYSTem:ERRor:NEXT?": Scoter._error,
    "SYSTem:ERRor:COUNt?": Scoter._error_count,
    "SYSTem:HELP:HEADers?": Scoter._help,
    "SYSTem:VERSion?": Scoter._version,
    "SYSTem:REBoot": Scoter._reboot,
}
_WITH_DATA: Final = (
    Scoter._save,
    Scoter._recall,
    Scoter._lamp,
    Scoter._drive,
    Scoter._release,
    Scoter._spin,
)


def _line(number: int) -> str:
    return f'{number},"{TEXTS[number]}"'


def _mark(header: str) -> str:
    if header.endswith("?"):
        return "/qonly/"
    return "" if f"{header}?" in _COMMON else "/nquery/"


def _only(unit: Unit, *, low: int, high: int) -> int:
    """The unit's one whole number."""
    if len(unit.data) != 1:
        raise ScpiError(-108 if unit.data else -109)
    given = unit.data[0]
    if not given.isdecimal():
        raise ScpiError(-104)
    number = int(given[:9])
    if not low <= number <= high:
        raise ScpiError(-222)
    return number
