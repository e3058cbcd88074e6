"""`benchlink undo`: put the old values back after an interrupted change, and prove it."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode, code_of_done
from benchlink.faces.left_open import NOTHING_OPEN, chosen, desk
from benchlink.workflows.finishing import put_back


def run(given: Given) -> int:
    """Reverse it; nothing unfinished is no mistake."""
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """Reverse what was left on a board that is open."""
    found = chosen(at)
    if found is None:
        at.person.tell(NOTHING_OPEN)
        return ExitCode.SAME
    back = put_back(at.bench.session, at.person, found, desk(at, given))
    at.person.done()
    what = found.unfinished.transaction.what
    at.say(f"Undone: {what}. {back.said}")
    return code_of_done(proven=back.proven)
