"""What the work thread is sent for; each gives one piece of news."""

from typing import TYPE_CHECKING, Final

from benchlink.core.difference import compare
from benchlink.core.intent import Intent
from benchlink.errors import BenchError
from benchlink.faces.screen.news import Checked, Opened, Read
from benchlink.faces.screen.rows import rows_of
from benchlink.workflows.compare import require_fit
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet_again

if TYPE_CHECKING:
    from benchlink.core.doors import Person
    from benchlink.faces.screen.entrance import Entrance, Place
    from benchlink.faces.wiring import Bench
    from benchlink.workflows.session import Session

NO_WISHES: Final = Intent(title="", source="", wanted={})
"""Asks for nothing, so that every setting is left alone."""


def open_place(entrance: "Entrance", place: "Place | None", person: "Person") -> Opened:
    """Open a port, or a simulated aircraft where `place` is None.

    Raises:
        BenchError: it could not be opened; an unusable profile is only reported.
    """
    bench = entrance.rehearse(person) if place is None else entrance.open(place, person)
    try:
        intent, trouble = _fitting(entrance, bench)
        return Opened(
            bench=bench,
            intent=intent,
            trouble=trouble,
            health=bench.session.board.health(),
            left=entrance.left_open(bench, person),
        )
    except BaseException:
        bench.close()
        raise


def read(
    bench: "Bench", session: "Session", intent: Intent | None, person: "Person"
) -> Read:
    """Read all settings and hold them against the intent.

    Raises:
        BenchError: they could not be read so that they can be believed.
    """
    snapshot = read_settled(session, person)
    wishes = intent or NO_WISHES
    return Read(
        bench=bench,
        rows=rows_of(snapshot, compare(snapshot, wishes), wishes),
        health=session.board.health(),
    )


def check(bench: "Bench", session: "Session") -> Checked:
    """Ask whether the same board still answers, and whether its outputs rest.

    Raises:
        BenchError: it does not, or another one does.
    """
    again = meet_again(session)
    return Checked(bench=bench, session=again, health=session.board.health())


def _fitting(
    entrance: "Entrance", bench: "Bench"
) -> tuple[Intent | None, BenchError | None]:
    try:
        intent = entrance.intent(bench)
        if intent is not None:
            require_fit(bench.session, intent)
    except BenchError as exc:
        return None, exc
    return intent, None
