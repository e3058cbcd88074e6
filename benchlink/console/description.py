"""A board's console as data: what to send, and how to read what comes back."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from benchlink.console.charset import Charset
from benchlink.console.dial import Dial
from benchlink.console.forms import Form
from benchlink.console.gauge import Gauge
from benchlink.console.hazard_rules import HazardRules
from benchlink.console.pads import Pads
from benchlink.console.role_setting import Roles
from benchlink.console.spelling import Spelling
from benchlink.console.template import Template
from benchlink.console.window import UNDECLARED_BYTES
from benchlink.core.exchange import AnswerForm, Command
from benchlink.core.intent import matches_any
from benchlink.core.jobs import Job
from benchlink.core.plan import Moves
from benchlink.errors import MisuseError
from benchlink.units import Seconds

PATIENCE: Final = Seconds(3.0)
BACK_WITHIN: Final = Seconds(10.0)
NO_PAUSE: Final = Seconds(0.0)
REPEATED: Final = ("line", "cell")
"""Fields that make a step stand for several: one for each line of a value, or for each
setting of a statement."""


class LineEnd(Enum):
    """What ends a line sent to the board."""

    CR = b"\r"
    LF = b"\n"
    CRLF = b"\r\n"


class Wake(Enum):
    """What makes the board show its prompt."""

    ABANDON = "the abandon byte"
    LINE_END = "a line end alone"
    NOTHING = "nothing is sent; the board says its prompt by itself"


class Echo(Enum):
    """How the board repeats what it is sent."""

    PLAIN = "plain"
    """As typed, or redrawn so that the finished line looks as typed."""
    FOLDED = "folded"
    """Broken into several lines at a fixed width."""
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """What to send when the board shows something that is no answer."""

    shows: Template
    line: Template | None = None
    """Sent with a line end; its fields are what the person was asked for."""
    key: bytes = b""
    """Sent as it is, where there is no line."""
    wait: bool = False
    """Whether nothing at all is sent until it is over: any key would do harm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How to hold a conversation: all that the wire side needs to know."""

    prompt: Template | None = None
    """Stands at the start of a line when the board waits for a command."""
    prompt_after_text: bool = False
    """Whether it may stand behind the last words of an answer, in the same line."""
    echo: Echo = Echo.PLAIN
    folds_at: int = 0
    """Columns after which an echo is folded; 0 where nobody has counted."""
    answer: AnswerForm = field(default_factory=AnswerForm)
    """How an answer ends where a verb does not say otherwise."""
    line_end: LineEnd = LineEnd.CR
    board_ends_with_cr: bool = False
    """Whether a CR alone ends the board's lines."""
    charset: Charset = Charset.UNSAID
    """How bytes stand for characters, both ways."""
    longest_line: int = 80
    """Bytes of a command line, its end not counted."""
    abandon: bytes = b""
    """One byte that drops a line begun and gives a new prompt; empty when unknown."""
    wake: Wake = Wake.LINE_END
    stuck: tuple[str, ...] = ()
    """Keys that get a board which the wake leaves silent out of a pager, a question, or
    a login; each is followed by the abandon byte."""
    hello: str = ""
    """A harmless line whose answer proves that a board without a prompt listens."""
    hello_form: AnswerForm = field(default_factory=AnswerForm)
    hello_gives: tuple[Template, ...] = ()
    """The lines of that answer: anything else was said by a board that starts."""
    cues: tuple[Cue, ...] = ()
    """What may be shown before the first prompt: a login, a countdown."""
    pager: Cue | None = None
    ways_out: tuple[Cue, ...] = ()
    """What ends a write of several lines that shows that it goes on: sent after a doubt
    alone, for what stood open before may be somebody else's."""
    setup: tuple[str, ...] = ()
    """Lines sent after every opening and restart."""
    chatter: tuple[Template, ...] = ()
    """Lines that come at any time and answer nothing."""
    patience: Seconds = PATIENCE
    """How long the board may take to show its first prompt."""
    listen: Seconds = NO_PAUSE
    """How long nothing is sent to a board that was just found, or has just started."""
    banner: tuple[Template, ...] = ()
    """Lines that only a board which has just started says: they prove a restart."""
    restart_pause: Seconds = NO_PAUSE
    """How long a board without a banner is left alone after a restart."""
    back_within: Seconds = BACK_WITHIN
    """How long a restart may take, until the prompt stands again."""
    window_bytes: int = UNDECLARED_BYTES
    one_at_a_time: bool = False
    pause: Seconds = NO_PAUSE
    """How long the board needs after an answer before it listens again."""

    @property
    def window(self) -> int:
        """Unanswered bytes; 0, one command at a time, where only the order tells."""
        # An echo that is drawn anew would cover the words before a shared prompt.
        alone = self.one_at_a_time or self.prompt_after_text
        alone = alone or self.echo is not Echo.PLAIN
        return 0 if alone else self.window_bytes

    def bytes_of(self, command: Command) -> bytes:
        """A command as it is sent, with its line end.

        Raises:
            MisuseError: the line holds a control character or is too long.
        """
        line, charset = command.line, self.charset
        if not (line.isascii() if command.key else charset.has(line)):
            msg = f"not a plain line: {line!r}"
            raise MisuseError(msg)
        if charset.length(line) > self.longest_line:
            msg = f"{line!r} is longer than the board's line"
            raise MisuseError(msg)
        end = b"" if command.key else self.line_end.value
        return charset.encode(line) + end


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing sent, and how the answer to it ends."""

    line: Template
    form: AnswerForm
    key: bool = False
    """Sent as it is, without a line end."""
    gives: tuple[Template, ...] = ()
    """The lines of its answer, where they are not those of the whole verb."""

    @property
    def repeats(self) -> str:
        """The field for each of whose texts it is sent once; empty where it is not."""
        return next((name for name in REPEATED if name in self.line.fields), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Verb:
    """One thing that the console can be told, and the lines it answers with."""

    steps: tuple[Step, ...]
    gives: tuple[Template, ...] = ()
    split: str = ""
    """Cuts one line of the answer into several."""
    alone: bool = False
    mode: str = ""
    """Mode in which alone the console takes it."""
    moves: Moves = Moves.NOTHING
    way_out: Step | None = None
    """What gets the console out of it when a step in the middle failed."""

    @property
    def by_line(self) -> bool:
        """Whether it writes a value line by line."""
        return any(step.repeats == "line" for step in self.steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """A state of the console that has to be entered and left."""

    enter: Step
    leave: Step


@dataclass(frozen=True, slots=True, kw_only=True)
class BankNames:
    """Settings of which there are several sets, and a list shows one of them."""

    names: tuple[str, ...]
    """The banks, as the console numbers them."""
    of: tuple[str, ...]
    """Patterns of the settings that every bank has for itself."""
    shown: tuple[Template, ...]
    """Lines of a listing that tell in `{bank}` which one it shows."""
    named: Template
    """Name of a setting of a bank, from `{bank}` and its own `{name}`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Banks(BankNames):
    """Sets of which only the selected one is listed and written."""

    select: Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One way to read settings."""

    ask: Verb
    forms: tuple[Form, ...]
    furniture: tuple[Template, ...] = ()
    each: tuple[str, ...] = ()
    """Names that are asked for one by one, where the console has no list."""
    numbered: tuple[Template, ...] = ()
    """Names with a `{count}` from 1 on, as many as the board has."""
    split: str = ""
    """Cuts one line of the answer into several."""
    banks: Banks | None = None
    listed_banks: BankNames | None = None
    """Banks that the line of the list names, where none is ever selected."""
    only_limits: bool = False
    """A second list that tells ranges, defaults and who may write, but no values."""

    @property
    def bank_names(self) -> BankNames | None:
        """Its banks, whichever way one is listed."""
        return self.banks or self.listed_banks


class Kept(Enum):
    """When a written value outlives a restart."""

    ON_KEEP = "on-keep"
    AT_ONCE = "at-once"
    NEVER = "never"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outputs:
    """Which word of the readiness answer tells whether outputs may move."""

    live: str
    resting: str
    reasons: Mapping[str, str] = field(default_factory=dict)
    """The board's words for what holds it back, and plain ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveVerb:
    """A verb that moves something, and how each field of its line is counted."""

    verb: Verb
    dials: Mapping[str, Dial] = field(default_factory=dict)
    """By the fields `pulse`, `percent` and `time`."""
    expires: Seconds | None = None
    """When the board ends it by itself; None where the line tells the time, or never."""

    @property
    def timed(self) -> bool:
        """Whether the line tells for how long."""
        return "time" in self.dials


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """What moves outputs by hand; nothing here is ever sent without a permit."""

    verbs: Mapping[str, LiveVerb] = field(default_factory=dict)
    """By `drive`, `release` and `spin`."""
    outputs: Mapping[str, Job] = field(default_factory=dict)
    """The outputs by the console's names, and what each drives."""
    motors: Mapping[str, Job] = field(default_factory=dict)
    """The motors by the console's names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """One question for readings, and what the fields of its answer hold."""

    verb: Verb
    gauges: Mapping[str, Gauge]
    unmeasured: tuple[str, ...] = ()
    """What stands where there is nothing to tell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Something about this connection that only the person knows."""

    name: str
    prompt: str
    secret: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Poison:
    """A write that this console must never be sent, and why."""

    name: str
    value: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Description:
    """Everything benchlink knows of one kind of console."""

    name: str
    title: str
    manner: Manner
    spelling: Spelling
    sources: tuple[Source, ...]
    verbs: Mapping[str, Verb]
    modes: Mapping[str, Mode] = field(default_factory=dict)
    asks: tuple[Asked, ...] = ()
    board_types: tuple[str, ...] = ()
    outputs: Outputs | None = None
    volatile: tuple[str, ...] = ()
    read_only: tuple[str, ...] = ()
    board_owned: tuple[str, ...] = ()
    """Patterns of names, where the listing does not tell by a mark or a form."""
    aliases: Mapping[str, str] = field(default_factory=dict)
    """Second names, and the names that they stand for."""
    kept: tuple[tuple[tuple[str, ...], Kept], ...] = ()
    """Patterns of names, and when they are kept; on a keep where nobody says."""
    moving: tuple[tuple[tuple[str, ...], Moves], ...] = ()
    """Patterns of names, and what their writing may move."""
    hazards: HazardRules | None = None
    """What lines may do; None where nobody said: then every line is unknown."""
    restart_first: tuple[str, ...] = ()
    """Patterns of names that take effect at a restart, and on which others depend: they
    are written, kept and proven before the rest."""
    never: tuple[Poison, ...] = ()
    roles: Roles = field(default_factory=Roles)
    live: Live = field(default_factory=Live)
    readings: tuple[Asking, ...] = ()
    pads: Pads | None = None
    """Which settings decide what the outputs do; None where nobody said."""

    def when_kept(self, name: str) -> Kept:
        """When a written value of `name` outlives a restart."""
        for names, kept in self.kept:
            if matches_any(names, name):
                return kept
        return Kept.ON_KEEP

    def all_verbs(self) -> Iterator[tuple[str, Verb]]:
        """Whatever it lets be said but lists of settings, and what each is for."""
        yield from self.verbs.items()
        for name, live in self.live.verbs.items():
            yield name, live.verb
        for asking in self.readings:
            yield "readings", asking.verb
