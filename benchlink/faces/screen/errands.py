"""What the work thread is sent for; each gives one piece of news."""

from typing import TYPE_CHECKING, Final

from benchlink.console.readings import told_by
from benchlink.core.difference import compare
from benchlink.core.intent import Intent
from benchlink.core.job_standing import whose_turn
from benchlink.core.journal import Kind
from benchlink.core.readings import Quantity
from benchlink.errors import BenchError
from benchlink.faces.job_now import job_now
from benchlink.faces.job_words import words_of
from benchlink.faces.left_open import sentence_of
from benchlink.faces.screen.home_facts import RESUME, UNDO, HomeFacts, JobStep, Volts
from benchlink.faces.screen.news import Checked, Opened, Read
from benchlink.faces.screen.rows import rows_of
from benchlink.faces.wiring import now
from benchlink.workflows.compare import require_fit
from benchlink.workflows.read import read_settled
from benchlink.workflows.readings import highest
from benchlink.workflows.session import meet_again

if TYPE_CHECKING:
    from benchlink.core.doors import Person
    from benchlink.core.job_standing import StepState
    from benchlink.faces.at_board import AtBoard
    from benchlink.faces.job_now import JobNow
    from benchlink.faces.screen.entrance import Entrance, Place
    from benchlink.faces.wiring import Bench
    from benchlink.workflows.session import Session

NO_WISHES: Final = Intent(title="", source="", wanted={})
"""Asks for nothing, so that every setting is left alone."""

NO_WAYS: Final[frozenset[str]] = frozenset()


def open_place(entrance: "Entrance", place: "Place | None", person: "Person") -> Opened:
    """Open a port, or a simulated aircraft where `place` is None.

    Raises:
        BenchError: it could not be opened; an unusable profile is only reported.
    """
    bench = entrance.rehearse(person) if place is None else entrance.open(place, person)
    try:
        intent, trouble = _fitting(entrance, bench)
        return Opened(
            bench=bench,
            intent=intent,
            trouble=trouble,
            health=bench.session.board.health(),
            left=entrance.left_open(bench, person),
        )
    except BaseException:
        bench.close()
        raise


def read(
    bench: "Bench", session: "Session", intent: Intent | None, person: "Person"
) -> Read:
    """Read all settings and hold them against the intent.

    Raises:
        BenchError: they could not be read so that they can be believed.
    """
    epoch = session.board.epoch
    snapshot = read_settled(session, person)
    wishes = intent or NO_WISHES
    return Read(
        bench=bench,
        rows=rows_of(snapshot, compare(snapshot, wishes), wishes),
        health=session.board.health(),
        epoch=epoch,
    )


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
    entrance: "Entrance", bench: "Bench"
) -> tuple[Intent | None, BenchError | None]:
    try:
        intent = entrance.intent(bench)
        if intent is not None:
            require_fit(bench.session, intent)
    except BenchError as exc:
        return None, exc
    return intent, None
