"""From an open port, or a restart, to a board that listens.

What may be needed on the way: a banner that proves the restart, a wake-up byte, a login
or a countdown to answer, a hello where there is no prompt, and lines that set it up.
"""

from collections import deque
from collections.abc import Mapping
from typing import Final, final

from benchlink.console.cues import Cues
from benchlink.console.description import Cue, Manner, Wake
from benchlink.console.events import Silent
from benchlink.console.framing import first_match
from benchlink.core.exchange import Answer, AnswerForm, Command, Verdict
from benchlink.core.stray import has_stray
from benchlink.units import Seconds

WAKE_EVERY: Final = Seconds(0.25)
"""Pause between two attempts to get a prompt."""

CUT_OFF: Final = Seconds(0.03)
"""A silence within a line after which a board that restarts may have gone down."""

QUIET: Final = Seconds(0.5)
"""A line is followed by this much silence before the wake is sent, and a line that comes
later than this after a wake is no answer to it."""

AMID_CHATTER: Final = Seconds(2.0)
"""The wake is sent this often to a board whose chatter leaves no silence."""

LONGEST_TALK: Final = Seconds(90.0)
"""How long a board that goes on printing is waited for: a long listing on a slow wire."""

LOGIN_PAUSE: Final = Seconds(1.5)
"""A board may take so long from one answer of a login to the next question: a wake in
between would answer that."""


LAST_WORDS: Final = Seconds(0.3)
"""How long a board is heard that asks anew for a login it was told."""


@final
class Waking:
    """How far the board has come, and what to send it next."""

    def __init__(self, manner: Manner, told: Mapping[str, str], now: Seconds) -> None:
        self._manner: Final = manner
        self._cues: Final = Cues(manner, told)
        self._patience = Seconds(manner.patience + manner.listen)
        self._opening = True
        """Whether the board has never listened yet."""
        self._sent_at: Seconds | None = None
        self._talked_at: Seconds | None = None
        """When it last said a line that answers nothing of ours."""
        self._told_talking = False
        self._waits_since: Seconds | None = None
        """When it first showed what must be left alone."""
        self._cut_off = ""
        """What the board was saying, perhaps, when it went down."""
        self._pushes = 0
        """Attempts to get a prompt since the board was last known to listen."""
        self.banner_due = False
        """Whether the restart has still to be proven."""
        self.greeted = False
        """Whether a board without a prompt has answered the hello."""
        self.left: Final = deque(manner.setup)
        """Lines that set the board up and were not answered yet."""
        self._since = self.deaf_until = self._held_until = now
        self.next_wake = Seconds(now + manner.listen)

    @property
    def patience_used(self) -> Seconds:
        """When a board that goes on printing is told to be waited for."""
        return Seconds(self._since + self._patience)

    @property
    def patience_over(self) -> Seconds:
        """When the waiting ends without a prompt."""
        over = self.patience_used
        if self._talked_at is None:
            return over
        last = self._talked_at + self._manner.patience
        return Seconds(max(over, min(last, self._since + LONGEST_TALK)))

    def listened(self) -> None:
        """The board has shown that it listens."""
        self._opening = False
        self._talked_at = self._waits_since = None
        self._cues.listened()

    def silence(self, heard: bytes) -> Silent:
        """What there is to tell of a board whose patience is over."""
        cues = self._cues
        return Silent(cues.without_told(heard), logins=cues.turned_away)

    def still_talking(self, now: Seconds) -> bool:
        """Whether it is waited for beyond its patience: true once."""
        if self._told_talking or not self.patience_used <= now < self.patience_over:
            return False
        self._told_talking = True
        return True

    def said(self, text: str, now: Seconds, *, chatter: bool) -> None:
        """A board that was just found may be in the middle of a listing."""
        if not self._opening or not text.strip() or has_stray(text):
            return
        if self.is_banner(text):
            self.next_wake = Seconds(max(self.next_wake, now + self._manner.listen))
            if self._pushes:
                self._cues.out_of_step()
            return
        if self._sent_at is None or now > self._sent_at + QUIET:
            self._talked_at = now
        if self._sent_at is not None:  # once it is tried all the same
            most = AMID_CHATTER if chatter else LONGEST_TALK
            quiet = min(now + QUIET, self._sent_at + most)
            self.next_wake = Seconds(max(self.next_wake, quiet))

    def restart(self, now: Seconds) -> None:
        """The board starts afresh."""
        manner = self._manner
        self._patience = manner.back_within
        self._opening = False
        self._talked_at = self._waits_since = None
        self.banner_due = bool(manner.banner)
        self.greeted = False
        self.left.clear()
        self.left.extend(manner.setup)
        self._cues.restart()
        self._pushes = 0
        self._since = now
        self.deaf_until = self.next_wake = Seconds(now + manner.restart_pause)

    def doubt(self, now: Seconds, *, anew: bool) -> None:
        """An answer is missing: the board has to show again that it listens.

        Its patience begins `anew` where it listened before; a hello without an answer
        leaves it as it is, or a dead board would never count as silent.
        """
        self.greeted = False
        if self.banner_due or now < self._held_until:
            return  # a board in its restart keeps the time that a restart may take
        self._pushes = 0
        self.next_wake = max(self.next_wake, now) if self.calling else now
        if anew:
            self._waits_since = None
            self._cues.doubt()
            self._patience = self._manner.patience
            self._since = now

    def hold(self, now: Seconds) -> None:
        """The answer to a restart is missing: it may have been heard all the same."""
        if not self.banner_due:
            back = self._manner.back_within
            self._since = now
            self._patience = Seconds(back + self._manner.patience)
            self._held_until = self.next_wake = Seconds(now + back)

    def progress(self, now: Seconds) -> None:
        """An answer came: the patience begins anew."""
        self._since = now

    def heard(self, text: str, now: Seconds) -> None:
        """A line that answers nothing may be the banner."""
        if (self.banner_due or now < self._held_until) and self.is_banner(text):
            self.banner_due = False
            self._held_until = now
            self.next_wake = Seconds(now + self._manner.listen)

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

    def cue(self, shown: str, now: Seconds, *, last: bool = True) -> bytes:
        """What to reply to a login or a countdown, once for each that is shown.

        What the person told answers only what was shown `last`, and only once.
        """
        cue = self._cues.fresh(shown, last=last)
        if cue is None:
            return b""
        if cue.wait:
            self._wait(now)
            return b""
        if cue.line is None:
            self.next_wake = Seconds(now + WAKE_EVERY)
            return self.reply(cue)
        return self._answer(cue, now)

    def _answer(self, cue: Cue, now: Seconds) -> bytes:
        """A question of a login gets its answer, within bounds."""
        if self._cues.begun_elsewhere(cue):
            self.next_wake = Seconds(now + LOGIN_PAUSE)
            return self._manner.line_end.value
        if not self._cues.may_reply(cue):
            if self._cues.refused:
                self._talked_at = None
                self._patience = Seconds(now + LAST_WORDS - self._since)
            # An empty line to wake it would be one more guess.
            self.next_wake = self.patience_over
            return b""
        self.next_wake = Seconds(now + LOGIN_PAUSE)
        return self.reply(cue)

    def _wait(self, now: Seconds) -> None:
        """Any key would do harm: nothing is sent until it is over, within bounds."""
        manner = self._manner
        if self._waits_since is None:
            self._waits_since = now
        if self.banner_due or now > self._waits_since + manner.back_within:
            return
        self.next_wake = Seconds(max(self.next_wake, now + manner.patience))
        over = Seconds(self.next_wake + manner.patience)
        self._patience = Seconds(max(self._patience, over - self._since))

    def line_ended(self) -> None:
        """What is shown next is shown anew."""
        self._cut_off = ""
        self._cues.line_ended()

    def reply(self, cue: Cue) -> bytes:
        """The bytes that answer a cue."""
        return self._cues.reply(cue)

    def push(self, now: Seconds) -> bytes:
        """The byte or line end that makes the board show its prompt, when it is time."""
        self.asked(now)
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
            case Wake.NOTHING if self._pushes == 1 and self._manner.hello:
                # Its prompt may have been said before anybody listened.
                hello = self._manner.charset.encode(self._manner.hello)
                return hello + self._manner.line_end.value
            case Wake.NOTHING:
                return b""

    def asked(self, now: Seconds) -> None:
        """A wake or a hello leaves."""
        self._sent_at = now
        self.next_wake = Seconds(now + WAKE_EVERY)

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


def longest_opening(manner: Manner) -> Seconds:
    """How long an opening takes at most where the board does not go on printing."""
    waits = any(cue.wait for cue in manner.cues)
    waiting = manner.back_within + 2 * manner.patience if waits else 0.0
    return Seconds(manner.listen + manner.patience + waiting)


def _plain(line: str, form: AnswerForm) -> Command:
    return Command(line=line, answer_within=form.within, form=form)
