"""A made-up console: what its seed has drawn, `generated_plan` tells what there is."""

import re
from collections import deque
from collections.abc import Callable
from typing import TYPE_CHECKING, Final, final

from .console import BootLine, Said, Typed
from .generated_paper import Paper
from .generated_plan import (
    Chatter,
    Framing,
    Persistence,
    ReadOne,
    Success,
    Trust,
    Writing,
    draw,
)
from .generated_sheet import Sheet
from .generated_statement import Statement, takes_lines
from .generated_typing import Typing
from .quantities import RefusalError
from .spelling import plate, write

if TYPE_CHECKING:
    from .aircraft import Aircraft
    from .settings import Setting

LONGEST_LINE: Final = 120
"""Characters in a line; a longer one is refused whole."""
KEEP_US: Final = 20_000
AT_ONCE_US: Final = 5_000
"""Time that a write takes where it is kept at once."""
LAMP_LONGEST_MS: Final = 5000
LOG_US: Final = 700_000
DOT_US: Final = 1_000_000
REMEMBERED_LINES: Final = 200

_PERIODS: Final = {Chatter.LOG: LOG_US, Chatter.DOTS: DOT_US}


class UnknownError(RefusalError):
    """No such word or setting."""


@final
class Generated:
    """The console's state: the line being typed, lines to do, the pager."""

    def __init__(self, aircraft: "Aircraft", seed: int) -> None:
        self.commands = 0
        self.received: deque[str] = deque(maxlen=REMEMBERED_LINES)
        self.plan = draw(seed)
        self._aircraft = aircraft
        self._sheet = Sheet(self.plan, aircraft)
        self._paper = Paper(self.plan)
        self._typing = Typing(self.plan)
        self._statement = Statement(self.plan, self._sheet)
        self._todo: str | None = None
        self._speaks_us = 0
        self._stall_us = 0
        self._restarts = False
        self._read = pattern(self.plan.read)
        self._write = pattern(self.plan.write)
        self._words = {self.plan.verbs[meaning]: act for meaning, act in _ACTS.items()}

    @property
    def busy(self) -> bool:
        """A typed line is still to be carried out."""
        return self._todo is not None

    @property
    def due_us(self) -> int | None:
        """When it next speaks unasked; never inside a line or at the pager."""
        within = self._typing.text or self.busy or self._paper.waits
        if within or self.plan.chatter is Chatter.NONE:
            return None
        return self._speaks_us

    def speak(self, now_us: int) -> bytes:
        """A log line or a dot; a prompt that was there is said again."""
        first = self._speaks_us == 0
        self._speaks_us = now_us + _PERIODS[self.plan.chatter]
        if first:
            return b""
        uptime_s = self._aircraft.uptime_ms(now_us) / 1000
        log = f"{self.plan.log_mark}{uptime_s:.3f} radio waiting"
        line = "." if self.plan.chatter is Chatter.DOTS else log
        prompt = self._paper.prompt()
        off = self._paper.text("") if prompt else b""
        return off + self._paper.text(line) + prompt

    def wipe(self) -> None:
        """As after power-up."""
        self._typing.wipe()
        self._paper.wipe()
        self._statement.leave()
        self._todo = None
        self._speaks_us = 0

    def boot(self) -> tuple[BootLine, ...]:
        """Lines over the boot, then the prompt if there is one."""
        plan = self.plan
        step_us = plan.boot_us // (len(plan.boot_lines) + 1)
        said = [
            BootLine(after_us=at * step_us, data=self._paper.text(line))
            for at, line in enumerate(plan.boot_lines, 1)
        ]
        prompt = self._paper.prompt()
        self._typing.column = len(prompt)
        return (*said, BootLine(after_us=plan.boot_us, data=prompt))

    def type(self, data: bytes | bytearray, start: int) -> Typed:
        """Take bytes from `start`, at most to the next line end or pager."""
        say = bytearray()
        at = start
        while at < len(data) and not self.busy:
            key = data[at]
            at += 1
            if self._paper.waits:
                say += self._paper.key(key)
                continue
            say += self._typing.key(key)
            if self._typing.line is not None:
                say += self._accept()
        return Typed(upto=at, say=bytes(say))

    def work(self, now_us: int) -> Said:
        """Carry out the typed line."""
        line, self._todo = self._todo or "", None
        self.commands += 1
        data = self._said(line, now_us)
        self._typing.column = len(self._paper.prompt())
        stall_us, self._stall_us = self._stall_us, 0
        restart, self._restarts = self._restarts, False
        return Said(data=data, stall_us=stall_us, restart=restart)

    def _accept(self) -> bytes:
        line, self._typing.line = (self._typing.line or "").strip(" "), None
        if line:
            self._todo = line
            self.received.append(line)
            return b""
        self._typing.column = len(self._paper.prompt())
        return self._paper.prompt()

    def _said(self, line: str, now_us: int) -> bytes:
        try:
            return self._paper.answer(self._carry_out(line, now_us))
        except RefusalError as refusal:
            unknown = isinstance(refusal, UnknownError)
            if self.plan.trust is Trust.SAYS_OK:
                return self._paper.answer(self._worked())
            if unknown and self.plan.trust is Trust.DROPS_UNKNOWN:
                return self._paper.answer([])
            return self._paper.refusal(str(refusal))

    def _carry_out(self, line: str, now_us: int) -> list[str]:
        if len(line) > LONGEST_LINE:
            msg = f"a line has at most {LONGEST_LINE} characters"
            raise RefusalError(msg)
        if self._statement.is_open:
            return self._inside(line, now_us)
        act = self._words.get(line)
        if act is not None:
            return act(self, "", now_us)
        lamp = self.plan.verbs["lamp"]
        if line.startswith(f"{lamp} "):
            return self._lamp(line.removeprefix(lamp).strip(" "), now_us)
        told = self._written(line, now_us)
        if told is not None:
            return told
        asked = self._read.fullmatch(line)
        if asked is not None and self.plan.read_one is not ReadOne.NONE:
            return self._tell(self._require(asked["name"]), now_us)
        msg = "no such words here"
        raise UnknownError(msg)

    def _written(self, line: str, now_us: int) -> list[str] | None:
        """What a line that writes, or begins to, is answered; None of any other."""
        writing = self.plan.writing
        if takes_lines(self.plan):
            return self._worked() if self._statement.opens(line) else None
        if writing is Writing.LETTERS:
            lettered = self._statement.letters(line)
            return None if lettered is None else self._let_all(lettered, now_us)
        written = self._write.fullmatch(line)
        if written is None:
            return None
        return self._let(self._require(written["name"]), written["value"], now_us)

    def _require(self, name: str) -> "Setting":
        canonical = self._sheet.names.canonical.get(name)
        if canonical is None:
            msg = f"nothing is called {name}"
            raise UnknownError(msg)
        return self._aircraft.settings[canonical]

    def _tell(self, setting: "Setting", now_us: int) -> list[str]:
        if self.plan.read_one is ReadOne.BARE:
            return [self._sheet.bare(setting, now_us)]
        return [self._sheet.one(setting, now_us)]

    def _inside(self, line: str, now_us: int) -> list[str]:
        words = self.plan.statement
        if line == words.leaving:
            self._statement.leave()
            return self._worked()
        whole = self.plan.writing is Writing.WHOLE_STATEMENT
        if line != words.closing:
            setting, given = self._statement.field(line)
            if not whole:
                return self._let(setting, given, now_us)
            setting.kind.take(self._sheet.read(setting, given))
            return self._worked()
        told = self._statement.all_given() if whole else []
        self._statement.leave()
        return self._let_all(told, now_us)

    def _let_all(self, told: "list[tuple[Setting, str]]", now_us: int) -> list[str]:
        """Take what is new; what stands there already is no write."""
        lines: list[str] = []
        for setting, given in told:
            live = self._aircraft.true_live()[setting.name]
            if self._sheet.spell(setting, live) != given:
                lines += self._let(setting, given, now_us)
        return lines if self.plan.success is Success.VALUE else self._worked()

    def _let(self, setting: "Setting", given: str, now_us: int) -> list[str]:
        value = self._sheet.read(setting, given)
        yes = self.plan.switch[0]
        write(self._aircraft, self._sheet.names.of, setting.name, value, yes=yes)
        if self.plan.persistence is Persistence.AT_ONCE:
            self._aircraft.keep_only(s.name for s in self._sheet.settings)
            self._stall_us = AT_ONCE_US
        if self.plan.success is Success.VALUE:
            return [self._sheet.one(setting, now_us)]
        return self._worked()

    def _worked(self) -> list[str]:
        words = self.plan.success is Success.WORDS
        status = self.plan.framing in {Framing.STATUS, Framing.STATUS_PROMPT}
        return [self.plan.success_word] if words and not status else []

    def _list(self, _rest: str, now_us: int) -> list[str]:
        if not self.plan.lists:
            msg = "no such words here"
            raise UnknownError(msg)
        return self._sheet.lines(now_us)

    def _keep(self, _rest: str, _now_us: int) -> list[str]:
        if self.plan.persistence is Persistence.AT_ONCE:
            msg = "no such words here"
            raise UnknownError(msg)
        lost = "" if self.plan.persistence is Persistence.KEEP else self.plan.lost_group
        names = (s.name for s in self._sheet.settings)
        self._stall_us = KEEP_US
        self._aircraft.keep_only(n for n in names if n.partition(".")[0] != lost)
        return self._worked()

    def _restart(self, _rest: str, _now_us: int) -> list[str]:
        self._restarts = True
        return self._worked()

    def _identify(self, _rest: str, _now_us: int) -> list[str]:
        facts = ("type", "layout", "firmware", "number")
        return [" ".join(plate(self._aircraft, fact) for fact in facts)]

    def _ready(self, _rest: str, _now_us: int) -> list[str]:
        state = "live" if self._aircraft.outputs_live else "resting"
        return [f"outputs {state}", *self._aircraft.holding_back()]

    def _lamp(self, rest: str, now_us: int) -> list[str]:
        if not rest.isdecimal() or not 1 <= int(rest[:9]) <= LAMP_LONGEST_MS:
            msg = f"1 to {LAMP_LONGEST_MS} ms"
            raise RefusalError(msg)
        self._aircraft.lamp.blink(int(rest), now_us)
        return self._worked()

    def _halt(self, _rest: str, _now_us: int) -> list[str]:
        self._aircraft.halt()
        return self._worked()

    def _pager_off(self, _rest: str, _now_us: int) -> list[str]:
        if self.plan.pager is None:
            msg = "no such words here"
            raise UnknownError(msg)
        self._paper.pages = False
        return self._worked()


# The table stands outside the class whose private actions it names.
# ruff: noqa: SLF001
_ACTS: Final[dict[str, Callable[[Generated, str, int], list[str]]]] = {
    "list": Generated._list,
    "keep": Generated._keep,
    "restart": Generated._restart,
    "identify": Generated._identify,
    "ready": Generated._ready,
    "lamp": Generated._lamp,
    "halt": Generated._halt,
    "pager_off": Generated._pager_off,
}


def pattern(form: str) -> re.Pattern[str]:
    """What a form takes: a blank of it is one or more, around a mark also none."""
    text = re.escape(form).replace(r"\{name\}", "(?P<name>.+?)")
    text = text.replace(r"\{value\}", "(?P<value>.*)")
    for mark in ("=", ","):
        text = re.sub(rf"(\\ )*{mark}(\\ )*", f" *{mark} *", text)
    return re.compile(text.replace(r"\ ", " +"))


def shown(aircraft: "Aircraft", seed: int) -> dict[str, str]:
    """The live settings, named and spelled as this console lists them."""
    return Sheet(draw(seed), aircraft).spelled(aircraft.live)


def kept_shown(aircraft: "Aircraft", seed: int) -> dict[str, str]:
    """The same for what a restart brings."""
    return Sheet(draw(seed), aircraft).spelled(aircraft.after_restart())
