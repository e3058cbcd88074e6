"""The dunlin console: a login, two modes, a line that is redrawn at every key.

The host ends a line with CR, the board with CR LF. Success is silent; a refusal is a
line that starts with `? `. Common settings are kept as soon as they are written, banks
on `seal`, the note never. The words are in `_WORDS`.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Final, final

from . import dunlin_live
from . import dunlin_sheet as sheet
from .console import BootLine, Said
from .keyed import CR, ERASERS, PRINTABLE, Keyed, text
from .quantities import RefusalError
from .spelling import plate, write

if TYPE_CHECKING:
    from .aircraft import Aircraft

USER: Final = "bench"
WORD: Final = "reed"
FAILURES: Final = 3
"""Wrong answers before the board takes a pause."""
PAUSE_US: Final = 1_000_000
REPAINT_US: Final = 800_000
"""After so long without a key the line is painted anew, again and again."""
LONGEST_LINE: Final = 100
CELL_STALL_US: Final = 2000
"""A write that is kept at once stops the processor for so long."""
FLASH_STALL_US: Final = 20_000
LAMP_LONGEST_MS: Final = 5000

_ABANDON: Final = 0x15
_NOTE_ENDS: Final = ">>"


class _Moment(Enum):
    USER = "user"
    WORD = "word"
    PAUSE = "pause"
    VIEW = "view"
    EDIT = "edit"
    NOTE = "note"


_PROMPTS: Final = {
    _Moment.USER: "user: ",
    _Moment.WORD: "word: ",
    _Moment.PAUSE: "",
    _Moment.VIEW: "\x1b[32mdunlin view$ \x1b[0m",
    _Moment.EDIT: "\x1b[32mdunlin edit$ \x1b[0m",
    _Moment.NOTE: "\x1b[32mdunlin note> \x1b[0m",
}
_PAINTED: Final = frozenset({_Moment.VIEW, _Moment.EDIT, _Moment.NOTE})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answer:
    lines: tuple[str, ...] = ()
    stall_us: int = 0
    restart: bool = False


_SILENT: Final = _Answer()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Word:
    usage: str
    form: re.Pattern[str]
    act: Callable[["Dunlin", re.Match[str], int], _Answer]
    edits: bool
    """Only in edit mode."""


@final
class Dunlin(Keyed):
    """The console's state: the moment, the line being typed, the selected bank."""

    def __init__(self, aircraft: "Aircraft") -> None:
        super().__init__()
        self._aircraft = aircraft
        self._names = sheet.names(aircraft)
        self._common = sheet.common(aircraft)
        self.wipe()

    def wipe(self) -> None:
        """Power-up: nobody is logged in."""
        super().wipe()
        self._moment = _Moment.USER
        self._typed = ""
        self._user = ""
        self._failures = 0
        self._bank = sheet.BANKS[0]
        self._note: list[str] = []
        self._active_us = 0
        self._pause_ends_us = 0

    @property
    def due_us(self) -> int | None:
        """The end of a pause, or the next repainting."""
        if self._moment is _Moment.PAUSE:
            return self._pause_ends_us
        if self._moment in _PAINTED and not self._todo:
            return self._active_us + REPAINT_US
        return None

    def speak(self, now_us: int) -> bytes:
        """End the pause, or paint the line anew."""
        self._active_us = now_us
        if self._moment is _Moment.PAUSE:
            self._moment = _Moment.USER
            self._failures = 0
        return self._draw()

    def hear(self, data: bytes, now_us: int) -> bytes:
        """A key puts the next repainting off."""
        self._active_us = now_us
        return data

    def boot(self) -> tuple[BootLine, ...]:
        """What is said after power-up."""
        return (
            BootLine(after_us=100_000, data=text("")),
            BootLine(after_us=250_000, data=text("dunlin 3 up")),
            BootLine(after_us=400_000, data=self._draw()),
        )

    def _draw(self) -> bytes:
        prompt = _PROMPTS[self._moment]
        if self._moment not in _PAINTED:
            return prompt.encode()
        return f"\r\x1b[K{prompt}{self._typed}".encode()

    def _key(self, key: int) -> bytes:
        if self._moment is _Moment.PAUSE:
            return b""
        if key == CR:
            line, self._typed = self._typed, ""
            return b"\r\n" + self._accept(line)
        if key in PRINTABLE:
            self._typed += chr(key)
        elif key in ERASERS:
            self._typed = self._typed[:-1]
        elif key == _ABANDON:
            self._typed = ""
        else:
            return b""
        return self._draw() if self._moment in _PAINTED else self._plain_echo(key)

    def _plain_echo(self, key: int) -> bytes:
        if self._moment is _Moment.WORD or key not in PRINTABLE:
            return b""
        return bytes((key,))

    def _accept(self, line: str) -> bytes:
        match self._moment:
            case _Moment.USER:
                self._user = line
                self._moment = _Moment.WORD
                return self._draw()
            case _Moment.WORD:
                self._todo.append(lambda now_us: self._let_in(line, now_us))
                return b""
            case _Moment.NOTE:
                return self._take_note_line(line)
            case _:
                return self._take_command(line.strip())

    def _let_in(self, word: str, now_us: int) -> Said:
        self._active_us = now_us
        if (self._user, word) == (USER, WORD):
            self._moment = _Moment.VIEW
            return Said(data=text(f"hello {USER}") + self._draw())
        self._failures += 1
        pauses = self._failures == FAILURES
        self._moment = _Moment.PAUSE if pauses else _Moment.USER
        self._pause_ends_us = now_us + PAUSE_US
        return Said(data=text("? not let in") + self._draw())

    def _take_note_line(self, line: str) -> bytes:
        if line != _NOTE_ENDS:
            self._note.append(line)
            return self._draw()
        lines, self._note = self._note, []
        self._moment = _Moment.EDIT
        self._todo.append(
            lambda now_us: self._finish(lambda: self._write_note(lines), now_us)
        )
        return b""

    def _take_command(self, line: str) -> bytes:
        if not line:
            return self._draw()
        self.received.append(line)
        self._todo.append(
            lambda now_us: self._finish(lambda: self._carry_out(line, now_us), now_us)
        )
        return b""

    def _finish(self, act: Callable[[], _Answer], now_us: int) -> Said:
        self._active_us = now_us
        try:
            answer = act()
        except RefusalError as refusal:
            answer = _Answer(lines=(f"? {refusal}",))
        end = b"" if answer.restart else self._draw()
        return Said(
            data=text(*answer.lines) + end,
            stall_us=answer.stall_us,
            restart=answer.restart,
        )

    def _carry_out(self, line: str, now_us: int) -> _Answer:
        word = _WORDS.get(line.split(" ", maxsplit=1)[0])
        if word is None or len(line) > LONGEST_LINE:
            msg = "unknown word" if word is None else f"over {LONGEST_LINE} characters"
            raise RefusalError(msg)
        if word.edits and self._moment is not _Moment.EDIT:
            msg = "only in edit"
            raise RefusalError(msg)
        said = word.form.fullmatch(line)
        if said is None:
            msg = f"use: {word.usage}"
            raise RefusalError(msg)
        return word.act(self, said, now_us)

    def _canonical(self, path: str) -> str:
        known = self._names.canonical
        name = known.get(path) or known.get(f"bank {self._bank}/{path}")
        if name is None or path.startswith(("options/", "bank ")):
            msg = f"nothing at {path}"
            raise RefusalError(msg)
        return name

    def _list(self, said: re.Match[str], now_us: int) -> _Answer:
        lines = sheet.sheet(
            self._aircraft, bank=self._bank, defaults=said[1] is not None, now_us=now_us
        )
        return _Answer(lines=tuple(lines))

    def _peek(self, said: re.Match[str], now_us: int) -> _Answer:
        name = self._canonical(said[1])
        if name == sheet.NOTE:
            return _Answer(lines=tuple(sheet.note_block(self._aircraft)))
        value = self._aircraft.value(name, now_us)
        return _Answer(lines=(sheet.listed(self._aircraft.settings[name], value),))

    def _lay(self, said: re.Match[str], _now_us: int) -> _Answer:
        name = self._canonical(said[1])
        if name == sheet.NOTE:
            return self._begin_note(said[2])
        kind = self._aircraft.settings[name].kind
        return self._write(name, sheet.VALUES.read(kind, said[2]))

    def _begin_note(self, given: str) -> _Answer:
        if given != "<<":
            msg = "use: lay note <<"
            raise RefusalError(msg)
        self._moment = _Moment.NOTE
        return _SILENT

    def _write_note(self, lines: list[str]) -> _Answer:
        self._aircraft.write(sheet.NOTE, sheet.note_value(lines))
        return _SILENT

    def _write(self, name: str, value: str) -> _Answer:
        names = self._names.of
        note = write(self._aircraft, names, name, value, yes="worn")
        lines = () if note is None else (f"~ {note}",)
        if sheet.bank_of(name) is not None:
            return _Answer(lines=lines)
        self._aircraft.keep_only(self._common)
        return _Answer(lines=lines, stall_us=CELL_STALL_US)

    def _wear(self, said: re.Match[str], _now_us: int) -> _Answer:
        name = self._names.canonical.get(f"options/{said[2]}")
        if name is None:
            msg = f"no option {said[2]}"
            raise RefusalError(msg)
        return self._write(name, "yes" if said[1] == "wear" else "no")

    def _select(self, said: re.Match[str], _now_us: int) -> _Answer:
        bank = int(said[1])
        if bank not in sheet.BANKS:
            msg = f"no bank {bank}"
            raise RefusalError(msg)
        self._bank = bank
        return _SILENT

    def _seal(self, _said: re.Match[str], _now_us: int) -> _Answer:
        banked = [n for n in self._names.of if sheet.bank_of(n) is not None]
        self._aircraft.keep_only(banked)
        return _Answer(stall_us=FLASH_STALL_US)

    def _edit(self, _said: re.Match[str], _now_us: int) -> _Answer:
        self._moment = _Moment.EDIT
        return _SILENT

    def _view(self, _said: re.Match[str], _now_us: int) -> _Answer:
        self._moment = _Moment.VIEW
        return _SILENT

    def _about(self, _said: re.Match[str], _now_us: int) -> _Answer:
        facts = ("type", "layout", "firmware", "number")
        return _Answer(lines=tuple(f"{f}={plate(self._aircraft, f)}" for f in facts))

    def _ready(self, _said: re.Match[str], now_us: int) -> _Answer:
        craft = self._aircraft
        reasons = (f"waits: {reason}" for reason in craft.holding_back())
        outputs = "live" if craft.outputs_live else "resting"
        uptime = f"uptime={craft.uptime_ms(now_us) / 1000:.3f}"
        return _Answer(lines=(f"outputs={outputs}", uptime, *reasons))

    def _senses(self, _said: re.Match[str], _now_us: int) -> _Answer:
        return _Answer(lines=dunlin_live.senses(self._aircraft))

    def _lamp(self, said: re.Match[str], now_us: int) -> _Answer:
        span_ms = int(said[1])
        if not 1 <= span_ms <= LAMP_LONGEST_MS:
            msg = f"lamp: 1 to {LAMP_LONGEST_MS} ms"
            raise RefusalError(msg)
        self._aircraft.lamp.blink(span_ms, now_us)
        return _SILENT

    def _halt(self, _said: re.Match[str], _now_us: int) -> _Answer:
        self._aircraft.halt()
        return _SILENT

    def _reboot(self, _said: re.Match[str], _now_us: int) -> _Answer:
        return _Answer(restart=True)

    def _list_words(self, _said: re.Match[str], _now_us: int) -> _Answer:
        return _Answer(lines=tuple(word.usage for word in _WORDS.values()))


def _word(
    usage: str,
    act: Callable[[Dunlin, re.Match[str], int], _Answer],
    form: str | None = None,
    *,
    edits: bool = False,
) -> _Word:
    pattern = re.compile(usage if form is None else form)
    return _Word(usage=usage, act=act, form=pattern, edits=edits)


# The table stands outside the class whose private actions it names.
# ruff: noqa: SLF001
_WORDS: Final = {
    "list": _word("list [all]", Dunlin._list, "list( all)?"),
    "peek": _word("peek PATH", Dunlin._peek, r"peek (\S+)"),
    "lay": _word("lay PATH VALUE", Dunlin._lay, r"lay (\S+) (.+)", edits=True),
    "wear": _word("wear OPTION", Dunlin._wear, r"(wear) (\S+)", edits=True),
    "shed": _word("shed OPTION", Dunlin._wear, r"(shed) (\S+)", edits=True),
    "bank": _word("bank N", Dunlin._select, "bank ([0-9]{1,4})"),
    "seal": _word("seal", Dunlin._seal, edits=True),
    "edit": _word("edit", Dunlin._edit),
    "done": _word("done", Dunlin._view),
    "about": _word("about", Dunlin._about),
    "ready": _word("ready", Dunlin._ready),
    "senses": _word("senses", Dunlin._senses),
    "lamp": _word("lamp MS", Dunlin._lamp, "lamp ([0-9]{1,9})"),
    "halt": _word("halt", Dunlin._halt),
    "reboot": _word("reboot", Dunlin._reboot),
    "words": _word("words", Dunlin._list_words),
}
