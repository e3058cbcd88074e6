"""What `apply`, `change` and `restore` share: one intent, one transaction, one summary."""

from benchlink.core.intent import Intent
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.wiring import records, stamp
from benchlink.faces.wording import plain
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.planning import prepare


def carry_out(at: AtBoard, intent: Intent, given: Given) -> int:
    """Bring the board to the intent, or only show how."""
    prepared = prepare(at.bench.session, at.person, intent)
    if given.plan_only:
        at.person.show_plan(prepared.plan)
        return ExitCode.DIFFERS if prepared.plan.changes else ExitCode.SAME
    applied = apply(
        prepared,
        at.person,
        records(given.out),
        stamp(at.bench, given.note),
        agreed=given.yes,
    )
    at.person.done()
    for line in summary(applied):
        print(plain(line), flush=True)
    return ExitCode.SAME


def summary(applied: Applied) -> list[str]:
    """What was done and what proves it."""
    if applied.kept is None:
        return []
    count = len(applied.plan.changes)
    return [
        (
            f"Done: {count} {'value' if count == 1 else 'values'} written, read back,"
            " kept, and equal after the restart; nothing else moved."
        ),
        *(f"The board noted {remark}" for remark in applied.remarks),
        f"Before: {applied.kept.path}",
        f"Now:    settings {applied.after.fingerprint()[:12]}",
    ]
