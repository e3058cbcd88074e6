"""From an open port, or a restart, to a board that listens.

What may be needed on the way: a banner that proves the restart, a wake-up byte, a login
or a countdown to answer, a hello where there is no prompt, and lines that set it up.
"""

from collections import Counter, deque
from collections.abc import Mapping
from typing import Final, final

from benchlink.console.description import Cue, Manner, Wake
from benchlink.console.framing import first_match
from benchlink.core.exchange import Answer, AnswerForm, Command, Verdict
from benchlink.units import Seconds

WAKE_EVERY: Final = Seconds(0.25)
"""Pause between two attempts to get a prompt."""

CUT_OFF: Final = Seconds(0.03)
"""A silence within a line after which a board that restarts may have gone down."""

LOGINS: Final = 2
"""How often what the person told is sent to one opening: a damaged line may be repeated,
but boards lock out whoever keeps guessing."""


@final
class Waking:
    """How far the board has come, and what to send it next."""

    def __init__(self, manner: Manner, told: Mapping[str, str], now: Seconds) -> None:
        self._manner: Final = manner
        self._told: Final = told
        self._patience = manner.patience
        self._cued = ""
        self._cut_off = ""
        """What the board was saying, perhaps, when it went down."""
        self._doubted = False
        """Whether something was said since it last came up, and may stand open."""
        self._pushes = 0
        """Attempts to get a prompt since the board was last known to listen."""
        self._logins: Counter[Cue] = Counter()
        self.banner_due = False
        """Whether the restart has still to be proven."""
        self.greeted = False
        """Whether a board without a prompt has answered the hello."""
        self.left: Final = deque(manner.setup)
        """Lines that set the board up and were not answered yet."""
        self._since = self.next_wake = self.deaf_until = now

    @property
    def patience_over(self) -> Seconds:
        """When the waiting ends without a prompt."""
        return Seconds(self._since + self._patience)

    def restart(self, now: Seconds) -> None:
        """The board starts afresh."""
        manner = self._manner
        self._patience = manner.back_within
        self.banner_due = bool(manner.banner)
        self.greeted = False
        self.left.clear()
        self.left.extend(manner.setup)
        self._cued = ""
        self._logins.clear()
        self._doubted = False
        self._pushes = 0
        self._since = now
        self.deaf_until = self.next_wake = Seconds(now + manner.restart_pause)

    def doubt(self, now: Seconds, *, anew: bool) -> None:
        """An answer is missing: the board has to show again that it listens.

        Its patience begins `anew` where it listened before; a hello without an answer
        leaves it as it is, or a dead board would never count as silent.
        """
        self.greeted = False
        if self.banner_due:
            return  # a board in its restart keeps the time that a restart may take
        self._pushes = 0
        self.next_wake = max(self.next_wake, now) if self.calling else now
        if anew:
            self._doubted = True
            self._patience = self._manner.patience
            self._since = now

    def progress(self, now: Seconds) -> None:
        """An answer came: the patience begins anew."""
        self._since = now

    def heard(self, text: str) -> None:
        """A line that answers nothing may be the banner."""
        if self.banner_due and self.is_banner(text):
            self.banner_due = False

    def is_banner(self, text: str) -> bool:
        """Whether only a board that has just started says this."""
        banner = self._manner.banner
        rest = text.removeprefix(self._cut_off)
        return first_match(banner, text) is not None or (
            rest != text and first_match(banner, rest) is not None
        )

    def resumed(self, partial: str) -> None:
        """The board goes on after `CUT_OFF`: what stands there may have been cut off."""
        self._cut_off = partial

    def cue(self, shown: str, now: Seconds) -> bytes:
        """What to reply to a login or a countdown, once for each that is shown."""
        if not shown or shown == self._cued:
            return b""
        ways_out = self._manner.ways_out if self._doubted else ()
        for cue in (*self._manner.cues, *ways_out):
            if cue.shows.match(shown) is not None:
                self._cued = shown
                if not self._may_reply(cue):
                    # An empty line to wake it would be one more guess.
                    self.next_wake = self.patience_over
                    return b""
                self.next_wake = Seconds(now + WAKE_EVERY)
                return self.reply(cue)
        return b""

    def _may_reply(self, cue: Cue) -> bool:
        if cue.line is not None and cue.line.fields:
            self._logins[cue] += 1
        return self._logins[cue] <= LOGINS

    def line_ended(self) -> None:
        """What is shown next is shown anew."""
        self._cued = self._cut_off = ""

    def reply(self, cue: Cue) -> bytes:
        """The bytes that answer a cue."""
        if cue.line is None:
            return cue.key
        fields = {name: self._told.get(name, "") for name in cue.line.fields}
        return cue.line.render(fields).encode() + self._manner.line_end.value

    def push(self, now: Seconds) -> bytes:
        """The byte or line end that makes the board show its prompt, when it is time."""
        self.next_wake = Seconds(now + WAKE_EVERY)
        self._pushes += 1
        stuck = self._manner.stuck
        if stuck and self._pushes > 1:
            key = stuck[(self._pushes - 2) % len(stuck)]
            return key.encode() + self._manner.abandon
        match self._manner.wake:
            case Wake.ABANDON:
                return self._manner.abandon
            case Wake.LINE_END:
                return self._manner.line_end.value
            case Wake.NOTHING:
                return b""

    def question(self) -> Command | None:
        """The hello, or the next line of the set-up: sent and answered like any other."""
        manner = self._manner
        if self.calling:
            return _plain(manner.hello, manner.hello_form)
        if self.left:
            return _plain(self.left[0], manner.answer)
        return None

    @property
    def calling(self) -> bool:
        """Whether a board without a prompt has still to show that it listens."""
        return self._manner.prompt is None and not self.greeted

    def answered(self, answer: Answer, now: Seconds) -> bool:
        """Take the answer to one of these; whether it proves that the board listens."""
        if not answer.trusted:
            return False
        if not self.calling:
            if self.left and self.left[0] == answer.command.line:
                self.left.popleft()
            return True
        self.greeted = answer.verdict is Verdict.REFUSED or self._is_hello(answer)
        self.next_wake = Seconds(now + WAKE_EVERY)
        return self.greeted

    def _is_hello(self, answer: Answer) -> bool:
        gives = (*self._manner.hello_gives, *answer.command.form.marks)
        told = [line for line in answer.lines if line.strip()]
        return not self._manner.hello_gives or (
            bool(told) and all(first_match(gives, line) is not None for line in told)
        )


def _plain(line: str, form: AnswerForm) -> Command:
    return Command(line=line, answer_within=form.within, form=form)
