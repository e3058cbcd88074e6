"""The referee: what an aircraft truly holds, beside what was asked and what was said.

It compares the aircraft's own values before and after; it never asks ours.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from benchlink.core.backup import Backup
from mocks.device import Device
from tests.bench.fault_ends import LOST_BACKUP, SILENT
from tests.bench.fault_plan import RunPlan
from tests.bench.fault_subjects import (
    Change,
    Subject,
    stock_of,
    subject_of,
    true_kept,
    true_values,
)
from tests.support.cable_board import Desk

Values = dict[str, str]


class WrongError(Exception):
    """A promise was broken: which, and how."""

    def __init__(self, kind: str, why: str) -> None:
        super().__init__(why)
        self.kind = kind


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """What an aircraft truly holds."""

    live: Values
    kept: Values

    @classmethod
    def of(cls, device: Device, unseen: frozenset[str]) -> "State":
        """Now; what this console never shows is left out."""
        aircraft = device.aircraft
        return cls(live=true_values(aircraft, unseen), kept=true_kept(aircraft, unseen))

    def differs(self, other: "State") -> str:
        """The first differences, in words; empty where there are none."""
        told = [
            f"{where} {name} is {mine[name]}, not {theirs[name]}"
            for where, mine, theirs in (
                ("live", self.live, other.live),
                ("kept", self.kept, other.kept),
            )
            for name in mine
            if mine[name] != theirs[name]
        ]
        return "; ".join(told[:4]) + (f" and {len(told) - 4} more" if told[4:] else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What is asked of which board, and where it shall end."""

    subject: Subject
    changes: tuple[Change, ...]
    before: State
    wanted: State
    unrestarted: State
    """The same while the board was not restarted: it holds what it never keeps."""


def case_of(plan: RunPlan, desk: Desk) -> Case:
    """The board before anything happened, and as it shall be."""
    subject = subject_of(plan.subject)
    stock = stock_of(plan.subject)
    changes = tuple(stock.changes[n % len(stock.changes)] for n in plan.changes)
    changes = tuple({change.name: change for change in changes}.values())
    before = State.of(desk.device, stock.unseen)
    new = {change.name: change.value for change in changes}
    stays = {n: v for n, v in new.items() if n not in subject.never_kept}
    # Where nothing that is written could be kept, no restart takes it away.
    live = before.live | (stays or new)
    wanted = State(live=live, kept=before.kept | stays)
    unrestarted = State(live=before.live | new, kept=wanted.kept)
    return Case(
        subject=subject,
        changes=changes,
        before=before,
        wanted=wanted,
        unrestarted=unrestarted,
    )


def require_true_words(
    told: list[str], now: State, before: State, *, first: bool
) -> None:
    """What was said last of how the board stands has to be so.

    `first`: it is the process that made the change, and not a later one.
    """
    words = " ".join(told[-4:]).lower()
    claims = {
        "every old value is back": (True, False),
        "nothing was kept": (False, True),
        "every old value is back, kept, and equal after": (True, True),
    }
    if first:
        claims["nothing was written"] = (True, True)
    for claim, (live, kept) in claims.items():
        if claim not in words:
            continue
        aim = State(
            live=before.live if live else now.live,
            kept=before.kept if kept else now.kept,
        )
        differs = now.differs(aim)
        if differs:
            raise WrongError(SILENT, f"it said {claim!r}, but {differs}")


def require_true_copy(shown: Mapping[str, str], backup: Backup) -> None:
    """A backup holds what the board showed; chatter that reads as a setting harms none."""
    for setting in backup.snapshot.settings.values():
        true = shown.get(setting.name, setting.raw)
        if setting.volatile or same_value(true, setting.raw):
            continue
        msg = f"the backup has {setting.name} as {setting.raw!r}, not {true!r}"
        raise WrongError(LOST_BACKUP, msg)


def same_value(one: str, other: str) -> bool:
    """Whether two spellings are one value: zeros that say nothing may be lost."""
    if one == other:
        return True
    try:
        return Decimal(one) == Decimal(other)
    except InvalidOperation:
        return False
