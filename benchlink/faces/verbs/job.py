"""`benchlink job`: where the job stands; and writing down what hands and eyes did."""

from dataclasses import replace
from pathlib import Path
from typing import Final

from benchlink.core.bench_record import BenchRecord, Override, Work
from benchlink.core.doors import Person
from benchlink.core.job_steps import Happening, Step, undone
from benchlink.core.slips import NO, SLIPS
from benchlink.errors import DeclinedError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.job_now import COPY, JobNow, job_now
from benchlink.faces.job_words import (
    how_line,
    job_data,
    job_lines,
    needs_line,
    words_of,
)
from benchlink.faces.output import give
from benchlink.faces.reading_words import look_lines
from benchlink.faces.who_works import operator_of
from benchlink.faces.wiring import now
from benchlink.version import VERSION
from benchlink.workflows.backup import keep
from benchlink.workflows.finishing import require_finished
from benchlink.workflows.job import rests_on
from benchlink.workflows.readings import look

NO_NOTE: Final = "done; nothing noted"
BY_READINGS: Final = frozenset({Step.MOUNTING, Step.LEVEL})
"""Steps at which hands lay the aircraft this way and that, and the board tells how."""
NOT_YET: Final = frozenset({Step.SIGN, Step.OUTDOORS})
"""Steps that may be open when an aircraft is signed."""


def run(given: Given) -> int:
    """Show the steps, or write one down; exit 1 while a step is open."""
    _require_known(given)
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    _require_known(given)
    if given.doing == "done":
        return _done(at, Step(given.what), given)
    if given.doing == "changed":
        return _changed(at, given)
    job = job_now(at, given.profile)
    lines = job_lines(job, at.person.columns, now().date())
    give(given, job_data(job), lines, at.person)
    return ExitCode.DIFFERS if any(s.left for s in job.states) else ExitCode.SAME


def _require_known(given: Given) -> None:
    """Refuse a word that names nothing, before a port is opened.

    Raises:
        UsageError: there is no such step, or nothing of that kind can happen.
    """
    words = [s.value for s in (Step if given.doing == "done" else Happening)]
    if given.doing is None or given.what in words:
        return
    if given.doing == "changed" and not given.what:
        return
    named = f"{given.what!r} names none" if given.what else "nobody said which one"
    what = "step of the job" if given.doing == "done" else "change of an aircraft"
    msg = f"which {what}: {named}"
    raise UsageError(msg, hint=f"Nothing was written. One of: {', '.join(words)}.")


def _done(at: AtBoard, step: Step, given: Given) -> int:
    _require_board(at)
    records = at.bench_records()
    job = job_now(at, given.profile)
    if step is Step.SIGN:
        record = _signed(at, job, given)
    else:
        record = _by_hand(at, step, job, given)
    at.say(f"Record: {records.keep(record)}")
    return ExitCode.SAME


def _by_hand(at: AtBoard, step: Step, job: JobNow, given: Given) -> BenchRecord:
    """A step by the person's word.

    Raises:
        UsageError: a station does this step and proves it.
        DeclinedError: nobody said that it is done.
    """
    state, duty, person = job.state(step), step.duty, at.person
    if not duty.by_hand and step not in job.board.cannot:
        msg = f"{duty.title}: nobody's word proves that"
        how = how_line(words_of(state, job))
        raise UsageError(msg, hint=f"Nothing was written. {how} does it, with proof.")
    person.tell(f"{duty.title}. {duty.what}")
    if state.lacks:
        person.tell(f"{needs_line(state)}.")
    if step in BY_READINGS and not given.note:
        _show_readings(at)
    if not given.note and not person.agrees("Is all of that done, and right?"):
        msg = f"nobody said that this is done: {duty.title}"
        raise DeclinedError(msg, hint="Nothing was written.")
    # The name first: nobody writes a note that a missing name throws away.
    who = operator_of(at, given)
    note = given.note or person.types("What was read or seen (Enter: nothing)? ")
    return _record(at, step, job, who, note.strip() or NO_NOTE)


def _show_readings(at: AtBoard) -> None:
    """What the board tells of how it lies, as often as somebody wants to look.

    Raises:
        LinkError: it does not answer any more.
    """
    if not at.bench.session.grammar.description.readings:
        return
    while True:
        for line in look_lines(look(at.bench.session)):
            at.person.tell(line)
        if not at.person.agrees("Look at the readings again, in another pose?"):
            return


def _signed(at: AtBoard, job: JobNow, given: Given) -> BenchRecord:
    """A copy of what will fly, and a name under it.

    Raises:
        SafetyRefusalError: something is unfinished on this board.
        DeclinedError: steps are open, and nobody said why it is signed all the same.
    """
    require_finished(at.found)
    left = [s for s in job.states if s.left and s.step not in NOT_YET]
    reason = given.note.strip()
    if left:
        at.person.tell(
            "Still open: " + "; ".join(s.step.duty.title for s in left) + "."
        )
        reason = (
            reason
            or at.person.types(
                "Why is it signed all the same (Enter: it is not)? "
            ).strip()
        )
        if reason.casefold() in {"", "n", "no"}:
            msg = f"{len(left)} steps are open, and nobody said why that may be"
            raise DeclinedError(msg, hint="Nothing was written, nothing is signed.")
    record = _record(at, Step.SIGN, job, operator_of(at, given), "signed")
    label = at.stamp("; ".join(filter(None, (f"signed by {record.operator}", reason))))
    copy = keep(at.bench.session, job.snapshot, at.records(None), label)
    at.say(f"backup    {copy.path}")
    overrides = tuple(
        Override(what=f"open: {s.step.duty.title}", reason=reason) for s in left
    )
    return replace(
        record, remarks=(f"{COPY}{Path(copy.path).name}",), overrides=overrides
    )


def _changed(at: AtBoard, given: Given) -> int:
    """Something on the aircraft is not as it was: steps that rest on it count no more."""
    _require_board(at)
    records = at.bench_records()
    happened = _happened(at, given)
    job = job_now(at, given.profile)
    who = operator_of(at, given)
    note = given.note or at.person.types("Which one, and why (Enter: nothing)? ")
    result = ": ".join(filter(None, (happened.happened, note.strip())))
    record = _record(at, happened, job, who, result)
    at.say(f"Record: {records.keep(record)}")
    again = "; ".join(step.duty.title for step in undone(happened))
    at.say(f"To do again where they were done: {again}.")
    return ExitCode.SAME


def _happened(at: AtBoard, given: Given) -> Happening:
    """What happened, as it was named or is typed now.

    Raises:
        UsageError: it is none of those that count.
    """
    if not given.what:
        for one in Happening:
            at.person.tell(f"  {one.value:<8} {one.happened}")
        given.what = _typed_happening(at.person)
        if not given.what:
            msg = "nobody said what was changed"
            raise DeclinedError(msg, hint="Nothing was written.")
        _require_known(given)
    return Happening(given.what)


def _typed_happening(person: Person) -> str:
    """The word for it; a slip is told and asked about again."""
    words = [one.value for one in Happening]
    typed = person.types("What was changed? ").strip().lower()
    for _ in range(SLIPS):
        if typed in {"", *words, *NO}:
            break
        ask = f"Not one of: {', '.join(words)}. What was changed (Enter: nothing)? "
        typed = person.types(ask).strip().lower()
    return "" if typed in NO else typed


def _require_board(at: AtBoard) -> None:
    """Refuse a recording: whatever is done to it is done to no aircraft.

    Raises:
        UsageError: always, unless a board is there.
    """
    if at.bench.recorded:
        msg = "a recording plays the board: nothing is done on it"
        raise UsageError(
            msg, hint="Nothing was written. Plug in the board, and run it there."
        )


def _record(
    at: AtBoard, about: Step | Happening, job: JobNow, who: str, result: str
) -> BenchRecord:
    """What was said, as it is written down, with what it rests on."""
    session = at.bench.session
    held = (
        rests_on(about, session.grammar.description, job.snapshot)
        if isinstance(about, Step)
        else ()
    )
    return BenchRecord(
        work=Work.STEP if isinstance(about, Step) else Work.CHANGED,
        about=about.value,
        made_at=now(),
        operator=who,
        aircraft=at.aircraft.tail if at.aircraft else "",
        board=session.identity,
        settings=job.board.settings,
        tool_version=VERSION,
        result=result,
        held=held,
    )
