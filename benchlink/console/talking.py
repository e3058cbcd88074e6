"""What becomes of a line that somebody types to a board, before a byte of it leaves.

Theory of operation. A line is looked at as its final bytes, with what the board was told
before. One that only tells something passes. One that writes a setting and nothing else
passes as such a write, with hands clear where it may move something. Whatever moves
something by itself is refused: stations do that, through the gate. The rest (what is
unknown, restarts, loses settings or may cut the link) has to be typed once more.
`Standing` is what the next line depends on; `Usher.after` takes it forward.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final, final

from benchlink.console.grammar import Grammar
from benchlink.console.known_steps import KnownStep, KnownSteps
from benchlink.console.plain_line import why_not_plain
from benchlink.console.spelling import Where
from benchlink.core.exchange import ACTED, Command, Verdict
from benchlink.core.hazard import (
    NO_HAZARD,
    NOT_KNOWN,
    About,
    Aim,
    Hazard,
    Hazards,
    Typed,
    hazard_words,
)
from benchlink.core.intent import matches_any
from benchlink.core.may_move import MayMove
from benchlink.core.plan import Moves
from benchlink.core.settings import Setting, Snapshot

MOTION: Final[Hazards] = frozenset({Hazard.SERVO, Hazard.MOTOR})
STATIONS: Final[Mapping[Hazard, str]] = {
    Hazard.SERVO: "`benchlink centre` and `benchlink throw` move a tilt",
    Hazard.MOTOR: "`benchlink spin` runs a motor",
}
"""What is used instead of a line that moves something."""

NOTHING_SENT: Final = "Nothing was sent."
MAY_MOVE: Final = "It may move something: props off, pack out, servos unplugged?"
OLD_VALUES: Final = MayMove(
    "other values come back: arms may jump, and outputs change", Moves.MOTOR
)


class Deed(Enum):
    """What a line is."""

    TELLS = "tells something"
    STOPS = "stops whatever moves"
    WRITES = "writes a setting"
    KEEPS = "makes the board keep what it holds"
    RESTARTS = "restarts the board"
    ACTS = "does something else, or nobody knows what"


class Need(Enum):
    """What has to be typed before a line is sent."""

    AGAIN = "the line once more"
    HANDS = "that hands are clear"
    LEAVE = "leave to restart, by hands that are clear or by meters that show no power"


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """A line that is sent once everything it needs was typed."""

    deed: Deed
    commands: tuple[Command, ...]
    """The line, and the keys that answer what it asks."""
    needs: tuple[Need, ...] = ()
    cautions: tuple[str, ...] = ()
    """Sentences that are said before."""
    moving: tuple[MayMove, ...] = ()
    """What may move."""
    at_rest: bool = True
    """Whether it is sent only while the outputs of the board rest."""
    mode: str | None = None
    """The mode of the console afterwards, where it changes that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A line that is not sent, whatever is typed."""

    sentence: str
    hint: str = NOTHING_SENT


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What the next line depends on."""

    last: str | None = None
    """The line that the board was told last; None where nobody knows."""
    mode: str = ""
    """The mode that was entered and not left."""
    unkept: bool = False
    """Whether something may have been written since the board last kept."""


@final
class Usher:
    """Looks at each line by a description and the settings that were read."""

    def __init__(self, grammar: Grammar, snapshot: Snapshot | None) -> None:
        """`snapshot` is None where the board was not read: no write is known then."""
        self._grammar: Final = grammar
        self._description: Final = grammar.description
        self._settings: Final = snapshot.settings if snapshot else {}
        self._steps: Final = KnownSteps(grammar)
        self._aims: tuple[Aim, ...] | None = None

    def look(self, line: str, standing: Standing) -> Passed | Refused:
        """What becomes of a line."""
        why = why_not_plain(line, self._description.manner)
        if why:
            return Refused(sentence=why)
        if not line.strip():
            return Refused(sentence="an empty line may repeat the last one: never sent")
        step = self._steps.of(line)
        if step is not None and step.opens_a_text:
            return Refused(
                sentence=f"`{line}` begins a text of several lines",
                hint=f"{NOTHING_SENT} `benchlink change` writes it whole.",
            )
        data = self._bytes(line)
        hazards = self._grammar.hazards.classify(data, Typed(last=standing.last))
        if hazards and self._grammar.hazards.repeats(line):
            return Refused(
                sentence=f"`{line}` does the last line again, and that one"
                f" {hazard_words(hazards)}",
                hint=f"{NOTHING_SENT} Type that line itself.",
            )
        about = self._about(line) if hazards else None
        if about is not None:
            return self._setting(line, step, about)
        return self._other(line, step, hazards)

    def after(
        self, standing: Standing, line: str, passed: Passed, verdict: Verdict
    ) -> Standing:
        """Where things stand once a line was answered."""
        acted = verdict in ACTED
        if passed.deed is Deed.RESTARTS and verdict is not Verdict.REFUSED:
            return Standing()
        unkept = standing.unkept
        if passed.deed is Deed.KEEPS and acted:
            unkept = False
        elif passed.deed in {Deed.WRITES, Deed.ACTS}:
            unkept = True
        mode = standing.mode
        if passed.mode is not None and acted:
            mode = passed.mode
        return Standing(last=line, mode=mode, unkept=unkept)

    def _bytes(self, line: str) -> bytes:
        manner = self._description.manner
        return manner.charset.encode(line) + manner.line_end.value

    def _about(self, line: str) -> About | None:
        if self._aims is None:
            self._aims = tuple(self._each_aim())
        return self._grammar.hazards.about(line, self._aims)

    def _each_aim(self) -> Iterator[Aim]:
        """Each setting with all that is written beside it."""
        rows: dict[tuple[str, str], list[str]] = {}
        for setting in self._settings.values():
            if setting.together:
                rows.setdefault(_row(setting), []).append(setting.name)
        for setting in self._settings.values():
            names = rows[_row(setting)] if setting.together else [setting.name]
            fields = {"name": setting.name, **setting.address}
            yield Aim(names=tuple(names), fields=fields)

    def _setting(
        self, line: str, step: KnownStep | None, about: About
    ) -> Passed | Refused:
        """A line that asks for a setting or writes it, and does nothing else."""
        aim = about.aim
        command = self._steps.command(line, step)
        if not about.writes:
            asking = replace(command, changes=False)
            return Passed(deed=Deed.TELLS, commands=(asking,), at_rest=False)
        if poison := self._poison(" ".join(aim.names)):
            return Refused(sentence=poison[0], hint=poison[1])
        does = self._grammar.hazards.of_settings(aim.names)
        needs: list[Need] = []
        cautions: list[str] = []
        if Hazard.LINK in does:
            needs.append(Need.AGAIN)
            cautions.append(f"Writing {aim.names[0]} {Hazard.LINK.value}.")
        if not self._alike(about):
            needs.append(Need.AGAIN)
            held = self._settings[aim.names[0]].raw
            cautions.append(f"{aim.names[0]} holds {held} now: another kind of value.")
        if does & MOTION:
            needs.append(Need.HANDS)
        return Passed(
            deed=Deed.WRITES,
            commands=(replace(command, changes=True, hazards=does, aim=aim),),
            needs=tuple(dict.fromkeys(needs)),
            cautions=tuple(cautions),
            moving=tuple(self._moving(aim)) if does & MOTION else (),
        )

    def _moving(self, aim: Aim) -> Iterator[MayMove]:
        for name in aim.names:
            does = self._grammar.hazards.of_settings((name,)) & MOTION
            if does:
                moves = Moves.MOTOR if Hazard.MOTOR in does else Moves.SERVO
                yield MayMove(f"{name}: {hazard_words(does)}", moves)

    def _alike(self, about: About) -> bool:
        """Whether what is written is of the kind that the board holds there."""
        name = about.aim.names[0]
        codec = self._description.spelling.codec(name, Where.WRITE)
        held = self._settings[name].value
        try:
            written = [codec.read(text) for text in about.values]
        except ValueError:
            return False
        return all(type(value) is type(held) for value in written)

    def _other(
        self, line: str, step: KnownStep | None, hazards: Hazards
    ) -> Passed | Refused:
        if hazards & MOTION:
            return self._moves(line, hazards)
        poison = self._poison(line) if Hazard.UNKNOWN in hazards else None
        if poison:
            return Refused(sentence=poison[0], hint=poison[1])
        deed = _deed(step, hazards)
        commands = self._steps.commands(line, step)
        if deed is Deed.RESTARTS:
            commands = (*commands[:-1], self._steps.restart(commands[-1]))
        answers = "" if step is None else step.answers
        return Passed(
            deed=deed,
            commands=commands,
            needs=tuple(_needs(deed, hazards, answers)),
            cautions=tuple(_cautions(line, hazards, answers)),
            moving=(OLD_VALUES,) if Hazard.ERASES in hazards else (),
            at_rest=self._waits_for_rest(deed, hazards),
            mode=None if step is None else step.mode,
        )

    def _waits_for_rest(self, deed: Deed, hazards: Hazards) -> bool:
        if deed in {Deed.TELLS, Deed.STOPS}:
            return False
        # A description that is just being taught may not know how to ask.
        return self._grammar.can("readiness") or hazards != NOT_KNOWN

    def _moves(self, line: str, hazards: Hazards) -> Refused:
        ways = "; ".join(words for h, words in STATIONS.items() if h in hazards)
        alone = ""
        if self._grammar.can("write"):
            spelled = self._description.verbs["write"].steps[0].line.source
            alone = f" A setting that may move something is written alone: `{spelled}`."
        return Refused(
            sentence=f"`{line}` {hazard_words(hazards)}: no line is typed for that",
            hint=f"{NOTHING_SENT} Instead: {ways}.{alone}",
        )

    def _poison(self, text: str) -> tuple[str, str] | None:
        """Why a line that names one of those settings is left to `change`."""
        said = text.casefold()
        for poison in self._description.never:
            named = [n for n in self._settings if matches_any((poison.name,), n)]
            for name in (*named, poison.name):
                if all(word in said for word in name.casefold().split()):
                    return (
                        f"{name} has a value that must never be written: {poison.why}",
                        f"{NOTHING_SENT} `benchlink change` knows which one it is.",
                    )
        return None


def _row(setting: Setting) -> tuple[str, str]:
    return setting.together, setting.address.get("bank", "")


def _needs(deed: Deed, hazards: Hazards, answers: str) -> Iterator[Need]:
    if hazards or answers:
        yield Need.AGAIN
    if Hazard.ERASES in hazards:
        yield Need.HANDS
    if deed is Deed.RESTARTS:
        yield Need.LEAVE


def _cautions(line: str, hazards: Hazards, answers: str) -> Iterator[str]:
    if hazards:
        yield f"`{line}` {hazard_words(hazards)}."
    if Hazard.UNKNOWN in hazards:
        yield MAY_MOVE
    if answers:
        yield f"The board will ask, and gets `{answers}` for an answer."


def _deed(step: KnownStep | None, hazards: Hazards) -> Deed:
    if Hazard.RESTARTS in hazards:
        return Deed.RESTARTS
    if step is not None and step.name in {"keep", "stop"} and hazards == NO_HAZARD:
        return Deed.KEEPS if step.name == "keep" else Deed.STOPS
    return Deed.ACTS if hazards else Deed.TELLS
