"""Whether a board is still as it was when the plan was made."""

from benchlink.core.doors import Person
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import MismatchError, UnansweredError
from benchlink.workflows.read import read_once, read_settled
from benchlink.workflows.session import Session


def refuse_stale(session: Session, planned_on: Snapshot, person: Person) -> None:
    """Look again after the person was asked, since time has passed.

    Raises:
        MismatchError: the board changed; names what did.
    """
    if _looks_the_same(session, planned_on, person):
        return
    # One reading may be damaged: only readings that agree call a plan stale.
    now = read_settled(session, person, "checking again")
    strays = moved(planned_on, now)
    if strays:
        msg = "the board changed while the plan was being looked at"
        raise MismatchError(
            msg, details=strays, hint="Nothing was written. Make a new plan."
        )


def _looks_the_same(session: Session, planned_on: Snapshot, person: Person) -> bool:
    try:
        now = read_once(session, person, "checking")
    except UnansweredError:
        return False
    return not moved(planned_on, now)
