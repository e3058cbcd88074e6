"""`benchlink resume`: finish what was interrupted, and prove it."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.left_open import NOTHING_OPEN, chosen, desk
from benchlink.faces.wording import plain
from benchlink.workflows.finishing import resume


def run(given: Given) -> int:
    """Go on where it stopped; nothing unfinished is no mistake."""
    with at_board(given) as at:
        found = chosen(at)
        if found is None:
            at.person.tell(NOTHING_OPEN)
            return ExitCode.SAME
        carried = resume(at.bench.session, at.person, found, desk(at, given))
        at.person.done()
        told = found.unfinished.transaction
        count = len(told.planned)
        values = "value" if count == 1 else "values"
        print(
            plain(
                f"Done: {told.what}, {count} {values} as intended,"
                f" {carried.proof.value}; nothing else moved."
            ),
            flush=True,
        )
    return ExitCode.SAME
