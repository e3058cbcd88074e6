"""Consoles under fault, and changes for them that the aircraft itself has checked.

A change is made up in the aircraft's own names and values. How the console names and
spells it is read off a healthy twin that holds it; the referee never needs that.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from typing import Final

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.core.intent import Intent, Wanted
from benchlink.errors import BenchError
from benchlink.store.backups import intent_from_backup
from benchlink.workflows.apply import apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.planning import prepare
from benchlink.workflows.session import meet
from mocks.aircraft import UPTIME, Aircraft
from mocks.dunlin_sheet import Note
from mocks.fleet import fit_out
from mocks.generated_plan import USUAL_BOARD, Persistence, draw
from mocks.options import ConsoleKind, Options
from mocks.quantities import Choice, Fraction, Kind, Row, Switch, Text, Whole
from mocks.settings import Owner
from tests.consoles.consoles import CASES
from tests.consoles.consoles import described as described_case
from tests.consoles.generated import described as described_made_up
from tests.support.cable_board import CableBoard, Desk
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP

SETTINGS: Final = 60
PACED_BAUD: Final = 115_200
LEAD: Final = "pack.cells"
"""Its writing moves others: the board's own habit, left out."""
NEEDED: Final = {"filter.notch.centre_hz": "filter.notch.on"}
"""What can be written only while a switch is on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One setting and a value that it does not hold yet."""

    name: str
    """As the aircraft calls it."""
    value: str
    """As the aircraft holds it."""
    wanted: Wanted
    """The same for the console."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """A console in front of a small aircraft."""

    name: str
    description: Description
    options: Options
    told: Mapping[str, str]
    never_kept: frozenset[str]
    """What the board forgets at every restart, by its own plan."""
    hidden: frozenset[str] = frozenset()
    """What the aircraft has and this console does not show."""

    def desk(self, options: Options | None = None) -> Desk:
        """The aircraft, switched on, with all that it holds kept."""
        return Desk(options or self.options)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What there is to ask of one console, and how much it says in a healthy change."""

    changes: tuple[Change, ...]
    received: int
    """Bytes that the board got when all of it was changed."""
    sent: int
    unseen: frozenset[str]
    """What the aircraft holds and this console never shows."""


def true_values(
    aircraft: Aircraft, unseen: frozenset[str] = frozenset()
) -> dict[str, str]:
    """All live values but the clock, and what no console of this kind shows."""
    unread = {UPTIME, *unseen}
    return {name: value for name, value in aircraft.live.items() if name not in unread}


def true_kept(
    aircraft: Aircraft, unseen: frozenset[str] = frozenset()
) -> dict[str, str]:
    """The same after a power cycle."""
    unread = {UPTIME, *unseen}
    return {n: v for n, v in aircraft.after_restart().items() if n not in unread}


def subject_of(number: int, *, seed: int = 3) -> Subject:
    """The six described consoles come first, then made-up ones without end."""
    if number < len(CASES):
        case = CASES[number]
        never = {"craft.note"} if case.kind is ConsoleKind.DUNLIN else set[str]()
        return Subject(
            name=str(case),
            description=described_case(case.kind),
            options=Options(console=case.kind, settings=SETTINGS, seed=seed),
            told=case.told,
            never_kept=frozenset(never),
        )
    seed = number - len(CASES)
    plan = draw(seed)
    parts = plan.persistence is Persistence.PART
    every = {setting.name for setting in fit_out(count=USUAL_BOARD, seed=seed)}
    return Subject(
        name=f"made-up {seed}",
        description=described_made_up(seed, pages=bool(seed % 2)),
        options=Options(console=ConsoleKind.GENERATED, seed=seed),
        told={},
        never_kept=frozenset(
            name for name in plan.names if parts and _group(name) == plan.lost_group
        ),
        hidden=frozenset(every.difference(plan.names)),
    )


def _group(name: str) -> str:
    return name.partition(".")[0]


@cache
def stock_of(number: int) -> Stock:
    """What can be changed on this console: each change was carried out on a twin."""
    subject = subject_of(number)
    desk = subject.desk()
    aircraft = desk.device.aircraft
    before, shown = true_values(aircraft), desk.device.shown()
    asked: dict[str, tuple[str, str]] = {}
    unseen = set(subject.hidden)
    for setting in aircraft.settings.values():
        if setting.owner is Owner.MAKER or setting.name in {LEAD, *subject.hidden}:
            continue
        value = _other(setting.kind, aircraft.live[setting.name])
        if value is None:
            continue
        aircraft.put(setting.name, value)
        now = desk.device.shown()
        differing = [name for name in shown if now[name] != shown[name]]
        if len(differing) == 1:
            asked[setting.name] = (value, differing[0])
            shown = now
        else:
            aircraft.live[setting.name] = before[setting.name]
        if not differing:
            unseen.add(setting.name)
    wanted = _as_listed(subject, desk)
    changes = tuple(
        Change(name=name, value=value, wanted=wanted[listed])
        for name, (value, listed) in asked.items()
        if listed in wanted
    )
    return replace(_carried_out(subject, changes), unseen=frozenset(unseen))


def _as_listed(subject: Subject, desk: Desk) -> Mapping[str, Wanted]:
    board = CableBoard(desk, subject.description, told=subject.told)
    session = meet(board, Grammar(subject.description))
    backup = back_up(session, ScriptedPerson(), Shelf(), STAMP).backup
    return intent_from_backup(backup, "twin", same_board=True).wanted


def _carried_out(subject: Subject, changes: tuple[Change, ...]) -> Stock:
    """What comes out right where nothing is wrong; the rest is not asked for."""
    desk = subject.desk()
    board = CableBoard(desk, subject.description, told=subject.told)
    session = meet(board, Grammar(subject.description))
    intent = intent_of(changes)
    try:
        prepared = prepare(session, ScriptedPerson(), intent, leave_out=True)
        apply(prepared, ScriptedPerson(), Shelf().shelves, STAMP, agreed=True)
    except BenchError as trouble:
        msg = f"{subject.name} without a fault: {trouble} {trouble.details[:3]}"
        raise AssertionError(msg) from trouble
    live = true_values(desk.device.aircraft)
    good = tuple(
        c for c in changes if c.name in subject.never_kept or live[c.name] == c.value
    )
    device = desk.device
    return Stock(
        changes=good,
        received=device.received,
        sent=device.sent,
        unseen=frozenset(),
    )


def intent_of(changes: tuple[Change, ...]) -> Intent:
    """All of these, as a profile would ask for them."""
    return Intent(
        title="Marsh baseline",
        source="marsh.yaml",
        wanted={change.wanted.name: change.wanted for change in changes},
    )


def _other(kind: Kind, now: str) -> str | None:
    """A value that differs, well within what the kind takes."""
    return next((v for v in _candidates(kind, now) if _taken(kind, v) != now), None)


def _taken(kind: Kind, value: str) -> str:
    return kind.take(value).text


def _candidates(kind: Kind, now: str) -> Iterator[str]:
    match kind:
        case Whole(low=low, high=high):
            step = max(1, (high - low) // 17)
            yield str(int(now) + step if int(now) + step <= high else int(now) - step)
        case Fraction(low=low, high=high, step=step):
            span = Decimal(step) * 13
            up = Decimal(now) + span
            yield str(up if up <= Decimal(high) else max(Decimal(low), up - 2 * span))
        case Choice(words=words):
            yield from words
        case Switch():
            yield "no" if now == "yes" else "yes"
        case Row(count=count, low=low, high=high):
            yield ",".join(str((low + high) // 2 + n) for n in range(count))
        case Text():
            yield json.dumps("Lapwing two, right")
        case Note():
            yield json.dumps("first hover\nsteady")
        case _:
            return
