"""`benchlink spin`: one motor at a time, props off; what turned, and which way."""

import sys
from argparse import ArgumentTypeError

from benchlink.console.roles import RoleBook
from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.doors import Person
from benchlink.core.gate import CAP, CEILING
from benchlink.core.job_steps import Step
from benchlink.core.roles import OwnSide, Role
from benchlink.core.spin_answers import Hand, SpinCheck
from benchlink.core.spin_expiry import UnprovenError
from benchlink.core.spin_findings import Finding, complete, findings, verdict
from benchlink.errors import FileError, SafetyRefusalError, UsageError
from benchlink.faces.argument_motion import spin_percent
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.noting import Noting, noting
from benchlink.faces.open_needs import agree_to_open_needs
from benchlink.faces.output import give
from benchlink.faces.spin_words import (
    check_data,
    check_lines,
    overrides_of,
    remarks_of,
    said_of,
)
from benchlink.faces.who_works import who_works
from benchlink.faces.wiring import clock, now
from benchlink.faces.wording import error_lines
from benchlink.units import percent, power
from benchlink.version import VERSION
from benchlink.workflows.finishing import require_finished
from benchlink.workflows.job import rests_on
from benchlink.workflows.mover import Mover
from benchlink.workflows.read import read_settled
from benchlink.workflows.spin import Asked, radio_check, spin_check
from benchlink.workflows.spin_bench import SpinBench

PERCENT = 100
USUAL_PERCENT = CEILING * PERCENT
DIRECTIONS = {
    OwnSide.LEFT: Role.LEFT_MOTOR_DIRECTION,
    OwnSide.RIGHT: Role.RIGHT_MOTOR_DIRECTION,
}


def run(given: Given) -> int:
    """Spin, ask, conclude; exit 1 where something is to be put right."""
    _require_terminal()
    if given.ceiling_percent is None:
        given.ceiling_percent = USUAL_PERCENT
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    require_finished(at.found)
    records = at.bench_records()
    before = read_settled(at.bench.session, at.person)
    agree_to_open_needs(at, Step.SPIN, before)
    who = who_works(at, given)
    mover = Mover(at.bench.session, at.person, clock, who)
    bench = SpinBench(mover=mover, person=at.person, pause=at.person.pause)
    noted = Noting(
        at=at,
        work=Work.SPIN,
        who=who,
        before=before,
        records=records,
        notes=bench.notes,
    )
    with noting(noted):
        try:
            check = _checked(bench, at, given)
        finally:
            at.bench.props.rest(mover)
        found = findings(check, _directions(at))
        give(given, check_data(check, found), check_lines(check, found), at.person)
        if check.answers:
            _keep(noted, check, found)
    if found:
        return ExitCode.DIFFERS
    whole = complete(check) or (given.side != "both" and bool(check.answers))
    return ExitCode.SAME if whole else ExitCode.TROUBLE


def _require_terminal() -> None:
    if not sys.stdin.isatty():
        msg = "props off is confirmed by typing, and nobody can type here"
        raise SafetyRefusalError(
            msg,
            hint="Nothing was sent. No flag, file, variable or pipe can say it: run it at"
            " a terminal.",
        )


def _checked(bench: SpinBench, at: AtBoard, given: Given) -> SpinCheck:
    """By the tool; by radio where that was asked for, or where the tool must not."""
    asked = Asked(
        sides=tuple(OwnSide) if given.side == "both" else (OwnSide(given.side),),
        ceiling=power(ceiling_percent(at.person, given) / PERCENT),
        hand=Hand(given.hand) if given.hand else None,
    )
    if given.by_radio:
        return radio_check(bench, asked)
    try:
        return spin_check(bench, asked)
    except UnprovenError as unproven:
        for line in error_lines(unproven):
            at.person.tell(line)
        if not at.person.agrees("Spin by radio now?"):
            raise
    return radio_check(bench, asked)


def ceiling_percent(person: Person, given: Given) -> float:
    """As it was given, or typed here; one above the usual has to be agreed to as well.

    Raises:
        UsageError: it was not understood.
    """
    if given.ceiling_percent is not None or given.by_radio:
        return given.ceiling_percent or USUAL_PERCENT
    typed = person.types(
        f"No run goes beyond {percent(CEILING)} of power: Enter, or another ceiling in"
        f" percent, up to {percent(CAP)}: "
    ).strip(" %")
    if not typed:
        return USUAL_PERCENT
    try:
        return spin_percent(typed)
    except ArgumentTypeError as wrong:
        hint = "Nothing was spun. Begin the spin again."
        raise UsageError(str(wrong), hint=hint) from wrong


def _directions(at: AtBoard) -> dict[OwnSide, str]:
    """The settings that turn a motor round, where the description tells them."""
    book = RoleBook(at.bench.session.grammar.description)
    found = {side: book.setting(role) for side, role in DIRECTIONS.items()}
    return {side: name for side, name in found.items() if name}


def _keep(noted: Noting, check: SpinCheck, found: tuple[Finding, ...]) -> None:
    at, before = noted.at, noted.before
    description = at.bench.session.grammar.description
    record = BenchRecord(
        work=Work.SPIN,
        made_at=now(),
        operator=check.operator,
        aircraft=check.aircraft,
        board=at.bench.session.identity,
        settings=before.fingerprint(),
        tool_version=VERSION,
        result=verdict(check, found),
        right=complete(check) and not found,
        said=said_of(check.answers),
        remarks=remarks_of(check, found),
        overrides=overrides_of(check),
        held=rests_on(Step.SPIN, description, before),
    )
    try:
        kept = noted.keep(record)
    except FileError as error:
        error.hint = (
            f"What was seen is shown above; only its record is not. {error.hint}"
        )
        raise
    at.person.tell(f"Record: {kept}")
