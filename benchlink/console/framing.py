"""Where an answer begins and ends in what the board shows."""

from dataclasses import dataclass

from benchlink.console.description import Manner
from benchlink.core.exchange import Verdict


@dataclass(frozen=True, slots=True)
class Status:
    """The line that ends an answer."""

    verdict: Verdict
    remark: str


@dataclass(frozen=True, slots=True)
class Framing:
    """Reads single lines; knows nothing of which command they belong to."""

    manner: Manner

    def is_prompt(self, partial: str) -> bool:
        """Whether the unfinished line is the prompt and nothing else."""
        return partial == self.manner.prompt

    def echo_of(self, line: str) -> str | None:
        """The command echoed behind a prompt, or None for any other line."""
        prompt = self.manner.prompt
        # A board may drop the blank at the end of its prompt when nothing follows.
        if line == prompt.rstrip():
            return ""
        return line.removeprefix(prompt) if line.startswith(prompt) else None

    def status_of(self, line: str) -> Status | None:
        """How the answer ends, or None for a line of the answer itself."""
        for templates, verdict in (
            (self.manner.ok, Verdict.OK),
            (self.manner.noted, Verdict.NOTED),
            (self.manner.refused, Verdict.REFUSED),
        ):
            for template in templates:
                fields = template.match(line)
                if fields is not None:
                    return Status(verdict, fields.get("remark", ""))
        return None
