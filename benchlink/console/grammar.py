"""What can be said to a board and how its answers are read, by its description."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from benchlink.console.codec import Codec
from benchlink.console.description import Description, Kept, Mode, Source, Verb
from benchlink.console.framing import first_match
from benchlink.console.given import lines_given
from benchlink.console.hazards import Classifier
from benchlink.console.link_cutting import refuse_cutting
from benchlink.console.rendering import NO_FIELDS, NO_TEXTS, SPELLED, Rendering
from benchlink.console.spelling import Where
from benchlink.console.template import template
from benchlink.console.written import refuse_look_alikes, refuse_poison
from benchlink.core.exchange import Command
from benchlink.core.hazard import Aim
from benchlink.core.identity import Identity, Readiness
from benchlink.core.intent import matches_any
from benchlink.core.plan import Moves
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.utterance import Reply, Utterance, require_done
from benchlink.core.values import Value
from benchlink.errors import BenchError, BoardError, UsageError

OTHER: Final = "*"
WORST_FIRST: Final = (Moves.MOTOR, Moves.SERVO)


@dataclass(frozen=True, slots=True)
class Grammar:
    """A description put to use."""

    description: Description
    hazards: Classifier = field(init=False, repr=False, compare=False)
    _rendering: Rendering = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Classifier and rendering go with the description."""
        object.__setattr__(self, "hazards", Classifier(self.description))
        object.__setattr__(self, "_rendering", Rendering(self.description))

    def can(self, verb: str) -> bool:
        """Whether this console has the verb."""
        return verb in self.description.verbs

    def utter(self, verb: str, fields: Mapping[str, str] = NO_FIELDS) -> Utterance:
        """Render a verb.

        Raises:
            UsageError: the console has no such verb.
            ValueError: a field cannot be told safely, or a line gets too long.
        """
        return self._rendering.utterance(verb, self._verb(verb), fields)

    def render(
        self, name: str, verb: Verb, fields: Mapping[str, str] = NO_FIELDS
    ) -> Utterance:
        """Render a verb that stands elsewhere than under `verbs:`.

        Raises:
            ValueError: a field cannot be told safely, or a line gets too long.
        """
        return self._rendering.utterance(name, verb, fields)

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
        """What to say to read a source: once, or once for each name or bank."""
        if source.listed_banks is not None:
            return tuple(
                self._rendering.utterance("list", source.ask, {"bank": bank})
                for bank in source.listed_banks.names
            )
        if not source.each:
            return (self._rendering.utterance("list", source.ask, NO_FIELDS),)
        return tuple(
            self._rendering.utterance("read", source.ask, {"name": name, "own": name})
            for name in source.each
        )

    def bank(self, source: Source, bank: str) -> Utterance:
        """What selects a bank."""
        if source.banks is None:
            return Utterance(commands=())
        fields = {"bank": bank}
        return Utterance(
            commands=(self._rendering.command("bank", source.banks.select, fields),)
        )

    def mode(self, name: str) -> tuple[Utterance, Utterance]:
        """What enters a mode, and what leaves it."""
        mode: Mode = self.description.modes[name]
        enter, leave = (
            self._rendering.command(name, s, NO_FIELDS)
            for s in (mode.enter, mode.leave)
        )
        return Utterance(commands=(enter,)), Utterance(commands=(leave,))

    def write(self, setting: Setting, value: Value) -> Utterance:
        """The lines that write one setting.

        Raises:
            ValueError: that name or value cannot be written safely on this console.
        """
        refuse_cutting(self.description, setting.name)
        # In a bank the console's own name is the one in the address.
        fields = {"name": setting.name, **setting.address}
        verb = self.description.verbs.get(setting.written_by.get(OTHER, "write"))
        if verb is not None and verb.by_line:
            lines = self._codec(setting).write_lines(value)
            refuse_look_alikes(self.description, verb, lines)
            refuse_poison(self.description, setting, value, "\n".join(lines))
            texts = {"line": lines}
            return self._written(setting, fields, (setting.name,), texts=texts)
        if setting.together and setting.partly:
            return self._beside(setting, (setting,), {setting.name: value})
        spelled = self.spell(setting, value)
        fields = {**fields, "value": spelled}
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
            refuse_cutting(self.description, name)
            utterances.append(self._together(setting, values, snapshot))
            done |= set(utterances[-1].names)
        return tuple(utterances)

    def spell(self, setting: Setting, value: Value) -> str:
        """One value as a line that writes it spells it.

        Raises:
            ValueError: this console cannot be told that value, or never must be.
        """
        spelled = self._codec(setting).write(value)
        refuse_poison(self.description, setting, value, spelled)
        return spelled

    def _codec(self, setting: Setting) -> Codec:
        return self.description.spelling.codec(setting.name, Where.WRITE)

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
        if setting.together and not setting.partly:
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
        return self.description.when_kept(name)

    def restart_first(self, name: str) -> bool:
        """Whether `name` has to be kept and loaded before others can be written."""
        return matches_any(self.description.restart_first, name)

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
            armed=word == outputs.live,
            reasons=tuple(outputs.reasons.get(r, r) for r in fields.get("reason", [])),
        )

    def reason(self, reply: Reply) -> str:
        """What the board says of its last refusal; empty where that tells nothing."""
        try:
            fields = self._fields("why", reply)
        except BenchError:
            # The refusal counts, whatever becomes of the question after it.
            return ""
        return "; ".join(fields.get("reason", []))

    def value(self, setting: Setting, reply: Reply) -> Value:
        """Read one setting's answer.

        Raises:
            BoardError: it is not the value of this setting.
        """
        fields = self._fields(setting.read_by or "read", reply)
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
        texts: Mapping[str, tuple[str, ...]] = NO_TEXTS,
    ) -> Utterance:
        by = setting.written_by
        verb = by.get(spelled, by.get(OTHER, "write"))
        utterance = self._rendering.utterance(verb, self._verb(verb), fields, texts)
        aim = Aim(names=names, fields=_without_values(fields))
        self.hazards.refuse_beyond(verb, utterance.commands, aim)
        may = self.hazards.of_settings(names)
        return replace(
            utterance,
            commands=tuple(
                replace(command, hazards=may, aim=aim) for command in utterance.commands
            ),
            bank=setting.address.get("bank", "") if "home" in setting.address else "",
            home=setting.address.get("home", ""),
            names=names,
        )

    def _together(
        self, setting: Setting, values: Mapping[str, Value], snapshot: Snapshot
    ) -> Utterance:
        """One write for one thing: all its settings, or those alone that change."""
        row = [
            other
            for other in snapshot.settings.values()
            if other.together == setting.together
            and other.address.get("bank") == setting.address.get("bank")
            and (other.name in values or not setting.partly)
        ]
        return self._beside(setting, row, values)

    def _beside(
        self, setting: Setting, row: Sequence[Setting], values: Mapping[str, Value]
    ) -> Utterance:
        """The settings of one thing beside each other."""
        cells = tuple(
            template(s.cell).render(
                {**s.address, "value": self.spell(s, values.get(s.name, s.value))}
            )
            for s in row
        )
        joined = setting.between.join(cells)
        fields = {"name": setting.name, **setting.address, "cells": joined}
        names = tuple(s.name for s in row)
        return self._written(setting, fields, names, texts={"cell": cells})

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
        spelling = self.description.spelling
        for forms, line in lines_given(spelling, described, require_done(reply)):
            found = first_match(forms, line)
            if found is None:
                msg = f"the answer to {verb} holds a line that its description does not"
                msg = f"{msg} know: {line!r}"
                raise BoardError(msg, hint=f"Add its form to `verbs: {verb}: gives:`.")
            for name, text in found.items():
                fields.setdefault(name, []).append(text)
        return fields


def _without_values(fields: Mapping[str, str]) -> Mapping[str, str]:
    return {name: text for name, text in fields.items() if name not in SPELLED}
