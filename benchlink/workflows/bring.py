"""Bringing settings to given values and proving it: the heart of every change.

Write, read the whole list back, and look at every setting, not only at those that were
written. What is still off and may be written is written again, because boards move
neighbours and refuse a setting until another one is on; what moved and may not be
written is trouble.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from benchlink.console.grammar import Grammar
from benchlink.core.doors import Person
from benchlink.core.exchange import Verdict
from benchlink.core.hazard import Hazard
from benchlink.core.intent import NO_TOLERANCE
from benchlink.core.settings import Snapshot, moved
from benchlink.core.utterance import Reply
from benchlink.core.values import Switch, Value, within
from benchlink.errors import BoardError
from benchlink.workflows.opener import named_switch
from benchlink.workflows.read import read_settled
from benchlink.workflows.say import say
from benchlink.workflows.session import Session
from benchlink.workflows.written_so_far import Written

PASSES: Final = 4
"""Rounds of writing before what is still off counts as trouble."""


LAST: Final = 2
"""The turn of switches that go off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """Where the settings shall be."""

    before: Snapshot
    """Everything not named in `wanted` shall stay as it is here."""
    wanted: Mapping[str, Value]
    tolerances: Mapping[str, Decimal]
    untouched: frozenset[str] = frozenset()
    """Wanted, but not to be written: nobody has agreed to what that may move."""
    later: frozenset[str] = frozenset()
    """Names of a later stage, which a restart before it may move."""
    gone: frozenset[str] = frozenset()
    """Names that need not be there: what was read as such may have been chatter."""
    surely: frozenset[str] = frozenset()
    """Written once whatever is shown: a board may show for a while what was before."""

    def may_be_gone(self, name: str, now: Snapshot) -> bool:
        """Whether a name is not there, and need not be."""
        return name in self.gone and name not in now.settings

    def reached(self, name: str, now: Value) -> bool:
        """Whether a wanted setting holds what is wanted."""
        return within(now, self.wanted[name], self.tolerances.get(name, NO_TOLERANCE))


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """One setting that is not where it should be, in words."""

    name: str
    text: str
    refusal: str = ""
    """The board's own words where it refused the value."""

    def __str__(self) -> str:
        return f"{self.name}: {self.text}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """The board after the writing, and what is wrong with it."""

    after: Snapshot
    troubles: tuple[Trouble, ...]
    remarks: tuple[Trouble, ...] = ()
    """What the board noted beside values that turned out right."""


def bring(session: Session, person: Person, goal: Goal, now: Snapshot) -> Brought:
    """Write what is off, prove the whole list, and repeat where that can help."""
    said: dict[str, Reply] = {}
    epoch = session.board.epoch
    for _ in range(PASSES):
        off = _off(session.grammar, goal, now, goal.surely - said.keys())
        if not off:
            break
        values = {name: goal.wanted[name] for name in off}
        opener = named_switch(off, said, now, goal.wanted, session.grammar)
        if opener is not None and opener not in goal.untouched:
            values = {opener: Switch(on=True), **values}
        said |= _write(session, person, values, now)
        now = read_settled(session, person, "reading back")
        if session.board.epoch != epoch:
            # What was agreed to, hands that are clear above all, was for before.
            msg = "the board restarted by itself while it was written to"
            raise BoardError(msg, hint="A brown-out? Look at its supply.")
    return Brought(
        after=now,
        troubles=(*_unreached(goal, now, said), *_moved_neighbours(goal, now)),
        remarks=_remarks(goal, now, said),
    )


def _off(
    grammar: Grammar, goal: Goal, now: Snapshot, surely: frozenset[str]
) -> tuple[str, ...]:
    """What to write now; what may not or cannot be written stays off, and is trouble."""
    off = [
        name
        for name, wanted in goal.wanted.items()
        if name in now.settings
        and name not in goal.untouched
        and (name in surely or not goal.reached(name, now.settings[name].value))
        and not grammar.unwritable(now.settings[name], wanted, now)
    ]
    turns = {name: _turn(goal.wanted[name]) for name in off}
    # One line for a whole row would switch off what its other cells need.
    open_rows = {now.settings[n].together for n, turn in turns.items() if turn < LAST}
    ready = [
        name
        for name, turn in turns.items()
        if turn < LAST or now.settings[name].together not in open_rows - {""}
    ]
    return tuple(sorted(ready, key=turns.__getitem__))


def _turn(value: Value) -> int:
    """Switches go on first and off last: what needs one is written while it is on."""
    if not isinstance(value, Switch):
        return 1
    return 0 if value.on else LAST


def _write(
    session: Session, person: Person, values: Mapping[str, Value], now: Snapshot
) -> dict[str, Reply]:
    utterances = tuple(
        utterance.with_hands(session.hands)
        for utterance in session.grammar.writes(values, now)
    )
    written = Written(utterances, session.grammar.description.manner)
    try:
        replies = say(
            session.board,
            session.grammar,
            utterances,
            lambda _, answered: person.progress(written.after(answered)),
        )
    finally:
        person.done()
        if any(Hazard.MOTOR in c.hazards for u in utterances for c in u.commands):
            session.props_word.spend(session.hands)
    return {name: reply for reply in replies for name in reply.utterance.names}


def _unreached(
    goal: Goal, now: Snapshot, said: Mapping[str, Reply]
) -> tuple[Trouble, ...]:
    troubles: list[Trouble] = []
    for name, wanted in goal.wanted.items():
        setting = now.settings.get(name)
        if setting is None:
            if name not in goal.gone:
                text = "the board lists it no longer"
                troubles.append(Trouble(name=name, text=text))
        elif not goal.reached(name, setting.value):
            text = f"asked for {wanted}, the board holds {setting.value}"
            reply = said.get(name)
            refusal = _refusal(reply)
            text += _reason(reply)
            troubles.append(Trouble(name=name, text=text, refusal=refusal))
    return tuple(troubles)


def _refusal(reply: Reply | None) -> str:
    if reply is None or reply.verdict not in {Verdict.REFUSED, Verdict.AGAIN}:
        return ""
    return reply.remark or "it said no more than that"


def _reason(answer: Reply | None) -> str:
    if answer is None:
        return ""
    words = {
        Verdict.REFUSED: "; it refused",
        Verdict.NOTED: "; it noted",
        Verdict.OK: "; it said that all was well",
    }
    told = words.get(answer.verdict, f"; {answer.verdict.value}")
    return f"{told}: {answer.remark}" if answer.remark else told


def _moved_neighbours(goal: Goal, now: Snapshot) -> tuple[Trouble, ...]:
    return tuple(
        Trouble(name=name, text=_neighbour(goal.before, now, name))
        for name in moved(goal.before, now)
        if name not in goal.wanted
        and name not in goal.later
        and not goal.may_be_gone(name, now)
    )


def _neighbour(before: Snapshot, now: Snapshot, name: str) -> str:
    old, new = before.settings.get(name), now.settings.get(name)
    if old is None or new is None:
        return "appeared" if old is None else "the board lists it no longer"
    return f"nobody asked for it, yet it went from {old.value} to {new.value}"


def _remarks(
    goal: Goal, now: Snapshot, said: Mapping[str, Reply]
) -> tuple[Trouble, ...]:
    return tuple(
        Trouble(name=name, text=answer.remark)
        for name, answer in said.items()
        if answer.verdict is Verdict.NOTED
        and name in now.settings
        and goal.reached(name, now.settings[name].value)
    )
