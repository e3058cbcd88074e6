"""`benchlink centre`: tilt servos to their datum on the jig, kept, proven, recorded."""

from dataclasses import replace

from benchlink.core.angles import DATUM, angle_words
from benchlink.core.bench_record import Work
from benchlink.core.centring_state import Wanted
from benchlink.errors import FileError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import code_of_done
from benchlink.faces.going_on import go_on_from
from benchlink.faces.tilt_work import TiltWork, kept_change, require_terminal, tilt_work
from benchlink.faces.wiring import journals
from benchlink.workflows.apply import Applied
from benchlink.workflows.centre import (
    CentredSide,
    Proof,
    centre_side,
    centres_intent,
    prove_side,
    require_proven,
    unproven,
)
from benchlink.workflows.planning import prepare
from benchlink.workflows.session import meet_again
from benchlink.workflows.tilt_bench import require_side


def run(given: Given) -> int:
    """Centre one side or both; one plan, one proof, one record."""
    require_side(given.side)
    require_terminal("centring")
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """Centre at a board that is open."""
    sides = require_side(given.side)
    with tilt_work(at, given, Work.CENTRE) as work:
        # Before anything is asked: without power nothing of it can be done.
        work.bench.require_powered()
        makes = {side: work.servo(given.servo, side) for side in sides}
        known = {side: go_on_from(work.noted, side, makes[side].part) for side in sides}
        wanted = Wanted(throw_deg=given.room_deg or None)
        at.person.tell(f"The datum: {DATUM}.")
        label = at.stamp(given.note)
        done: list[CentredSide] = []
        with work.bench.ready(sides, journals(at.person, at.bench), label):
            for side in sides:
                done.append(  # noqa: PERF401 - each takes minutes
                    centre_side(work.bench, side, makes[side].part, wanted, known[side])
                )
        applied = _kept(work, done, given)
        proofs = _proven(work, done, wanted)
        record = work.record(
            applied,
            tuple(side.work for side in done),
            "; ".join(side.sentence for side in done),
            tuple(map(_words, proofs)),
        )
        record = replace(record, right=not unproven(proofs))
        try:
            at.say(f"Record: {work.noted.keep(record)}")
        except FileError as error:
            error.hint = f"The centres are kept; only the record is not. {error.hint}"
            raise
        require_proven(proofs)
    return code_of_done(proven=applied.proof.proven)


def _kept(work: TiltWork, done: list[CentredSide], given: Given) -> Applied:
    """Both sides in one transaction."""
    intent = centres_intent(work.bench, done)
    given.note = given.note or f"before {'; '.join(s.sentence for s in done)}"
    session = work.bench.mover.session
    prepared = prepare(session, work.at.person, intent)
    return kept_change(work, prepared, given)


def _proven(work: TiltWork, done: list[CentredSide], wanted: Wanted) -> list[Proof]:
    bench = work.bench
    bench.mover.session = meet_again(replace(bench.mover.session))
    proofs: list[Proof] = []
    for side in done:
        proofs.append(prove_side(bench, side, wanted.tolerance_deg))
        bench.notes.remarks.append(_words(proofs[-1]))
    return proofs


def _words(proof: Proof) -> str:
    """A proof, for the record."""
    if proof.angle_deg is None:
        return f"{proof.side.value}: not seen under the board's own command"
    how = "as measured" if proof.right else "NOT as measured"
    return (
        f"{proof.side.value}: under the board's own command {how}"
        f" ({angle_words(proof.angle_deg)})"
    )
