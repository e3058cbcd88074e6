"""What `centre`, `throw` and the wiggle test share: a person, a mover, a bench."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchlink.core.bench_record import BenchRecord, SideWork, Work
from benchlink.core.job_steps import Step
from benchlink.errors import SafetyRefusalError
from benchlink.faces.at_board import AtBoard
from benchlink.faces.changing import carried_out
from benchlink.faces.noting import CHANGING, Noting, noting
from benchlink.faces.open_needs import tell_open_needs
from benchlink.faces.who_works import who_works
from benchlink.faces.wiring import clock, now
from benchlink.store.parts import load_parts
from benchlink.version import VERSION
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.finishing import require_finished
from benchlink.workflows.job import rests_on
from benchlink.workflows.mover import Mover
from benchlink.workflows.planning import Prepared
from benchlink.workflows.read import read_settled
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.which_servo import which_servo

if TYPE_CHECKING:
    from benchlink.core.parts import ServoMake
    from benchlink.core.roles import OwnSide
    from benchlink.faces.arguments import Given
    from benchlink.workflows.apply import Applied


@dataclass(frozen=True, slots=True, kw_only=True)
class TiltWork:
    """One verb that moves arms."""

    at: AtBoard
    who: Who
    bench: TiltBench
    noted: Noting

    def servo(self, named: str, side: "OwnSide") -> "ServoMake":
        """Which servo a side has: as named, or asked."""
        beside = (Path(self.at.aircraft.folder) / "parts",) if self.at.aircraft else ()
        parts, before = load_parts(beside), self.at.last_answers.servos
        what = f"the {side.value} tilt"
        make = which_servo(parts, self.at.person, named, what, before.get(side, ""))
        if not named:
            before[side] = make.name
        return make

    def record(
        self,
        applied: "Applied",
        sides: tuple[SideWork, ...],
        result: str,
        remarks: tuple[str, ...] = (),
    ) -> BenchRecord:
        """What was done, as it is written down."""
        description = self.at.bench.session.grammar.description
        return BenchRecord(
            work=self.noted.work,
            made_at=now(),
            operator=self.who.operator,
            aircraft=self.who.aircraft,
            board=self.at.bench.session.identity,
            settings=applied.after.fingerprint(),
            tool_version=VERSION,
            result=result,
            sides=sides,
            remarks=(f"written, read back, {applied.proof.value}", *remarks),
            held=rests_on(Step(self.noted.work.value), description, applied.after),
        )


def kept_change(work: TiltWork, prepared: Prepared, given: "Given") -> "Applied":
    """What was found, kept on the board; the notes tell how far that came."""
    work.noted.notes.remarks.append(CHANGING)
    with work.noted.interrupts.let_through():
        applied = carried_out(work.at, prepared, given)
    work.noted.notes.remarks.append(f"the board holds it: {applied.proof.value}")
    return applied


def require_terminal(what: str) -> None:
    """Refuse a pipe before a port is opened: nothing in it sees what moves.

    Raises:
        SafetyRefusalError: nobody sits at a terminal.
    """
    if not sys.stdin.isatty():
        msg = f"{what} moves the arms, and nobody here can say that it is safe"
        raise SafetyRefusalError(msg, hint="Nothing was sent. Run it at a terminal.")


@contextmanager
def tilt_work(at: AtBoard, given: "Given", kind: Work) -> Iterator[TiltWork]:
    """Read the board, ask who works, and have a mover that leaves nothing driven.

    What was read is written down when it ends without a record of its own.
    """
    require_finished(at.found)
    records = at.bench_records()
    who = who_works(at, given)
    mover = Mover(at.bench.session, at.person, clock, who)
    epoch = at.bench.session.board.epoch
    snapshot = read_settled(at.bench.session, at.person)
    step = next(step for step in Step if step.duty.work is kind)
    tell_open_needs(at, step, snapshot)
    bench = TiltBench(
        mover=mover,
        person=at.person,
        pause=at.person.pause,
        snapshot=snapshot,
        epoch=epoch,
    )
    noted = Noting(
        at=at,
        work=kind,
        who=who,
        before=snapshot,
        records=records,
        notes=bench.notes,
    )
    # Around all of it: what moves is stopped before anything is written down.
    with noting(noted):
        try:
            at.bench.props.hand_to(mover)
            yield TiltWork(at=at, who=who, bench=bench, noted=noted)
        finally:
            noted.interrupts.end()
            # On a screen an interrupt is heeded where something is said: after the stop.
            with suppress(KeyboardInterrupt):
                mover.close()
            at.bench.props.rest(mover)
