"""A board that went away in the middle: wait for it, and know it again.

The port that vanished is a state, not the end. The board may come back on another path,
and may have lost what it had not kept; another board in its place is refused.
"""

from dataclasses import replace

from benchlink.core.doors import Person
from benchlink.core.identity import Grade
from benchlink.errors import LinkError
from benchlink.units import Seconds
from benchlink.workflows.run import Run
from benchlink.workflows.session import Session, meet_again


def wait_for_return(run: Run, within: Seconds, lost: LinkError) -> Run:
    """The same change with the same board in a new epoch.

    Raises:
        LinkError: it did not come back, or nobody can tell that it is the same board.
        WrongBoardError: another board came in its place.
    """
    if within <= 0:
        raise lost
    if run.session.identity.grade is not Grade.UNIQUE:
        run.person.tell(
            "this board does not say which one it is: whether it is the same when it is"
            " back is for you to say, with `benchlink resume` or `benchlink undo`"
        )
        raise lost
    run.person.tell(f"{lost}; waiting {within:.0f} s for it (Ctrl-C ends the wait)")
    session = come_back(run.session, run.person, within)
    run.person.tell(f"it is back at {session.board.port}: the same board, read anew")
    # Whoever confirmed that hands are clear did so before the board went away.
    return replace(run, session=session, now=None)


def come_back(session: Session, person: Person, within: Seconds) -> Session:
    """Wait for a board, and ask it who it is.

    Raises:
        LinkError: it did not come back.
        WrongBoardError: another board came in its place.
    """
    shown = int(within)

    def waiting(left: Seconds) -> None:
        person.progress("waiting for the board", shown - int(left), shown)

    session.board.come_back(within, waiting)
    return meet_again(session)
