"""One made-up console through a whole job, held against the mock's own store."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Final

from benchlink.console.grammar import Grammar
from benchlink.core.backup import Backup
from benchlink.core.difference import compare
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import BenchError, MismatchError
from benchlink.store.backup_reader import parse
from benchlink.store.backup_text import render
from benchlink.store.backups import intent_from_backup
from benchlink.units import Baud
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.compare import compare_board
from benchlink.workflows.planning import prepare
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import Session, meet
from mocks.options import ConsoleKind, Options
from tests.consoles.generated import Data, data_of, described
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, wanting
from tests.support.virtual_board import VirtualBoard

EACH_KIND: Final = 2
"""Settings of one kind that a trial changes."""
APART: Final = ("pack.cells", "filter.notch.centre_hz", "board.uptime_s")
"""Settings that move others, or need others: they have tests of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialResult:
    """What came out; every field but the first four is empty where all went well."""

    seed: int
    traits: str
    """The choices of this console, in a line."""
    settings: int = 0
    """How many the board has."""
    changed: int = 0
    """How many were changed, kept and proven, and restored."""
    false: tuple[str, ...] = ()
    """Settings whose name or value the board does not have so."""
    missing: tuple[str, ...] = ()
    """Settings that the board has and nobody read."""
    not_understood: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    """Steps of the job that came out otherwise than they should."""
    failed: str = ""
    """The error that ended the trial early."""

    @property
    def good(self) -> bool:
        """Whether all of it was exact."""
        return not (
            self.false
            or self.missing
            or self.not_understood
            or self.wrong
            or self.failed
        )


@dataclass(slots=True, kw_only=True)
class _Job:
    """The board in its trial, and what was found wrong so far."""

    data: Data
    board: VirtualBoard
    session: Session
    snapshot: Snapshot
    wrong: list[str] = field(default_factory=list)

    @property
    def clock(self) -> str:
        """The setting that differs at every look."""
        (name,) = self.session.grammar.description.volatile
        return name

    def shown(self) -> dict[str, str]:
        """What the board holds, without its clock."""
        return {n: v for n, v in self.board.device.shown().items() if n != self.clock}

    def kept(self) -> dict[str, str]:
        """What a restart brings."""
        kept = self.board.device.kept_shown()
        return {n: v for n, v in kept.items() if n != self.clock}

    def require(self, step: str, *, good: bool) -> None:
        """Note a step that came out wrong."""
        if not good:
            self.wrong.append(step)


def trial(
    seed: int, *, pages: bool | None = None, baud: int = 0, piece_bytes: int = 0
) -> TrialResult:
    """Meet, read, back up, compare, change, keep, restart, refuse and restore.

    With `pages` the pager is answered instead of turned off; every second console by
    itself.
    """
    data = data_of(seed)
    result = TrialResult(
        seed=seed, traits=_traits(data), settings=len(data["settings"])
    )
    try:
        options = Options(console=ConsoleKind.GENERATED, seed=seed, baud=baud)
        description = described(seed, pages=bool(seed % 2) if pages is None else pages)
        board = VirtualBoard(
            description,
            options,
            speed=Baud(baud) if baud else None,
            piece_bytes=piece_bytes,
        )
        board.device.aircraft.keep()
        session = meet(board, Grammar(description))
        snapshot = read_settled(session, ScriptedPerson())
        job = _Job(data=data, board=board, session=session, snapshot=snapshot)
        false, missing = held_against(snapshot, job.shown())
        strange = snapshot.not_understood
        result = replace(result, false=false, missing=missing, not_understood=strange)
        changed = _carry_through(job)
    except (BenchError, LookupError, ValueError) as exc:
        return replace(result, failed=_told(exc))
    return replace(result, changed=changed, wrong=tuple(job.wrong))


def _traits(data: Data) -> str:
    return ", ".join(
        (
            data["framing"]["kind"],
            f"echo {data['echo']['kind']}",
            f"list {data['listing']['shape']}",
            f"read {data['read_answer']['kind']}",
            f"success {data['success']['kind']}",
            f"reason on the {data['refusal']['kind']}",
            data["trust"],
            f"keeps {data['persistence']['kind']}",
            f"chatter {data['chatter']['kind']}",
        )
    )


def _told(exc: BenchError | LookupError | ValueError) -> str:
    details = getattr(exc, "details", ())
    return f"{type(exc).__name__}: {exc}" + "".join(f" / {d}" for d in details[:5])


def held_against(
    snapshot: Snapshot, shown: Mapping[str, str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What was read otherwise than the board holds it, and what was not read."""
    raw = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    false = tuple(f"{n}: {v}" for n, v in raw.items() if shown.get(n) != v)
    return false, tuple(name for name in shown if name not in raw)


def _carry_through(job: _Job) -> int:
    """The whole job on a board that was read; how many settings it changed."""
    person = ScriptedPerson()
    job.require("who it is", good=job.session.identity.board_type == "generated")
    readiness = job.session.readiness
    job.require("it rests", good=readiness is not None and not readiness.armed)
    before, kept_before = job.shown(), job.kept()
    backup = back_up(job.session, person, Shelf(), STAMP).backup
    again = parse(render(backup), "copy").snapshot
    job.require("the backup's file", good=moved(again, backup.snapshot) == ())
    job.require("a full backup", good=backup.full)
    changes = dict(_changes(job))
    asked = wanting(changes)
    found = compare_board(job.session, person, asked).difference
    job.require("the comparison", good=not found.same)
    _refuse(job, changes)
    job.require("all put back", good=job.shown() == before)
    applied = _change(job, changes)
    now = job.kept()
    moved_names = {name for name in now if now[name] != kept_before[name]}
    job.require("changed and kept", good=moved_names == set(changes))
    job.require("read after it", good=compare(applied.after, asked).same)
    job.require("shown after it", good=job.shown() == now)
    _restore(job, backup)
    job.require("restored and kept", good=job.kept() == kept_before)
    job.require("restored", good=job.shown() == before)
    return len(changes)


def _change(job: _Job, changes: Mapping[str, str]) -> Applied:
    person = ScriptedPerson()
    prepared = prepare(job.session, person, wanting(changes))
    return apply(prepared, person, Shelf().shelves, STAMP, agreed=True)


def _restore(job: _Job, backup: Backup) -> None:
    person = ScriptedPerson()
    back = intent_from_backup(backup, "shelf", same_board=True)
    prepared = prepare(job.session, person, back)
    apply(prepared, person, Shelf().shelves, STAMP, agreed=True)


def _refuse(job: _Job, changes: Mapping[str, str]) -> None:
    """A value that the board does not take, beside some that it does."""
    (name,) = (
        s["name"] for s in job.data["settings"] if s["meaning"] == "tilt.left.centre_us"
    )
    try:
        _change(job, {**changes, name: "9000"})
    except MismatchError as exc:
        told = any(detail.startswith(f"{name}:") for detail in exc.details)
        job.require(f"the refusal of {name}", good=told)
        job.require(f"put back: {exc.hint}", good="every old value is back" in exc.hint)
    else:
        job.require(f"9000 in {name} went unnoticed", good=False)


def _changes(job: _Job) -> Iterator[tuple[str, str]]:
    """Some of every kind, in our own notation."""
    counts: dict[tuple[str, bool, bool], int] = {}
    lost = job.data["persistence"]["never_kept_group"]
    for setting in job.data["settings"]:
        kind = (setting["kind"], setting["hex"], setting["milli"])
        group = setting["meaning"].partition(".")[0]
        apart = setting["own"] or setting["meaning"] in APART or group == lost
        if apart or not setting["writable"] or counts.get(kind, 0) >= EACH_KIND:
            continue
        now = str(job.snapshot.settings[setting["name"]].value)
        counts[kind] = counts.get(kind, 0) + 1
        yield setting["name"], _other(setting, now)


def _other(setting: Data, now: str) -> str:
    match setting["kind"]:
        case "whole":
            low, high = int(setting["low"]), int(setting["high"])
            return str(low if int(now) == high else int(now) + 1)
        case "fraction":
            up = Decimal(now) + Decimal(setting["step"])
            return f"{up if up <= Decimal(setting['high']) else setting['low']}"
        case "choice":
            return str(next(word for word in setting["words"] if word != now))
        case "switch":
            return "off" if now == "on" else "on"
        case "row":
            return "[" + ", ".join([setting["low"]] * setting["count"]) + "]"
        case _:
            return '"Lapwing one, left"'
