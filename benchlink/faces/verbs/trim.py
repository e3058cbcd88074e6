"""`benchlink trim`: a degree or so on both tilts after a flight, proven and recorded."""

import sys
from dataclasses import dataclass, replace

from benchlink.console.roles import RoleBook
from benchlink.core.bench_record import BenchRecord, Said, Work
from benchlink.core.cautions import OWN_SIDES
from benchlink.core.intent import Intent
from benchlink.core.trim import Lean
from benchlink.core.trim_words import Seen, lean_of, seen_words
from benchlink.errors import FileError, SafetyRefusalError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.changing import carried_out, shown
from benchlink.faces.exit_codes import code_of_done
from benchlink.faces.hangar import own_layers
from benchlink.faces.who_works import operator_of
from benchlink.faces.wiring import now
from benchlink.units import PulseUs, pulse_us
from benchlink.version import VERSION
from benchlink.workflows.apply import Applied
from benchlink.workflows.finishing import require_finished
from benchlink.workflows.planning import prepare
from benchlink.workflows.read import read_settled
from benchlink.workflows.stick_trims import (
    REMINDER,
    StickTrims,
    channels,
    read_stick_trims,
    still_trimmed,
)
from benchlink.workflows.trim import Trimming, full_throw_deg, standing, trimming


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What is to be answered, as far as it is known before a board is open."""

    seen: tuple[Seen, ...]
    """Empty where the transmitter's trims tell it."""
    operator: str
    middle_us: PulseUs
    reason: str

    @property
    def why(self) -> str:
        """The reason on paper and in the plan."""
        seen = " and ".join(map(str, self.seen)) or "trims of the transmitter taken up"
        return f"{seen} ({self.reason})" if self.reason else seen


def run(given: Given) -> int:
    """Plan both sides from what was measured, write, prove, and write it down."""
    asked = _asked(given)
    if not sys.stdin.isatty() and not (asked.seen and given.plan_only):
        msg = "a trim moves the arms, and nobody can say here that hands are clear"
        raise SafetyRefusalError(msg, hint="Nothing was sent. Run it at a terminal.")
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """Trim at a board that is open."""
    asked = _asked(given)
    if not given.plan_only:
        require_finished(at.found)
    return _trim(at, asked, given)


def _trim(at: AtBoard, asked: _Asked, given: Given) -> int:
    session, records = at.bench.session, at.bench_records()
    if not given.plan_only:
        asked = replace(asked, operator=operator_of(at, given))
    book = RoleBook(session.grammar.description)
    snapshot = read_settled(session, at.person)
    sides = standing(book, snapshot, records, at.person)
    sticks = None
    if not asked.seen:
        full_deg = full_throw_deg(book, snapshot, records)
        sticks = read_stick_trims(session, at.person, full_deg, asked.middle_us)
    lean = sticks.lean if sticks else lean_of(asked.seen)
    planned = trimming(
        sides, lean, book, snapshot, title=f"trim: {asked.why}", reason=asked.why
    )
    _tell(at, planned, asked, lean)
    prepared = prepare(session, at.person, planned.intent)
    if given.plan_only:
        return shown(at, prepared)
    given.note = given.note or f"before a trim: {asked.why}"
    applied = carried_out(at, prepared, given)
    record = _record(at, planned, asked, applied, sticks)
    try:
        at.say(f"Record: {records.keep(record)}")
    except FileError as error:
        kept = f"The board has the new centres ({planned.result})"
        error.hint = f"{kept}; only the record is missing. {error.hint}"
        raise
    if sticks:
        _zero_the_sticks(at, sticks, asked)
    return code_of_done(proven=applied.proof.proven)


def _asked(given: Given) -> _Asked:
    """Everything that can be refused before a board is opened."""
    words = " ".join(given.words)
    if bool(words) == given.channel_trim:
        msg = "say what it does, or take up the transmitter's trims: one of the two"
        raise UsageError(
            msg,
            hint="Nothing was sent. `benchlink trim drifts forward 0.5`, or `benchlink"
            " trim --channel-trim`.",
        )
    seen = seen_words(words) if words else ()
    try:
        middle_us = pulse_us(given.middle_us)
    except ValueError as exc:
        msg = f"the middle of a channel: {exc}"
        raise UsageError(msg, hint="Nothing was sent.") from exc
    return _Asked(
        seen=seen,
        operator=given.operator.strip(),
        middle_us=middle_us,
        reason=given.reason.strip(),
    )


def _tell(at: AtBoard, planned: Trimming, asked: _Asked, lean: Lean) -> None:
    tell = at.person.tell
    for seen in asked.seen:
        if not seen.told:
            tell(
                f"Nobody said how much for {seen.wandering.value}: {seen.size_deg:g} deg."
            )
    for sentence in planned.sentences:
        tell(f"  {sentence}")
    if lean.opposed_deg:
        tell(OWN_SIDES)
    for sentence in _against_own_layers(at, planned.intent):
        tell(sentence)


def _against_own_layers(at: AtBoard, intent: Intent) -> list[str]:
    """What an `apply` of the aircraft's own layers would take back."""
    if at.aircraft is None:
        return []
    own = own_layers(at.aircraft).wanted
    names = [name for name in intent.wanted if name in own]
    return [
        f"{own[name].place}: asks for the value before this trim; write the new one"
        f" there, or the next `apply` takes it back: {name}"
        for name in names
    ]


def _record(
    at: AtBoard,
    planned: Trimming,
    asked: _Asked,
    applied: Applied,
    sticks: StickTrims | None,
) -> BenchRecord:
    said: tuple[Said, ...] = sticks.said if sticks else ()
    return BenchRecord(
        work=Work.TRIM,
        made_at=now(),
        operator=asked.operator,
        aircraft=at.aircraft.tail if at.aircraft else "",
        board=at.bench.session.identity,
        settings=applied.after.fingerprint(),
        tool_version=VERSION,
        result=planned.result,
        reason=asked.why,
        sides=planned.works,
        said=said,
        remarks=(f"written, read back, {applied.proof.value}", *applied.remarks),
    )


def _zero_the_sticks(at: AtBoard, sticks: StickTrims, asked: _Asked) -> None:
    """The reminder, and one look whether it was heeded."""
    at.person.tell(REMINDER)
    at.person.types("Enter when they are at zero and all sticks let go: ")
    try:
        left = still_trimmed(sticks, channels(at.bench.session), asked.middle_us)
    except UsageError as error:
        left = [f"Not checked: {error}."]
    for sentence in left or ["Both channels stand in their middle now."]:
        at.person.tell(sentence)
