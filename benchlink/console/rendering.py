"""From a verb and its fields to the commands that tell it, refused unless they are safe."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from benchlink.console.description import Description, Step, Verb
from benchlink.console.written import repeated
from benchlink.core.exchange import Command
from benchlink.core.utterance import Utterance

CHANGING: Final = ("write", "clear", "keep", "drop", "factory", "restart")
"""How verbs begin after which the board may hold something else."""
WRITING: Final = ("write", "clear")
"""How verbs begin that write a setting: what they tell in several lines goes in order."""
SPELLED: Final = frozenset({"value", "cells", "cell", "line"})
"""Fields of a line that hold spelled values."""
NO_FIELDS: Final[Mapping[str, str]] = {}
NO_TEXTS: Final[Mapping[str, tuple[str, ...]]] = {}


@dataclass(frozen=True, slots=True)
class Rendering:
    """The lines of a description, filled in."""

    description: Description

    def utterance(
        self,
        name: str,
        verb: Verb,
        fields: Mapping[str, str],
        texts: Mapping[str, tuple[str, ...]] = NO_TEXTS,
    ) -> Utterance:
        """All steps of a verb; `texts` are sent once for each of theirs.

        Raises:
            ValueError: a field cannot be told safely, or a line gets too long.
        """
        commands = tuple(
            self.command(name, step, {**fields, **more}, verb)
            for step in verb.steps
            for more in repeated(step, texts)
        )
        ordered = name.startswith(WRITING) and len(commands) > 1
        out = verb.way_out if ordered else None
        return Utterance(
            commands=commands,
            mode=verb.mode,
            ordered=ordered,
            way_out=(self.command(name, out, NO_FIELDS),) if out else (),
        )

    def command(
        self, name: str, step: Step, fields: Mapping[str, str], verb: Verb | None = None
    ) -> Command:
        """One step.

        Raises:
            ValueError: a field cannot be told safely, or the line gets too long.
        """
        for part, text in fields.items():
            self._refuse_unsafe(part, text)
        missing = [part for part in step.line.fields if part not in fields]
        if missing:
            msg = f"the line {step.line.source!r} needs {{{missing[0]}}}, which it has not"
            raise ValueError(msg)
        line = step.line.render(fields)
        manner = self.description.manner
        if manner.charset.length(line) > manner.longest_line:
            longest = manner.longest_line
            msg = f"makes a line longer than the {longest} characters the board takes"
            raise ValueError(msg)
        last = verb is None or step is verb.steps[-1]
        return Command(
            line=line,
            answer_within=step.form.within,
            form=step.form,
            key=step.key,
            alone=(verb is not None and verb.alone) or self._may_page(name),
            changes=name.startswith(CHANGING),
            restarts=name == "restart" and last,
        )

    def _may_page(self, name: str) -> bool:
        """Whether a pager may come up, and take what is typed ahead for its key."""
        return name == "list" and self.description.manner.pager is not None

    def _refuse_unsafe(self, part: str, text: str) -> None:
        base = self.description.spelling.base
        # What is spelled was looked at with its quotes.
        reserved = "" if part in SPELLED else base.reserved + base.reserved_outside
        unsafe = any(char in reserved for char in text)
        if unsafe or not self.description.manner.charset.has(text):
            msg = f"{text!r} cannot be written on this console"
            raise ValueError(msg)
