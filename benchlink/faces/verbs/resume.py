"""`benchlink resume`: finish what was interrupted, and prove it."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode, code_of_done
from benchlink.faces.left_open import NOTHING_OPEN, chosen, desk
from benchlink.workflows.finishing import resume


def run(given: Given) -> int:
    """Go on where it stopped; nothing unfinished is no mistake."""
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """Finish what was left on a board that is open."""
    found = chosen(at)
    if found is None:
        at.person.tell(NOTHING_OPEN)
        return ExitCode.SAME
    carried = resume(at.bench.session, at.person, found, desk(at, given))
    at.person.done()
    told = found.unfinished.transaction
    count = len(told.planned)
    values = "value" if count == 1 else "values"
    at.say(
        f"Done: {told.what}, {count} {values} as intended,"
        f" {carried.proof.value}; nothing else moved."
    )
    return code_of_done(proven=carried.proof.proven)
