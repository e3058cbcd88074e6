"""What the work thread is sent for; each gives one piece of news."""

from pathlib import Path
from typing import TYPE_CHECKING, Final

from benchlink.console.readings import told_by
from benchlink.core.difference import compare
from benchlink.core.intent import Intent
from benchlink.core.job_standing import whose_turn
from benchlink.core.journal import Kind
from benchlink.core.readings import Quantity
from benchlink.core.settings import moved
from benchlink.errors import BenchError, FileError, WrongBoardError
from benchlink.faces.asked import asked_of, read_named
from benchlink.faces.job_now import job_now
from benchlink.faces.job_words import words_of
from benchlink.faces.left_open import sentence_of
from benchlink.faces.named_files import fitting_profile
from benchlink.faces.newest_copy import newest_copy
from benchlink.faces.screen.frame.safe_text import plain
from benchlink.faces.screen.threads.home_facts import (
    RESUME,
    UNDO,
    HomeFacts,
    JobStep,
    Volts,
)
from benchlink.faces.screen.threads.news import Checked, Opened
from benchlink.faces.screen.threads.rows import NO_COPY, Beside, rows_of
from benchlink.faces.screen.threads.values_facts import Standard, ValuesFacts
from benchlink.faces.wiring import now
from benchlink.workflows.compare import require_fit
from benchlink.workflows.read import read_settled
from benchlink.workflows.readings import highest
from benchlink.workflows.session import meet_again

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from benchlink.core.backup import Backup
    from benchlink.core.doors import Person
    from benchlink.core.job_standing import StepState
    from benchlink.core.settings import Snapshot
    from benchlink.faces.at_board import AtBoard
    from benchlink.faces.job_now import JobNow
    from benchlink.faces.screen.threads.entrance import Entrance, Place
    from benchlink.faces.wiring import Bench
    from benchlink.workflows.session import Session

NO_WISHES: Final = Intent(title="", source="", wanted={})
"""Asks for nothing, so that every setting is left alone."""

NO_WAYS: Final[frozenset[str]] = frozenset()


def open_place(entrance: "Entrance", place: "Place | None", person: "Person") -> Opened:
    """Open a port, or a simulated aircraft where `place` is None.

    Raises:
        BenchError: it could not be opened.
    """
    bench = entrance.rehearse(person) if place is None else entrance.open(place, person)
    try:
        return Opened(
            bench=bench,
            health=bench.session.board.health(),
            left=entrance.left_open(bench, person),
        )
    except BaseException:
        bench.close()
        raise


def values(at: "AtBoard", find: "Callable[[], Standard | None]") -> ValuesFacts:
    """Read all settings and hold them against what is found for it, read anew.

    Raises:
        BenchError: they could not be read so that they can be believed; what cannot be
            held against is only reported.
    """
    session = at.bench.session
    standard, trouble = _fitting(session, find)
    snapshot = read_settled(session, at.person)
    wishes = standard.intent if standard else NO_WISHES
    difference = compare(snapshot, wishes)
    copy = newest_copy(at)
    beside = _beside(copy.backup, snapshot) if copy else NO_COPY
    found = {finding.name for finding in difference.findings}
    return ValuesFacts(
        rows=rows_of(snapshot, difference, wishes, beside),
        session=session,
        health=session.board.health(),
        compared=standard is not None,
        title=wishes.title,
        source=wishes.source,
        profile=standard.profile if standard else "",
        tail=at.aircraft.tail if at.aircraft else "",
        trouble=trouble,
        copied=_when(copy.backup.taken_at) if copy else "",
        gone=sum(name not in found for name in beside.off),
        left=tuple(map(sentence_of, at.found)),
        unfinished=bool(at.found),
    )


def standard_of(at: "AtBoard", profile: str | None) -> Standard | None:
    """What is named, or the aircraft's own layers, or a shipped baseline that fits.

    Raises:
        FileError: it has mistakes.
    """
    if profile or at.aircraft:
        return Standard(intent=asked_of(at, read_named(profile)), profile=profile or "")
    intent = fitting_profile(None, at.bench)
    return Standard(intent=intent, profile=Path(intent.source).stem) if intent else None


def check(bench: "Bench", session: "Session") -> Checked:
    """Ask whether the same board still answers, and whether its outputs rest.

    Raises:
        BenchError: it does not, or another one does.
    """
    again = meet_again(session)
    return Checked(bench=bench, session=again, health=session.board.health())


def home(at: "AtBoard", profile: str | None = None) -> HomeFacts:
    """Read the board and all that is on paper: how the job stands.

    Raises:
        BenchError: it could not be read so that it can be believed.
    """
    job = job_now(at, profile)
    turn = whose_turn(job.states)
    session = at.bench.session
    changes = [one.unfinished for one in at.found]
    held = [c for c in changes if c.transaction.kind is Kind.BENCH]
    unkept = [c for c in changes if c.transaction.kind is Kind.CHANGE]
    recorded = at.bench.recorded is not None
    return HomeFacts(
        greeting=job.greeting,
        steps=tuple(_job_step(state, job) for state in job.states),
        turn=turn.step if turn else None,
        today=now().date(),
        identity=session.identity,
        readiness=session.readiness,
        port=session.board.port,
        speed=session.board.speed,
        health=session.board.health(),
        folder=at.aircraft.folder if at.aircraft else "",
        held=tuple(entry.name for c in held for entry in c.transaction.planned),
        unkept=tuple(f"{c.transaction.what}: {c.story.state.value}" for c in unkept),
        left=tuple(sentence_of(one, recorded=recorded) for one in at.found),
        ways=_ways(changed=bool(unkept), held=bool(held)) if not recorded else NO_WAYS,
    )


def volts(session: "Session") -> Volts:
    """What feeds the board now.

    Raises:
        LinkError: the port went away or the board fell silent for good.
    """
    asked = (Quantity.PACK_VOLTS, Quantity.RAIL_VOLTS)
    description = session.grammar.description
    tells = any({*asked} & {*told_by(asking)} for asking in description.readings)
    pack_v, rail_v = highest(session, *asked) if tells else (None, None)
    return Volts(pack_v=pack_v, rail_v=rail_v, tells=tells)


def _job_step(state: "StepState", job: "JobNow") -> JobStep:
    words = words_of(state, job)
    by_hand = words[0] == "job" and words != state.step.duty.words
    return JobStep(state=state, words=words, by_hand=by_hand)


def _ways(*, changed: bool, held: bool) -> frozenset[str]:
    """What can be done about what was left: a bench setting is only put back."""
    return frozenset({RESUME, UNDO}) if changed else frozenset({UNDO} if held else ())


def _fitting(
    session: "Session", find: "Callable[[], Standard | None]"
) -> tuple[Standard | None, BenchError | None]:
    try:
        standard = find()
        if standard is not None:
            require_fit(session, standard.intent)
    except (FileError, WrongBoardError) as exc:
        return None, exc
    return standard, None


def _beside(backup: "Backup", snapshot: "Snapshot") -> Beside:
    settings = backup.snapshot.settings
    return Beside(
        values={name: plain(str(setting.value)) for name, setting in settings.items()},
        off=frozenset(moved(backup.snapshot, snapshot)),
    )


def _when(taken_at: "datetime") -> str:
    """As short as it can be told: the year only of another one."""
    year = "" if taken_at.year == now().year else f" {taken_at.year}"
    return f"{taken_at.day} {taken_at:%b}{year} {taken_at:%H:%M}"
