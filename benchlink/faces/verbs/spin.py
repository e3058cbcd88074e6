"""`benchlink spin`: one motor at a time, props off; what turned, and which way."""

import sys

from benchlink.console.roles import RoleBook
from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.job_steps import Step
from benchlink.core.roles import OwnSide, Role
from benchlink.core.settings import Snapshot
from benchlink.core.spin_answers import Hand, SpinCheck
from benchlink.core.spin_expiry import UnprovenError
from benchlink.core.spin_findings import Finding, complete, findings, verdict
from benchlink.errors import FileError, SafetyRefusalError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
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
from benchlink.units import power
from benchlink.version import VERSION
from benchlink.workflows.finishing import require_finished
from benchlink.workflows.job import rests_on
from benchlink.workflows.mover import Mover
from benchlink.workflows.read import read_settled
from benchlink.workflows.spin import Asked, radio_check, spin_check
from benchlink.workflows.spin_bench import SpinBench

PERCENT = 100
DIRECTIONS = {
    OwnSide.LEFT: Role.LEFT_MOTOR_DIRECTION,
    OwnSide.RIGHT: Role.RIGHT_MOTOR_DIRECTION,
}


def run(given: Given) -> int:
    """Spin, ask, conclude; exit 1 where something is to be put right."""
    _require_terminal()
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    require_finished(at.found)
    before = read_settled(at.bench.session, at.person)
    mover = Mover(at.bench.session, at.person, clock, who_works(at, given))
    bench = SpinBench(mover=mover, person=at.person, pause=at.person.pause)
    check = _checked(bench, at, given)
    found = findings(check, _directions(at))
    give(given, check_data(check, found), check_lines(check, found), at.person)
    if check.answers:
        _keep(at, check, found, before)
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
        ceiling=power(given.ceiling_percent / PERCENT),
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


def _directions(at: AtBoard) -> dict[OwnSide, str]:
    """The settings that turn a motor round, where the description tells them."""
    book = RoleBook(at.bench.session.grammar.description)
    found = {side: book.setting(role) for side, role in DIRECTIONS.items()}
    return {side: name for side, name in found.items() if name}


def _keep(
    at: AtBoard, check: SpinCheck, found: tuple[Finding, ...], before: Snapshot
) -> None:
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
        said=said_of(check),
        remarks=remarks_of(check, found),
        overrides=overrides_of(check),
        held=rests_on(Step.SPIN, description, before),
    )
    try:
        kept = at.bench_records().keep(record)
    except FileError as error:
        error.hint = (
            f"What was seen is shown above; only its record is not. {error.hint}"
        )
        raise
    at.person.tell(f"Record: {kept}")
