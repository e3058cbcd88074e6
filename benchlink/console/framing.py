"""What a single line or an unfinished one is: prompt, echo, status, chatter."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from benchlink.console.description import Echo, Manner
from benchlink.core.exchange import AnswerForm, LineForm, Verdict

LONGEST_PROMPT: Final = 256
"""Bytes of an unfinished line that may still be a prompt, redrawing included: noise
without line ends costs no more than that to look at."""


@dataclass(frozen=True, slots=True)
class Status:
    """A line that tells how a command went."""

    verdict: Verdict
    remark: str


@dataclass(frozen=True, slots=True)
class Framing:
    """Reads single lines; knows nothing of which command they belong to."""

    manner: Manner

    @property
    def echoes(self) -> bool:
        """Whether the board repeats what it is sent."""
        return self.manner.echo is not Echo.NONE

    @property
    def prompts(self) -> bool:
        """Whether the board shows when it waits for a command."""
        return self.manner.prompt is not None

    def is_prompt(self, partial: str) -> bool:
        """Whether the unfinished line is the prompt and nothing else.

        Without an echo an abandoned line gets a second prompt right behind the first.
        """
        prompt = self.manner.prompt
        rest: str | None = partial
        while prompt is not None and rest:
            if prompt.match(rest) is not None:
                return True
            rest = None if self.echoes else prompt.rest_after(rest)
        return False

    def before_prompt(self, partial: str) -> str:
        """What stands before a prompt that may share its line; empty if nothing does."""
        return self.sharing(partial) if self.manner.prompt_after_text else ""

    def sharing(self, partial: str) -> str:
        """The same, whether the console was said to do so or not."""
        prompt = self.manner.prompt
        if prompt is None:
            return ""
        skipped = max(0, len(partial) - LONGEST_PROMPT)
        at = prompt.begins_at(partial[skipped:])
        return "" if at is None else partial[: skipped + at]

    def echo_of(self, line: str) -> str | None:
        """What stands behind a prompt; without prompts any line may be an echo."""
        prompt = self.manner.prompt
        if prompt is None:
            return line
        # A board may drop the blank at the end of its prompt when nothing follows.
        return "" if prompt.match(line + " ") is not None else prompt.rest_after(line)

    def behind_prompts(self, line: str) -> str | None:
        """What stands behind all the prompts that a line begins with, if any."""
        found: str | None = None
        rest = self.echo_of(line)
        while rest is not None and rest != found:
            found = rest
            rest = self.echo_of(rest) if rest else None
        return found

    def is_chatter(self, line: str) -> bool:
        """Whether the line comes at any time and answers nothing."""
        return first_match(self.manner.chatter, line) is not None

    def is_pager(self, text: str) -> bool:
        """Whether the pager waits, or left its words behind."""
        pager = self.manner.pager
        return pager is not None and pager.shows.match(text) is not None


def status_of(form: AnswerForm, line: str) -> Status | None:
    """How the answer went, or None for a line of the answer itself."""
    for templates, verdict in (
        (form.ok, Verdict.OK),
        (form.noted, Verdict.NOTED),
        (form.again, Verdict.AGAIN),
        (form.refused, Verdict.REFUSED),
    ):
        fields = first_match(templates, line)
        if fields is not None:
            return Status(verdict, fields.get("remark", ""))
    return None


def first_match(forms: tuple[LineForm, ...], line: str) -> Mapping[str, str] | None:
    """The fields by the first form that takes the line."""
    for form in forms:
        fields = form.match(line)
        if fields is not None:
            return fields
    return None
