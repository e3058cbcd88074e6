"""What can be said to a board and how its answers are read, by its description."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, repeat
from typing import Final

from benchlink.console.description import Description, Kept, Mode, Source, Step, Verb
from benchlink.console.framing import first_match
from benchlink.console.spelling import Where
from benchlink.console.template import Template, template
from benchlink.core.exchange import Command
from benchlink.core.identity import Identity, Readiness
from benchlink.core.intent import matches_any
from benchlink.core.plan import Moves
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.utterance import Reply, Utterance, require_done
from benchlink.core.values import Value
from benchlink.errors import BoardError, UsageError

CHANGING: Final = ("write", "clear", "keep", "drop", "factory", "restart")
"""How verbs begin after which the board may hold something else."""
OTHER: Final = "*"
SPELLED: Final = frozenset({"value", "cells"})
"""Fields of a line that hold spelled values."""
WORST_FIRST: Final = (Moves.MOTOR, Moves.SERVO)
NO_FIELDS: Final[Mapping[str, str]] = {}


@dataclass(frozen=True, slots=True)
class Grammar:
    """A description put to use."""

    description: Description

    def can(self, verb: str) -> bool:
        """Whether this console has the verb."""
        return verb in self.description.verbs

    def utter(self, verb: str, fields: Mapping[str, str] = NO_FIELDS) -> Utterance:
        """Render a verb.

        Raises:
            UsageError: the console has no such verb.
            ValueError: a field cannot be told safely, or a line gets too long.
        """
        described = self._verb(verb)
        return self._utterance(verb, described, fields)

    def single(self, verb: str) -> Command:
        """The line of a verb that is told in one: a stop, a blink.

        Raises:
            UsageError: the console has no such verb.
        """
        return self.utter(verb).commands[-1]

    @property
    def listing_line(self) -> str:
        """What is sent to read settings, for a backup to remember."""
        return " / ".join(
            step.line.source
            for source in self.description.sources
            for step in source.ask.steps
        )

    def asks(self, source: Source) -> tuple[Utterance, ...]:
        """What to say to read a source: once, or once for each name."""
        if not source.each:
            return (self._utterance("list", source.ask, NO_FIELDS),)
        return tuple(
            self._utterance("read", source.ask, {"name": name, "own": name})
            for name in source.each
        )

    def bank(self, source: Source, bank: str) -> Utterance:
        """What selects a bank."""
        if source.banks is None:
            return Utterance(commands=())
        fields = {"bank": bank}
        return Utterance(commands=(self._command("bank", source.banks.select, fields),))

    def mode(self, name: str) -> tuple[Utterance, Utterance]:
        """What enters a mode, and what leaves it."""
        mode: Mode = self.description.modes[name]
        enter, leave = (
            self._command(name, s, NO_FIELDS) for s in (mode.enter, mode.leave)
        )
        return Utterance(commands=(enter,)), Utterance(commands=(leave,))

    def write(self, setting: Setting, value: Value) -> Utterance:
        """The lines that write one setting.

        Raises:
            ValueError: that name or value cannot be written safely on this console.
        """
        spelled = self.spell(setting, value)
        # In a bank the console's own name is the one in the address.
        fields = {"name": setting.name, **setting.address, "value": spelled}
        return self._written(setting, fields, (setting.name,), spelled)

    def writes(
        self, values: Mapping[str, Value], snapshot: Snapshot
    ) -> tuple[Utterance, ...]:
        """The lines that write several settings, as few as the console allows.

        Raises:
            ValueError: one of them cannot be written safely on this console.
        """
        utterances: list[Utterance] = []
        done: set[str] = set()
        for name, value in values.items():
            setting = snapshot.settings[name]
            if name in done:
                continue
            if not setting.together:
                utterances.append(self.write(setting, value))
                continue
            utterances.append(self._together(setting, values, snapshot))
            done |= set(utterances[-1].names)
        return tuple(utterances)

    def spell(self, setting: Setting, value: Value) -> str:
        """One value as a line that writes it spells it.

        Raises:
            ValueError: this console cannot be told that value, or never must be.
        """
        codec = self.description.spelling.codec(setting.name, Where.WRITE)
        spelled = codec.write(value)
        for poison in self.description.never:
            if matches_any((poison.name,), setting.name) and (
                matches_any((poison.value,), spelled)
                or codec.read(poison.value) == value
            ):
                msg = f"must never be written: {poison.why}"
                raise ValueError(msg)
        return spelled

    def unwritable(
        self, setting: Setting, value: Value, snapshot: Snapshot | None = None
    ) -> str:
        """Why a setting cannot be told this value here; empty when it can.

        One that is written with all of its row needs the `snapshot` it stands in.
        """
        try:
            if setting.together and snapshot is not None:
                self.writes({setting.name: value}, snapshot)
            else:
                self.write(setting, value)
        except ValueError as exc:
            return str(exc)
        return ""

    def moves_with(self, setting: Setting, snapshot: Snapshot) -> Moves:
        """What may move when a setting is written, and all that is written with it."""
        row = [setting.name]
        if setting.together:
            row += [
                other.name
                for other in snapshot.settings.values()
                if other.together == setting.together
            ]
        moves = [self.moves(name) for name in row]
        return next((what for what in WORST_FIRST if what in moves), Moves.NOTHING)

    def moves(self, name: str) -> Moves:
        """What may move when the setting `name` is written."""
        for names, what in self.description.moving:
            if matches_any(names, name):
                return what
        return Moves.NOTHING

    def kept(self, name: str) -> Kept:
        """When a written value of `name` outlives a restart."""
        for names, kept in self.description.kept:
            if matches_any(names, name):
                return kept
        return Kept.ON_KEEP

    def identity(self, reply: Reply) -> Identity:
        """Read who the board is.

        Raises:
            BoardError: the answer holds a line that the description does not know.
        """
        fields = self._fields("identify", reply)
        return Identity(
            board_type=fields.get("type", [""])[0],
            firmware=fields.get("firmware", [""])[0],
            number=fields.get("number", [""])[0],
        )

    def readiness(self, reply: Reply) -> Readiness:
        """Read whether the outputs are live, and what holds them back.

        Raises:
            BoardError: the answer says neither, or holds an unknown line.
        """
        fields = self._fields("readiness", reply)
        outputs = self.description.outputs
        word = fields.get("outputs", [""])[0]
        if outputs is None or word not in {outputs.live, outputs.resting}:
            msg = f"the board does not say whether its outputs are live: {word!r}"
            raise BoardError(msg, hint="Treat it as live: props off, pack out.")
        return Readiness(
            armed=word == outputs.live, reasons=tuple(fields.get("reason", []))
        )

    def value(self, setting: Setting, reply: Reply) -> Value:
        """Read one setting's answer.

        Raises:
            BoardError: it is not the value of this setting.
        """
        fields = self._fields("read", reply)
        values = fields.get("value", [])
        named = {setting.name, setting.address.get("own", setting.name)}
        if not set(fields.get("name", named)) <= named or len(values) != 1:
            msg = f"asked for {setting.name}, got {' / '.join(reply.lines)!r}"
            raise BoardError(msg)
        codec = self.description.spelling.codec(setting.name, Where.READ)
        return codec.read(values[0])

    def _written(
        self,
        setting: Setting,
        fields: Mapping[str, str],
        names: tuple[str, ...],
        spelled: str = OTHER,
    ) -> Utterance:
        by = setting.written_by
        verb = by.get(spelled, by.get(OTHER, "write"))
        utterance = self._utterance(verb, self._verb(verb), fields)
        return Utterance(
            commands=utterance.commands,
            mode=utterance.mode,
            bank=setting.address.get("bank", ""),
            home=setting.address.get("home", ""),
            names=names,
        )

    def _together(
        self, setting: Setting, values: Mapping[str, Value], snapshot: Snapshot
    ) -> Utterance:
        """One line for all settings of one thing, the unchanged ones as they are."""
        row = [
            other
            for other in snapshot.settings.values()
            if other.together == setting.together
            and other.address.get("bank") == setting.address.get("bank")
        ]
        cells = " ".join(
            template(s.cell).render(
                {**s.address, "value": self.spell(s, values.get(s.name, s.value))}
            )
            for s in row
        )
        fields = {"name": setting.name, **setting.address, "cells": cells}
        return self._written(setting, fields, tuple(s.name for s in row))

    def _utterance(self, name: str, verb: Verb, fields: Mapping[str, str]) -> Utterance:
        commands = tuple(self._command(name, step, fields, verb) for step in verb.steps)
        return Utterance(commands=commands, mode=verb.mode)

    def _command(
        self, name: str, step: Step, fields: Mapping[str, str], verb: Verb | None = None
    ) -> Command:
        for field, text in fields.items():
            self._refuse_unsafe(field, text)
        missing = [field for field in step.line.fields if field not in fields]
        if missing:
            msg = f"the line {step.line.source!r} needs {{{missing[0]}}}, which it has not"
            raise ValueError(msg)
        line = step.line.render(fields)
        longest = self.description.manner.longest_line
        if len(line) > longest:
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

    def _refuse_unsafe(self, field: str, text: str) -> None:
        base = self.description.spelling.base
        # What is spelled was looked at with its quotes.
        reserved = "" if field in SPELLED else base.reserved + base.reserved_outside
        unsafe = any(char in reserved for char in text)
        if unsafe or not text.isprintable() or not text.isascii():
            msg = f"{text!r} cannot be written on this console"
            raise ValueError(msg)

    def _given(
        self, verb: Verb, reply: Reply
    ) -> Iterator[tuple[tuple[Template, ...], str]]:
        """The lines that an answer gives, and the forms that each may have."""
        last = verb.steps[-1]
        for step, answer in zip(chain(verb.steps, repeat(last)), reply.answers):  # noqa: B905 - as many as were answered
            for line in answer.lines:
                # A header or a closing line frames the answer and gives nothing.
                if (
                    line.strip()
                    and first_match(answer.command.form.marks, line) is None
                ):
                    for piece in self.description.spelling.pieces(line, verb.split):
                        yield step.gives or verb.gives, piece

    def _verb(self, name: str) -> Verb:
        verb = self.description.verbs.get(name)
        if verb is None:
            msg = f"the console {self.description.name!r} has no way to {name}"
            raise UsageError(
                msg, hint=f"Describe it under `verbs: {name}:` if the board can do it."
            )
        return verb

    def _fields(self, verb: str, reply: Reply) -> dict[str, list[str]]:
        described = self._verb(verb)
        fields: dict[str, list[str]] = {}
        for forms, line in self._given(described, require_done(reply)):
            found = first_match(forms, line)
            if found is None:
                msg = f"the answer to {verb} holds a line that its description does not"
                msg = f"{msg} know: {line!r}"
                raise BoardError(msg, hint=f"Add its form to `verbs: {verb}: gives:`.")
            for name, text in found.items():
                fields.setdefault(name, []).append(text)
        return fields
