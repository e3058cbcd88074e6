"""The turnstone console: a counting prompt, a pager, questions, a countdown at boot.

The host ends a line with LF, the board with CR LF. A key does what the moment asks:
at the prompt it is typed, at the pager it turns the page, at a question it answers,
in the countdown `k` stops the start. The words are in `_WORDS`.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Final, final

from . import turnstone_live
from . import turnstone_table as sheet
from .console import BootLine, Said
from .keyed import ERASERS, LF, PRINTABLE, Keyed, text
from .quantities import RefusalError
from .spelling import part, plate, write

if TYPE_CHECKING:
    from .aircraft import Aircraft

PAGE_LINES: Final = 24
PAGER: Final = b"-- more: blank line, q --"
LONGEST_LINE: Final = 120
"""Characters in a line; a longer one is refused whole."""
COUNTDOWN: Final = (b"autostart in 3", b" 2", b" 1")
TICK_US: Final = 300_000
FLASH_STALL_US: Final = 20_000
LAMP_LONGEST_MS: Final = 5000

_ABANDON: Final = 0x15
_WIPED: Final = b"\r" + b" " * len(PAGER) + b"\r"


class _Moment(Enum):
    COUNTDOWN = "countdown"
    PROMPT = "prompt"
    PAGER = "pager"
    QUESTION = "question"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Question:
    asked: str
    act: Callable[[int], Said]


_Answer = list[str] | _Question


@dataclass(frozen=True, slots=True, kw_only=True)
class _Word:
    usage: str
    form: re.Pattern[str]
    act: Callable[["Turnstone", re.Match[str], int], _Answer]


@final
class Turnstone(Keyed):
    """The console's state: the moment, the line being typed, the unread pages."""

    def __init__(self, aircraft: "Aircraft") -> None:
        super().__init__()
        self._aircraft = aircraft
        self._names = sheet.names(aircraft)
        self._cells = self._names.canonical | {
            alias: self._names.canonical[name] for alias, name in sheet.ALIASES.items()
        }
        self._boots = 0
        self.wipe()

    def wipe(self) -> None:
        """Power-up: the countdown comes next."""
        super().wipe()
        self._moment = _Moment.COUNTDOWN
        self._ticks = 0
        self._tick_us = 0
        self._stopped = False
        self._done = 0
        self._typed = bytearray()
        self._unread: list[str] = []
        self._pages = True
        self._question: _Question | None = None

    @property
    def due_us(self) -> int | None:
        """The next tick of the countdown."""
        return self._tick_us if self._moment is _Moment.COUNTDOWN else None

    def speak(self, now_us: int) -> bytes:
        """Count down; after the last tick, or once stopped, there is a prompt."""
        if not self._stopped and self._ticks < len(COUNTDOWN):
            said = COUNTDOWN[self._ticks]
            self._ticks += 1
            self._tick_us = now_us + TICK_US
            return said
        self._moment = _Moment.PROMPT
        end = "stopped here" if self._stopped else "started"
        return text("", end) + self._prompt()

    def boot(self) -> tuple[BootLine, ...]:
        """What is said before the countdown."""
        self._boots += 1
        rows = sheet.row_count(self._aircraft)
        kept = self._aircraft.kept_count is not None
        store = f"{rows} rows stored" if kept else "nothing stored, rows as made"
        return (
            BootLine(after_us=60_000, data=text("")),
            BootLine(after_us=120_000, data=text("turnstone board, loader 2")),
            BootLine(after_us=200_000, data=text(store)),
        )

    def _prompt(self) -> bytes:
        return f"[{self._done + 1}]> ".encode()

    def _key(self, key: int) -> bytes:
        return _KEYS[self._moment](self, key)

    def _count_key(self, key: int) -> bytes:
        self._stopped = self._stopped or key == ord("k")
        return b""

    def _line_key(self, key: int) -> bytes:
        if key == LF:
            return b"\r\n" + self._accept()
        if key in PRINTABLE:
            self._typed.append(key)
            return bytes((key,))
        if key in ERASERS and self._typed:
            del self._typed[-1]
            return b"\b \b"
        if key == _ABANDON:
            self._typed.clear()
            return b"\r\n" + self._prompt()
        return b""

    def _pager_key(self, key: int) -> bytes:
        match key:
            case 0x20:
                return _WIPED + self._page(self._unread, PAGE_LINES)
            case 0x0A:
                return _WIPED + self._page(self._unread, 1)
            case 0x71:
                return _WIPED + self._page([], 0)
            case _:
                return b""

    def _question_key(self, key: int) -> bytes:
        question = self._question
        if question is None or key not in b"yn":
            return b""
        self._moment = _Moment.PROMPT
        self._question = None
        if key == ord("n"):
            return text("n", "left as it is") + self._prompt()
        self._todo.append(question.act)
        return text("y")

    def _accept(self) -> bytes:
        line = self._typed.decode("ascii").strip()
        self._typed.clear()
        if not line:
            return self._prompt()
        self.received.append(line)
        self._todo.append(lambda now_us: self._carry_out(line, now_us))
        return b""

    def _carry_out(self, line: str, now_us: int) -> Said:
        self._done += 1
        try:
            answer = self._answer(line, now_us)
        except RefusalError as refusal:
            answer = [f"no: {refusal}"]
        if isinstance(answer, _Question):
            self._moment = _Moment.QUESTION
            self._question = answer
            return Said(data=f"{answer.asked}? (y/n) ".encode())
        return Said(data=self._page(answer, PAGE_LINES))

    def _answer(self, line: str, now_us: int) -> _Answer:
        if len(line) > LONGEST_LINE:
            msg = f"a line has at most {LONGEST_LINE} characters"
            raise RefusalError(msg)
        head = line.split(" ", maxsplit=1)[0]
        word = _WORDS.get(head)
        if word is None:
            msg = f"{head} is no word of mine, see words"
            raise RefusalError(msg)
        said = word.form.fullmatch(line)
        if said is None:
            msg = f"say {word.usage}"
            raise RefusalError(msg)
        return word.act(self, said, now_us)

    def _page(self, lines: list[str], count: int) -> bytes:
        """Print at most `count` lines; the rest waits behind the pager."""
        if not self._pages or len(lines) <= count:
            self._moment = _Moment.PROMPT
            self._unread = []
            return text(*lines) + self._prompt()
        self._moment = _Moment.PAGER
        self._unread = lines[count:]
        return text(*lines[:count]) + PAGER

    def _show(self, _said: re.Match[str], now_us: int) -> _Answer:
        return sheet.table(self._aircraft, order=self._boots, now_us=now_us)

    def _what(self, said: re.Match[str], now_us: int) -> _Answer:
        name = self._require(said[1])
        setting = self._aircraft.settings[name]
        value = self._aircraft.value(name, now_us)
        spelled = sheet.VALUES.spell(setting.kind, value)
        return [f"{said[1]} is {spelled} {part(name).unit}".rstrip()]

    def _put(self, said: re.Match[str], _now_us: int) -> _Answer:
        words = said[1].split(" ")
        heads = (" ".join(words[:n]) for n in range(len(words), 0, -1))
        head = next((h for h in heads if h in self._cells), None)
        name = self._require(said[1] if head is None else head)
        given = said[1].removeprefix(head or "").strip()
        kind = self._aircraft.settings[name].kind
        value = sheet.VALUES.read(kind, given)
        note = write(self._aircraft, self._names.of, name, value, yes="on")
        return ["ok" if note is None else f"ok, but {note}"]

    def _require(self, spelled: str) -> str:
        name = self._cells.get(spelled)
        if name is None or name in sheet.pads(self._aircraft).values():
            msg = f"no row is called {spelled}"
            raise RefusalError(msg)
        return name

    def _pads(self, _said: re.Match[str], _now_us: int) -> _Answer:
        live = self._aircraft.live
        return [
            f"{pad} is free"
            if live[name] == "nothing"
            else f"{pad} carries {live[name]}"
            for pad, name in sheet.pads(self._aircraft).items()
        ]

    def _carry(self, said: re.Match[str], _now_us: int) -> _Answer:
        job, pad = said[1], self._pad(said[2])
        if job == "nothing":
            msg = "to carry nothing, say free PAD"
            raise RefusalError(msg)
        before = [n for n, v in self._aircraft.live.items() if v == job and n != pad]
        self._aircraft.write(pad, job)
        for name in sheet.pads(self._aircraft).values():
            if name in before:
                self._aircraft.write(name, "nothing")
        return ["ok"]

    def _free(self, said: re.Match[str], _now_us: int) -> _Answer:
        self._aircraft.write(self._pad(said[1]), "nothing")
        return ["ok"]

    def _pad(self, pad: str) -> str:
        name = sheet.pads(self._aircraft).get(pad)
        if name is None:
            msg = f"no pad is called {pad}"
            raise RefusalError(msg)
        return name

    def _store(self, _said: re.Match[str], _now_us: int) -> _Answer:
        rows = sheet.row_count(self._aircraft)
        return _Question(asked=f"store {rows} rows", act=self._store_now)

    def _store_now(self, _now_us: int) -> Said:
        try:
            self._aircraft.keep()
        except RefusalError as refusal:
            return Said(data=text(f"no: {refusal}") + self._prompt())
        rows = sheet.row_count(self._aircraft)
        done = text(f"{rows} rows stored") + self._prompt()
        return Said(data=done, stall_us=FLASH_STALL_US)

    def _restart(self, _said: re.Match[str], _now_us: int) -> _Answer:
        going = Said(data=text("going down"), restart=True)
        return _Question(asked="restart now", act=lambda _now_us: going)

    def _who(self, _said: re.Match[str], _now_us: int) -> _Answer:
        kind, layout, firmware, number = (
            plate(self._aircraft, fact)
            for fact in ("type", "layout", "firmware", "number")
        )
        return [f"I am {kind} {number}, a {layout} board with firmware {firmware}"]

    def _ready(self, _said: re.Match[str], now_us: int) -> _Answer:
        craft = self._aircraft
        return [
            f"outputs are {'live' if craft.outputs_live else 'resting'}",
            f"up for {craft.uptime_ms(now_us) / 1000:.3f} s",
            *(f"not ready: {reason}" for reason in craft.holding_back()),
        ]

    def _lamp(self, said: re.Match[str], now_us: int) -> _Answer:
        span_ms = int(said[1])
        if not 1 <= span_ms <= LAMP_LONGEST_MS:
            msg = f"the lamp takes 1 to {LAMP_LONGEST_MS} ms"
            raise RefusalError(msg)
        self._aircraft.lamp.blink(span_ms, now_us)
        return ["ok"]

    def _halt(self, _said: re.Match[str], _now_us: int) -> _Answer:
        self._aircraft.halt()
        return ["ok"]

    def _sense(self, _said: re.Match[str], now_us: int) -> _Answer:
        return turnstone_live.sense(self._aircraft, now_us)

    def _send(self, said: re.Match[str], now_us: int) -> _Answer:
        turnstone_live.send(self._aircraft, said, now_us)
        return ["ok"]

    def _turn(self, said: re.Match[str], now_us: int) -> _Answer:
        turnstone_live.turn(self._aircraft, said, now_us)
        return ["ok"]

    def _pager(self, said: re.Match[str], _now_us: int) -> _Answer:
        self._pages = said[1] == "on"
        return ["ok"]

    def _list_words(self, _said: re.Match[str], _now_us: int) -> _Answer:
        return [word.usage for word in _WORDS.values()]


# The tables stand outside the class whose private actions they name.
# ruff: noqa: SLF001
_KEYS: Final[dict[_Moment, Callable[[Turnstone, int], bytes]]] = {
    _Moment.COUNTDOWN: Turnstone._count_key,
    _Moment.PROMPT: Turnstone._line_key,
    _Moment.PAGER: Turnstone._pager_key,
    _Moment.QUESTION: Turnstone._question_key,
}


def _word(
    usage: str,
    act: Callable[[Turnstone, re.Match[str], int], _Answer],
    form: str | None = None,
) -> _Word:
    return _Word(usage=usage, act=act, form=re.compile(usage if form is None else form))


_WORDS: Final = {
    "show": _word("show", Turnstone._show),
    "what": _word("what is NAME", Turnstone._what, r"what is (\S.*)"),
    "put": _word("put NAME VALUE", Turnstone._put, r"put (\S.*)"),
    "pads": _word("pads", Turnstone._pads),
    "carry": _word("carry JOB PAD", Turnstone._carry, r"carry (\S+) (\S+)"),
    "free": _word("free PAD", Turnstone._free, r"free (\S+)"),
    "store": _word("store", Turnstone._store),
    "restart": _word("restart", Turnstone._restart),
    "who": _word("who", Turnstone._who),
    "ready": _word("ready", Turnstone._ready),
    "lamp": _word("lamp MS", Turnstone._lamp, r"lamp ([0-9]{1,9})"),
    "halt": _word("halt", Turnstone._halt),
    "sense": _word("sense", Turnstone._sense),
    "send": _word(
        "send PULSE us to PAD [for MS ms]", Turnstone._send, turnstone_live.SEND
    ),
    "turn": _word(
        "turn SIDE at N permille for S s", Turnstone._turn, turnstone_live.TURN
    ),
    "pager": _word("pager on|off", Turnstone._pager, r"pager (on|off)"),
    "words": _word("words", Turnstone._list_words),
}
