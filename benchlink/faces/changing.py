"""What `apply`, `change` and `restore` share: one intent, one transaction, one summary."""

from benchlink.core.difference import State
from benchlink.core.intent import Intent
from benchlink.core.refusal import NotTakenError
from benchlink.core.tally import tally
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard
from benchlink.faces.exit_codes import ExitCode, code_of_done
from benchlink.faces.tally_lines import tally_lines
from benchlink.faces.wiring import journals
from benchlink.faces.wording import counts_line, state_lines
from benchlink.units import Seconds
from benchlink.workflows.apply import Applied, Shelves, apply
from benchlink.workflows.carrying import Course
from benchlink.workflows.finishing import require_finished
from benchlink.workflows.planning import Prepared, prepare


def carry_out(at: AtBoard, intent: Intent, given: Given) -> int:
    """Bring the board to the intent, or only show how."""
    return carry_out_prepared(at, prepare(at.bench.session, at.person, intent), given)


def carry_out_prepared(at: AtBoard, prepared: Prepared, given: Given) -> int:
    """Carry out a plan, or only show it."""
    if given.plan_only:
        return shown(at, prepared)
    return code_of_done(proven=carried_out(at, prepared, given).proof.proven)


def shown(at: AtBoard, prepared: Prepared) -> int:
    """Only show the plan; the exit code tells whether there is anything to do."""
    at.person.show_plan(prepared.plan)
    return ExitCode.DIFFERS if prepared.plan.changes else ExitCode.SAME


def carried_out(at: AtBoard, prepared: Prepared, given: Given) -> Applied:
    """Carry a plan out, print what was done, and give the proof."""
    require_finished(at.found)
    course = Course(
        try_for=Seconds(60.0 * given.try_minutes), wait_for=Seconds(given.wait_s)
    )
    shelves = Shelves(
        records=at.records(given.out), journals=journals(at.person, at.bench)
    )
    label = at.stamp(given.note)
    try:
        applied = apply(
            prepared, at.person, shelves, label, agreed=given.yes, course=course
        )
    except NotTakenError as error:
        at.person.done()
        at.say(*_refusals(error, at.person.columns))
        raise
    at.person.done()
    at.say(*summary(applied))
    return applied


def _refusals(error: NotTakenError, width: int) -> list[str]:
    """What the board refused, and how everything stands; nothing where it refused none."""
    if not error.difference.of(State.REFUSED):
        return []
    refused = error.difference.only(states=[State.REFUSED])
    return [
        *state_lines(refused, width),
        *tally_lines(tally(error.difference), width),
        counts_line(error.difference),
    ]


def summary(applied: Applied) -> list[str]:
    """What was done and what proves it."""
    if applied.kept is None:
        return []
    count = len(applied.plan.changes)
    return [
        (
            f"Done: {count} {'value' if count == 1 else 'values'} written, read back,"
            f" {applied.proof.value}; nothing else moved{_of_what(applied)}."
        ),
        *_lost(applied),
        *(f"The board noted {remark}" for remark in applied.remarks),
        f"Before: {applied.kept.path}",
        f"Now:    settings {applied.after.fingerprint()[:12]}",
    ]


def _lost(applied: Applied) -> list[str]:
    """What was written, and taken back by the restart."""
    count = len(applied.lost)
    if not count:
        return []
    are, them = ("is", "it") if count == 1 else ("are", "them")
    names = ", ".join(applied.lost)
    lost = f"{count} of these values {are} lost again: this board never keeps {names}."
    return [f"{lost} Write {them} after each restart."]


def _of_what(applied: Applied) -> str:
    """What was not compared, because nobody could read it."""
    count = len(applied.after.not_understood)
    return f" (but {count} lines were not understood)" if count else ""
