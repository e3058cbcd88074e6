"""`benchlink undo`: put the old values back after an interrupted change, and prove it."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.left_open import NOTHING_OPEN, chosen, desk
from benchlink.faces.wording import plain
from benchlink.workflows.finishing import put_back


def run(given: Given) -> int:
    """Reverse it; nothing unfinished is no mistake."""
    with at_board(given) as at:
        found = chosen(at)
        if found is None:
            at.person.tell(NOTHING_OPEN)
            return ExitCode.SAME
        said = put_back(at.bench.session, at.person, found, desk(at, given))
        at.person.done()
        print(plain(f"Undone: {found.unfinished.transaction.what}. {said}"), flush=True)
    return ExitCode.SAME
