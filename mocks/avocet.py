"""The avocet console: command lines of ITU-T V.250.

`AT`, commands, CR. Each command that asks answers with an information text, the line
ends with one result code: `OK`, or `ERROR` at the first command that fails, after
which the rest of the line is dropped. `A/` repeats the last line at once, without CR.
"""

from collections import deque
from collections.abc import Callable
from typing import TYPE_CHECKING, Final, final

from . import avocet_live
from .avocet_line import Command, Form, body_of, first_command, squeezed
from .avocet_names import parameters
from .avocet_spelling import answer, test_answer, write
from .console import BootLine, Said, Typed
from .quantities import RefusalError, plain_text

if TYPE_CHECKING:
    from .aircraft import Aircraft

LONGEST_LINE: Final = 160
"""Characters in a command line; a longer one is an ERROR."""
BOOT_US: Final = 500_000
KEEP_US: Final = 900_000
"""Time that `+KEEP` takes."""
CHATTER_US: Final = 700_000
LAMP_LONGEST_MS: Final = 5000
REMEMBERED_LINES: Final = 200

_REGISTERS: Final = {"S3": 13, "S4": 10, "S5": 8}
"""Line end, second half of a line end, erase (V.250, 6.2.1 to 6.2.3)."""
_SWITCHES: Final = {"E": 1, "V": 1, "Q": 0}
_HIGHEST: Final = 127
_SPACE: Final = 0x20
_DELETE: Final = 0x7F
_TOO_LONG: Final = "\n"
"""Stands for a line that was thrown away."""
_HELD: Final = {
    "no radio link": 3,
    "level not set": 7,
    "power stick not low": 8,
    "leaning too far": 11,
    "no pack": 12,
    "pack is low": 13,
}
"""What holds the outputs back is told by numbers."""
_RESULTS: Final = {"OK": "0", "ERROR": "4"}


@final
class Avocet:
    """The console's state: the line being typed, what is left of one, its switches."""

    def __init__(self, aircraft: "Aircraft", *, chatter: bool) -> None:
        self.commands = 0
        self.received: deque[str] = deque(maxlen=REMEMBERED_LINES)
        self._aircraft = aircraft
        self._parameters = parameters(aircraft.settings)
        self._chatter = chatter
        self._speaks_us = 0
        self._typed = bytearray()
        self._last = ""
        self._body: str | None = None
        self._reason = "none"
        self._registers = dict(_REGISTERS)
        self._switches = dict(_SWITCHES)
        self._stall_us = 0
        self._restarts = False

    @property
    def busy(self) -> bool:
        """A line still has commands to carry out, or its result code to come."""
        return self._body is not None

    @property
    def due_us(self) -> int | None:
        """When it next speaks unasked; never inside a line."""
        within = self._typed or self.busy
        return None if within or not self._chatter else self._speaks_us

    def speak(self, now_us: int) -> bytes:
        """Whether the radio is linked."""
        first = self._speaks_us == 0
        self._speaks_us = now_us + CHATTER_US
        link = int(self._aircraft.radio_link)
        return b"" if first else self._text(f"+LINK: {link}")

    def wipe(self) -> None:
        """Forget typed bytes, waiting commands, and all that `Z` resets."""
        self._typed.clear()
        self._body = None
        self._last = ""
        self._reason = "none"
        self._speaks_us = 0
        self._reset_switches()

    def boot(self) -> tuple[BootLine, ...]:
        """One line when it is ready."""
        return (BootLine(after_us=BOOT_US, data=self._text("READY")),)

    def type(self, data: bytes | bytearray, start: int) -> Typed:
        """Take bytes from `start`, at most to the next line end."""
        echo = bytearray()
        at = start
        while at < len(data) and not self.busy:
            echo += self._key(data[at])
            at += 1
        return Typed(upto=at, say=bytes(echo))

    def work(self, now_us: int) -> Said:
        """Carry out the next command; after the last one comes the result code."""
        self.commands += 1
        try:
            said, rest = self._carry_out(self._body or "", now_us)
        except RefusalError as refusal:
            self._reason = str(refusal)
            said, rest = self._result("ERROR"), ""
        else:
            said += b"" if rest else self._result("OK")
        self._body = rest or None
        stall_us, self._stall_us = self._stall_us, 0
        restart, self._restarts = self._restarts, False
        return Said(data=said, stall_us=stall_us, restart=restart)

    def _key(self, key: int) -> bytes:
        echo = bytes([key]) if self._switches["E"] else b""
        if key == self._registers["S3"]:
            self._finish()
            return echo
        if key == self._registers["S5"]:
            if not self._typed:
                return b""
            del self._typed[-1]
            return b"\b \b" if echo else b""
        if not _SPACE <= key < _DELETE:
            return b""
        self._typed.append(key)
        del self._typed[LONGEST_LINE + 1 :]
        if self._typed.upper() == b"A/":
            self._typed.clear()
            self._body = self._last
        return echo

    def _finish(self) -> None:
        line = self._typed.decode("ascii")
        self._typed.clear()
        body = body_of(line)
        if body is None:
            return
        self.received.append(line)
        too_long = len(line) > LONGEST_LINE
        self._body = _TOO_LONG if too_long else squeezed(body)
        self._last = "" if too_long else self._body

    def _carry_out(self, body: str, now_us: int) -> tuple[bytes, str]:
        """Do the first command; gives its information text and the rest."""
        if body == _TOO_LONG:
            msg = f"the line is longer than {LONGEST_LINE} characters"
            raise RefusalError(msg)
        if not body:
            return b"", ""
        command, rest = first_command(body)
        act = _ACTS.get((command.name, command.form))
        if act is not None:
            lines = act(self, command, now_us)
        elif command.name.removeprefix("+") in self._parameters:
            lines = self._parameter(command)
        else:
            msg = f"there is no {command.name}{command.form.value}"
            raise RefusalError(msg)
        # what follows Z is lost (V.250, 6.1.1)
        return self._text(*lines), "" if command.name == "Z" else rest

    def _parameter(self, command: Command) -> tuple[str, ...]:
        parameter = self._parameters[command.name.removeprefix("+")]
        if command.form is Form.WRITE:
            note = write(self._aircraft, parameter, command.value)
            self._reason = note or self._reason
            return ()
        if command.form is Form.ACT:
            msg = f"{command.name} needs a question mark or a value"
            raise RefusalError(msg)
        if command.form is Form.READ:
            text = answer(self._aircraft, parameter, self.commands)
        else:
            text = test_answer(self._aircraft, parameter)
        return (f"{command.name}: {text}",)

    def _text(self, *lines: str) -> bytes:
        """Information texts (V.250, 5.7.1)."""
        end = self._line_end()
        head = end if self._switches["V"] else ""
        return "".join(f"{head}{line}{end}" for line in lines).encode("ascii")

    def _result(self, word: str) -> bytes:
        if self._switches["Q"]:
            return b""
        if self._switches["V"]:
            return self._text(word)
        return f"{_RESULTS[word]}{chr(self._registers['S3'])}".encode("ascii")

    def _line_end(self) -> str:
        return chr(self._registers["S3"]) + chr(self._registers["S4"])

    def _reset_switches(self) -> None:
        self._registers = dict(_REGISTERS)
        self._switches = dict(_SWITCHES)

    def _switch(self, command: Command, _now_us: int) -> tuple[str, ...]:
        value = command.value or "0"
        if value not in {"0", "1"}:
            msg = f"{command.name} takes 0 or 1"
            raise RefusalError(msg)
        self._switches[command.name] = int(value)
        return ()

    def _set_register(self, command: Command, _now_us: int) -> tuple[str, ...]:
        if int(command.value) > _HIGHEST:
            msg = f"{command.name} takes 0 to {_HIGHEST}"
            raise RefusalError(msg)
        self._registers[command.name] = int(command.value)
        return ()

    def _tell_register(self, command: Command, _now_us: int) -> tuple[str, ...]:
        return (f"{self._registers[command.name]:03}",)

    def _restart(self, _command: Command, _now_us: int) -> tuple[str, ...]:
        self._restarts = True
        return ()

    def _factory(self, _command: Command, _now_us: int) -> tuple[str, ...]:
        self._aircraft.start_over()
        self._reset_switches()
        return ()

    def _about(self, command: Command, now_us: int) -> tuple[str, ...]:
        what = _PLATE.get(command.name + command.value)
        if what is None:
            msg = f"there is no {command.name}{command.value}"
            raise RefusalError(msg)
        if not what.startswith("board."):
            return (what,)
        return (plain_text(self._aircraft.value(what, now_us)),)

    def _keep(self, _command: Command, _now_us: int) -> tuple[str, ...]:
        self._stall_us = KEEP_US
        self._aircraft.keep()
        return ()

    def _drop(self, _command: Command, _now_us: int) -> tuple[str, ...]:
        self._aircraft.load()
        return ()

    def _halt(self, _command: Command, _now_us: int) -> tuple[str, ...]:
        self._aircraft.halt()
        return ()

    def _lamp(self, command: Command, now_us: int) -> tuple[str, ...]:
        given = command.value
        if not given.isdecimal() or not 1 <= int(given[:9]) <= LAMP_LONGEST_MS:
            msg = f"the lamp takes 1 to {LAMP_LONGEST_MS} ms"
            raise RefusalError(msg)
        self._aircraft.lamp.blink(int(given), now_us)
        return ()

    def _live(self, command: Command, _now_us: int) -> tuple[str, ...]:
        return (f"{command.name}: {int(self._aircraft.outputs_live)}",)

    def _held(self, command: Command, _now_us: int) -> tuple[str, ...]:
        reasons = self._aircraft.holding_back()
        return tuple(f"{command.name}: {_HELD[reason]}" for reason in reasons)

    def _sense(self, command: Command, now_us: int) -> tuple[str, ...]:
        rows = avocet_live.READS[command.name](self._aircraft, now_us)
        return tuple(f"{command.name}: {row}" for row in rows)

    def _move(self, command: Command, now_us: int) -> tuple[str, ...]:
        avocet_live.WRITES[command.name](self._aircraft, command.value, now_us)
        return ()

    def _why(self, command: Command, _now_us: int) -> tuple[str, ...]:
        reason = self._reason.replace("\\", "\\5C").replace('"', "\\22")
        return (f'{command.name}: "{reason}"',)


# The table stands outside the class whose private actions it names.
# ruff: noqa: SLF001
_Act = Callable[[Avocet, Command, int], tuple[str, ...]]

_ACTS: Final[dict[tuple[str, Form], _Act]] = {
    ("E", Form.ACT): Avocet._switch,
    ("V", Form.ACT): Avocet._switch,
    ("Q", Form.ACT): Avocet._switch,
    ("I", Form.ACT): Avocet._about,
    ("Z", Form.ACT): Avocet._restart,
    ("&F", Form.ACT): Avocet._factory,
    **{(name, Form.READ): Avocet._tell_register for name in _REGISTERS},
    **{(name, Form.WRITE): Avocet._set_register for name in _REGISTERS},
    ("+GMI", Form.ACT): Avocet._about,
    ("+GMM", Form.ACT): Avocet._about,
    ("+GMR", Form.ACT): Avocet._about,
    ("+GSN", Form.ACT): Avocet._about,
    ("+KEEP", Form.ACT): Avocet._keep,
    ("+DROP", Form.ACT): Avocet._drop,
    ("+HALT", Form.ACT): Avocet._halt,
    ("+LAMP", Form.WRITE): Avocet._lamp,
    ("+LIVE", Form.READ): Avocet._live,
    ("+HELD", Form.READ): Avocet._held,
    ("+WHY", Form.READ): Avocet._why,
    **{(name, Form.READ): Avocet._sense for name in avocet_live.READS},
    **{(name, Form.WRITE): Avocet._move for name in avocet_live.WRITES},
}
_PLATE: Final = {
    "I": "avocet",
    "I0": "avocet",
    "I3": "board.firmware",
    "+GMI": "estuary workshop",
    "+GMM": "avocet twin-tilt",
    "+GMR": "board.firmware",
    "+GSN": "board.number",
}
