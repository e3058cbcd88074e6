"""What can be said to a board and how its answers are read, by its description."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from benchlink.console.description import Description, ListedLine, Verb
from benchlink.core.exchange import Answer, Command, require_done
from benchlink.core.identity import Identity, Readiness
from benchlink.core.intent import matches_any
from benchlink.core.plan import Moves
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Value
from benchlink.errors import BoardError, UsageError

CHANGING: Final = frozenset({"write", "keep", "drop", "restart"})
"""Verbs after which the board may hold something else."""


@dataclass(frozen=True, slots=True)
class Grammar:
    """A description put to use."""

    description: Description

    def can(self, verb: str) -> bool:
        """Whether this console has the verb."""
        return verb in self.description.verbs

    def command(self, verb: str, fields: Mapping[str, str] | None = None) -> Command:
        """Render a verb.

        Raises:
            UsageError: the console has no such verb.
            ValueError: a field cannot be told safely, or the line gets too long.
        """
        described = self._verb(verb)
        for text in (fields or {}).values():
            self._refuse_unsafe(text)
        line = described.line.render(fields or {})
        longest = self.description.manner.longest_line
        if len(line) > longest:
            msg = f"makes a line longer than the {longest} characters the board takes"
            raise ValueError(msg)
        return Command(
            line=line,
            answer_within=described.answer_within,
            alone=described.alone,
            changes=verb in CHANGING,
            restarts=verb == "restart",
        )

    def write(self, name: str, value: Value) -> Command:
        """The line that writes one setting.

        Raises:
            ValueError: that name or value cannot be written safely on this console.
        """
        spelled = self.description.codec.write(value)
        return self.command("write", {"name": name, "value": spelled})

    def unwritable(self, name: str, value: Value) -> str:
        """Why a setting cannot be told this value here; empty when it can."""
        try:
            self.write(name, value)
        except ValueError as exc:
            return str(exc)
        return ""

    def moves(self, name: str) -> Moves:
        """What may move when the setting `name` is written."""
        for rule in self.description.moving:
            if matches_any(rule.names, name):
                return rule.what
        return Moves.NOTHING

    def identity(self, answer: Answer) -> Identity:
        """Read who the board is.

        Raises:
            BoardError: the answer holds a line that the description does not know.
        """
        fields = self._fields("identify", answer)
        return Identity(
            board_type=fields.get("type", [""])[0],
            firmware=fields.get("firmware", [""])[0],
            number=fields.get("number", [""])[0],
        )

    def readiness(self, answer: Answer) -> Readiness:
        """Read whether the outputs are live, and what holds them back.

        Raises:
            BoardError: the answer says neither, or holds an unknown line.
        """
        fields = self._fields("readiness", answer)
        outputs = self.description.outputs
        word = fields.get("outputs", [""])[0]
        if outputs is None or word not in {outputs.live, outputs.resting}:
            msg = f"the board does not say whether its outputs are live: {word!r}"
            raise BoardError(msg, hint="Treat it as live: props off, pack out.")
        return Readiness(
            armed=word == outputs.live, reasons=tuple(fields.get("reason", []))
        )

    def snapshot(self, answer: Answer) -> Snapshot:
        """Read a listing; a line that nothing takes is kept as not understood."""
        reading = _Listing(self.description, self._verb("list"))
        for line in require_done(answer).lines:
            reading.take(line)
        return reading.finish(answer.raw)

    def value(self, name: str, answer: Answer) -> Value:
        """Read one setting's answer.

        Raises:
            BoardError: it is not the value of `name`.
        """
        fields = self._fields("read", answer)
        if fields.get("name", [name]) != [name] or len(fields.get("value", [])) != 1:
            msg = f"asked for {name}, the board answered {' / '.join(answer.lines)!r}"
            raise BoardError(msg)
        return self.description.codec.read(fields["value"][0])

    def _refuse_unsafe(self, text: str) -> None:
        reserved = self.description.codec.reserved
        if (
            any(char in reserved for char in text)
            or not text.isprintable()
            or not text.isascii()
        ):
            msg = f"{text!r} cannot be written on this console"
            raise ValueError(msg)

    def _verb(self, name: str) -> Verb:
        verb = self.description.verbs.get(name)
        if verb is None:
            msg = f"the console {self.description.name!r} has no way to {name}"
            raise UsageError(
                msg, hint=f"Describe it under `verbs: {name}:` if the board can do it."
            )
        return verb

    def _fields(self, verb: str, answer: Answer) -> dict[str, list[str]]:
        fields: dict[str, list[str]] = {}
        for line in require_done(answer).lines:
            if not line.strip():
                continue
            for name, text in self._match(verb, line).items():
                fields.setdefault(name, []).append(text)
        return fields

    def _match(self, verb: str, line: str) -> Mapping[str, str]:
        for form in self._verb(verb).gives:
            fields = form.match(line)
            if fields is not None:
                return fields
        msg = f"the answer to {verb} holds a line that its description does not know: {line!r}"
        raise BoardError(msg, hint=f"Add its form to `verbs: {verb}: gives:`.")


class _Listing:
    """One listing being read."""

    def __init__(self, description: Description, verb: Verb) -> None:
        self._description: Final = description
        self._furniture: Final = verb.gives
        self._settings: Final[dict[str, Setting]] = {}
        self._strange: Final[list[str]] = []
        self._counted: Final[list[tuple[str, str]]] = []

    def take(self, line: str) -> None:
        """Account for one line."""
        for listed in self._description.listed:
            fields = listed.template.match(line)
            if fields is not None:
                self._setting(line, listed, fields)
                return
        if line.strip() and not self._is_furniture(line):
            self._strange.append(line)

    def finish(self, verbatim: bytes) -> Snapshot:
        """The whole listing."""
        return Snapshot(
            settings=self._settings,
            not_understood=(*self._strange, *self._count_troubles()),
            verbatim=verbatim,
        )

    def _setting(self, line: str, listed: ListedLine, fields: dict[str, str]) -> None:
        name, raw = fields["name"], fields["value"]
        if name in self._settings:
            self._strange.append(f"{line} (a second {name})")
            return
        self._settings[name] = Setting(
            name=name,
            value=self._description.codec.read(raw),
            raw=raw,
            writable=listed.writable,
            board_owned=listed.board_owned,
            volatile=matches_any(self._description.volatile, name),
        )

    def _is_furniture(self, line: str) -> bool:
        for form in self._furniture:
            fields = form.match(line)
            if fields is not None:
                if "count" in fields:
                    self._counted.append((line, fields["count"]))
                return True
        return False

    def _count_troubles(self) -> tuple[str, ...]:
        """Every line that counts the settings must agree, and one of them must come."""
        listed = len(self._settings)
        counts = any("count" in form.fields for form in self._furniture)
        if counts and not self._counted:
            return (f"(no line told the count of these {listed} settings)",)
        return tuple(
            f"{line} (but {listed} were listed)"
            for line, count in self._counted
            if (count.lstrip("0") or "0") != str(listed)
        )
