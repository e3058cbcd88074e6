"""`benchlink throw`: end points for a wanted angle each way, on the jig."""

from benchlink.core.angles import DATUM
from benchlink.core.bench_record import Work
from benchlink.core.roles import OwnSide
from benchlink.errors import FileError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import code_of_done
from benchlink.faces.going_on import go_on_from
from benchlink.faces.throw_asking import asked_angles, asked_stops, held_words
from benchlink.faces.tilt_work import kept_change, require_terminal, tilt_work
from benchlink.faces.wiring import journals
from benchlink.workflows.planning import prepare
from benchlink.workflows.throw import (
    ThrownSide,
    compare_sides,
    ends_intent,
    throw_side,
    wanted_throw,
)
from benchlink.workflows.tilt_bench import require_side
from benchlink.workflows.trim import standing_side

LARGEST_DEG = 90.0


def run(given: Given) -> int:
    """Find the ends, keep them in one transaction, compare the sides, record."""
    _require_asked(given)
    require_terminal("a throw")
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """Find them at a board that is open."""
    sides = _require_asked(given)
    with tilt_work(at, given, Work.THROW) as work:
        bench = work.bench
        by_stick = given.by_stick or not bench.drives
        at.person.tell(f"The datum: {DATUM}.")
        held = held_words(sides, bench.book, bench.snapshot)
        asked = asked_angles(given, held, at.person)
        stops = asked_stops(given, at.person)
        stand = {
            side: standing_side(
                side, bench.book, bench.snapshot, work.noted.records, at.person
            )
            for side in sides
        }
        known = {side: go_on_from(work.noted, side) for side in sides}
        done: list[ThrownSide] = []
        label = at.stamp(given.note)
        with bench.ready(
            sides, journals(at.person, at.bench), label, by_stick=by_stick
        ):
            for side in sides:
                wanted = wanted_throw(bench.book, bench.snapshot, side, asked, stops)
                done.append(
                    throw_side(
                        bench, stand[side], wanted, known[side], by_stick=by_stick
                    )
                )
        findings = compare_sides(done, at.person)
        prepared = prepare(bench.mover.session, at.person, ends_intent(bench, done))
        given.note = given.note or f"before {'; '.join(s.sentence for s in done)}"
        applied = kept_change(work, prepared, given)
        record = work.record(
            applied,
            tuple(side.work for side in done),
            "; ".join(side.sentence for side in done),
            findings,
        )
        try:
            at.say(f"Record: {work.noted.keep(record)}")
        except FileError as error:
            error.hint = f"The ends are kept; only the record is not. {error.hint}"
            raise
    return code_of_done(proven=applied.proof.proven)


def _require_asked(given: Given) -> tuple[OwnSide, ...]:
    """The sides that are meant.

    Raises:
        UsageError: another word stands there, or an angle that none can be.
    """
    sides = require_side(given.side)
    ends = (given.forward_deg, given.aft_deg)
    angles = (*ends, given.stop_forward_deg, given.stop_aft_deg)
    if not all(0.0 <= angle <= LARGEST_DEG for angle in angles):
        msg = f"an angle is a size from 0 to {LARGEST_DEG:g} deg, whichever way"
        raise UsageError(msg, hint="Nothing was sent.")
    return sides
