"""The wader console: words in, lines out, one status line a command.

The host ends a line with CR. The board answers each command with its lines and one
status line (`done`, `note: ...` or `sorry: ...`), and the whole line with one prompt.
`;` parts commands, inside quotes as well. The words are in `_WORDS`.
"""

import re
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, final

from . import wader_live
from .console import BootLine, Said, Typed
from .line_editor import LineEditor
from .quantities import RefusalError
from .settings import Owner

if TYPE_CHECKING:
    from .aircraft import Aircraft

PROMPT: Final = b"@ "
LONGEST_LINE: Final = 120
"""Characters in a line; a longer one is thrown away whole."""
FLASH_STALL_US: Final = 20_000
"""A keep stops the processor for so long."""
LAMP_LONGEST_MS: Final = 5000
REMEMBERED_LINES: Final = 200

_LET: Final = re.compile(r"(\S+) +be (.+)")
_MARKS: Final = {Owner.BUILDER: "  ", Owner.MAKER: "! ", Owner.CALIBRATION: "~ "}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answer:
    lines: tuple[str, ...] = ()
    status: str = "done"
    stall_us: int = 0
    restart: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Word:
    usage: str
    meaning: str
    act: Callable[["Wader", str, int], _Answer]
    rest: re.Pattern[str]
    """What may follow the word."""


@final
class Wader:
    """The console's state: the line being typed and the commands still to do."""

    def __init__(self, aircraft: "Aircraft") -> None:
        self.commands = 0
        self.received: deque[str] = deque(maxlen=REMEMBERED_LINES)
        self._aircraft = aircraft
        self._editor = LineEditor(PROMPT)
        self._todo: deque[str] = deque()

    @property
    def busy(self) -> bool:
        """A typed line still has commands to carry out."""
        return bool(self._todo)

    def wipe(self) -> None:
        """Forget typed bytes and waiting commands."""
        self._editor.wipe()
        self._todo.clear()

    def type(self, data: bytes | bytearray, start: int) -> Typed:
        """Take typed bytes from `start`, at most to the next line end."""
        edited = self._editor.take(data, start)
        say = edited.echo
        if edited.line is not None:
            say += self._accept(edited.line)
        return Typed(upto=edited.upto, say=say)

    def work(self, now_us: int) -> Said:
        """Carry out the next command of the typed line."""
        answer = self._carry_out(self._todo.popleft(), now_us)
        self.commands += 1
        end = b"" if self._todo else PROMPT
        return Said(
            data=_text(*answer.lines, answer.status) + end,
            stall_us=answer.stall_us,
            restart=answer.restart,
        )

    def boot(self) -> tuple[BootLine, ...]:
        """What is said after power-up, about 600 ms in all."""
        kept = self._aircraft.kept_count
        store = "empty, factory values" if kept is None else f"{kept} settings"
        return (
            BootLine(after_us=30_000, data=_text("")),
            BootLine(after_us=150_000, data=_text("wader boot 3")),
            BootLine(after_us=280_000, data=_text(f"store: {store}")),
            BootLine(after_us=410_000, data=_text("accel ok, gyro ok")),
            BootLine(after_us=520_000, data=_text("radio: waiting")),
            BootLine(after_us=600_000, data=PROMPT),
        )

    def _accept(self, line: str) -> bytes:
        """Queue a line's commands; a line without any is answered at once."""
        if len(line) > LONGEST_LINE:
            reason = f"that line is longer than {LONGEST_LINE} characters"
            return _text(f"sorry: {reason}") + PROMPT
        parts = (part.strip() for part in line.split(";"))
        self._todo.extend(part for part in parts if part)
        if not self._todo:
            return PROMPT
        self.received.append(line)
        return b""

    def _carry_out(self, command: str, now_us: int) -> _Answer:
        name, _, rest = command.partition(" ")
        word = _WORDS.get(name)
        if word is None:
            return _sorry(f"there is no word '{name}' here")
        rest = rest.strip()
        if word.rest.fullmatch(rest) is None:
            return _sorry(f"say it as: {word.usage}")
        try:
            return word.act(self, rest, now_us)
        except RefusalError as refusal:
            return _sorry(str(refusal))

    def _plate(self, _rest: str, now_us: int) -> _Answer:
        names = ("type", "layout", "firmware", "number")
        values = (self._aircraft.value(f"board.{name}", now_us) for name in names)
        lines = (
            f"{name:<10}{value.strip(chr(34))}"
            for name, value in zip(names, values, strict=True)
        )
        return _Answer(lines=tuple(lines))

    def _state(self, _rest: str, now_us: int) -> _Answer:
        craft = self._aircraft
        return _Answer(
            lines=(
                f"outputs   {'live' if craft.outputs_live else 'resting'}",
                f"uptime_s  {craft.uptime_ms(now_us) / 1000:.3f}",
                *(f"holding back: {reason}" for reason in craft.holding_back()),
            )
        )

    def _recite(self, rest: str, now_us: int) -> _Answer:
        craft = self._aircraft
        if rest:
            return _Answer(lines=(f"{rest}: {craft.value(rest, now_us)}",))
        count = len(craft.settings)
        listing = [
            f"{_MARKS[setting.owner]}{setting.name}: {value}"
            for setting, value in craft.listing(now_us)
        ]
        ends = (f"settings: {count}", f"end of settings: {count}")
        return _Answer(lines=(ends[0], *listing, ends[1]))

    def _let(self, rest: str, _now_us: int) -> _Answer:
        parts = _LET.fullmatch(rest)
        if parts is None:
            return _sorry("say it as: let NAME be VALUE")
        note = self._aircraft.write(parts[1], parts[2])
        return _Answer(status="done" if note is None else f"note: {note}")

    def _keep(self, _rest: str, _now_us: int) -> _Answer:
        kept = self._aircraft.keep()
        return _Answer(lines=(f"kept {kept} settings",), stall_us=FLASH_STALL_US)

    def _forget(self, _rest: str, _now_us: int) -> _Answer:
        self._aircraft.load()
        return _Answer()

    def _restart(self, _rest: str, _now_us: int) -> _Answer:
        return _Answer(restart=True)

    def _start_over(self, _rest: str, _now_us: int) -> _Answer:
        self._aircraft.start_over()
        return _Answer()

    def _lamp(self, rest: str, now_us: int) -> _Answer:
        span_ms = int(rest)
        if not 1 <= span_ms <= LAMP_LONGEST_MS:
            return _sorry(f"the lamp takes 1 to {LAMP_LONGEST_MS} ms")
        self._aircraft.lamp.blink(span_ms, now_us)
        return _Answer()

    def _halt(self, _rest: str, _now_us: int) -> _Answer:
        self._aircraft.halt()
        return _Answer()

    def _feel(self, _rest: str, now_us: int) -> _Answer:
        return _Answer(lines=wader_live.feel(self._aircraft, now_us))

    def _hear(self, _rest: str, now_us: int) -> _Answer:
        return _Answer(lines=wader_live.hear(self._aircraft, now_us))

    def _swing(self, rest: str, now_us: int) -> _Answer:
        wader_live.swing(self._aircraft, rest, now_us)
        return _Answer()

    def _slack(self, rest: str, _now_us: int) -> _Answer:
        wader_live.slack(self._aircraft, rest)
        return _Answer()

    def _whirl(self, rest: str, now_us: int) -> _Answer:
        wader_live.whirl(self._aircraft, rest, now_us)
        return _Answer()

    def _list_words(self, _rest: str, _now_us: int) -> _Answer:
        return _Answer(
            lines=tuple(f"  {w.usage:<26}{w.meaning}" for w in _WORDS.values())
        )


def _word(
    usage: str,
    meaning: str,
    act: Callable[[Wader, str, int], _Answer],
    rest: str | re.Pattern[str] = "",
) -> _Word:
    return _Word(usage=usage, meaning=meaning, act=act, rest=re.compile(rest))


# The table stands outside the class whose private actions it names.
# ruff: noqa: SLF001
_WORDS: Final = {
    "plate": _word("plate", "maker's plate", Wader._plate),
    "state": _word("state", "outputs, uptime, what holds back", Wader._state),
    "recite": _word("recite [NAME]", "all settings, or one", Wader._recite, r"\S*"),
    "let": _word("let NAME be VALUE", "change a live value", Wader._let, ".*"),
    "keep": _word("keep", "store all live values", Wader._keep),
    "forget": _word("forget", "stored values again", Wader._forget),
    "restart": _word("restart", "start again, stored values", Wader._restart),
    "start": _word("start over", "factory values, not kept", Wader._start_over, "over"),
    "lamp": _word("lamp MS", "blink the lamp", Wader._lamp, "[0-9]{1,9}"),
    "halt": _word("halt", "outputs to rest", Wader._halt),
    "feel": _word("feel", "sensors and supply", Wader._feel),
    "hear": _word("hear", "radio and outputs", Wader._hear),
    "swing": _word(
        "swing PAD to US for MS", "drive a pad", Wader._swing, wader_live.SWING
    ),
    "slack": _word("slack PAD", "no pulse on a pad", Wader._slack, wader_live.SLACK),
    "whirl": _word(
        "whirl SIDE at PCT for MS", "spin a motor", Wader._whirl, wader_live.WHIRL
    ),
    "words": _word("words", "this list", Wader._list_words),
}


def _sorry(reason: str) -> _Answer:
    return _Answer(status=f"sorry: {reason}")


def _text(*lines: str) -> bytes:
    return "".join(f"{line}\r\n" for line in lines).encode("ascii")
