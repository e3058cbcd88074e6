"""A board that went away in the middle: wait for it, and know it again.

The port that vanished is a state, not the end. The board may come back on another path,
and may have lost what it had not kept. Another board in its place is named and asked
nothing but who it is, and the wait goes on: somebody may swap the cables back.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from benchlink.core.doors import Person
from benchlink.core.identity import Grade
from benchlink.errors import BoardError, LinkError
from benchlink.units import Seconds
from benchlink.workflows.run import Run
from benchlink.workflows.session import Session, meet_again
from benchlink.workflows.waited import Waited

OTHER: Final = "Only questions go to that one; still waiting for the first."
"""Said once of each board that stands where another one was."""


def wait_for_return(run: Run, within: Seconds, lost: LinkError) -> Run:
    """The same change with the same board in a new epoch.

    Raises:
        LinkError: it did not come back, or nobody can tell that it is the same board.
        WrongBoardError: another board was there in its place until the end.
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


def come_back(
    session: Session,
    person: Person,
    within: Seconds,
    waiting: Callable[[Seconds], None] | None = None,
) -> Session:
    """Wait for a board, and ask it who it is.

    `waiting` is called again and again with the seconds left, in place of a progress
    that is told; what it raises ends the wait.

    Raises:
        LinkError: it did not come back.
        WrongBoardError: another board was there in its place until the end.
    """
    back: list[Session] = []
    others: set[str] = set()

    def ours() -> None:
        try:
            back.append(meet_again(session))
        except BoardError as other:
            if str(other) not in others:
                person.tell(f"{other}. {OTHER}")
            others.add(str(other))
            raise

    try:
        waited = waiting or Waited(person, "waiting for the board")
        session.board.come_back(within, waited, ours)
    finally:
        person.done()
    return back[-1]
