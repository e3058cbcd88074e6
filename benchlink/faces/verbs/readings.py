"""`benchlink readings`: one look at all that the board can tell; nothing is written."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import give, identity_data, readiness_data
from benchlink.faces.reading_words import look_data, look_lines
from benchlink.faces.wording import readiness_lines
from benchlink.workflows.readings import look


def run(given: Given) -> int:
    """Say what the board tells; exit 2 where some of it cannot be believed."""
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """Look at what a board that is open tells."""
    session = at.bench.session
    seen = look(session)
    lines = [at.who, *readiness_lines(session.readiness), *look_lines(seen)]
    data = {
        "board": identity_data(session.identity),
        "aircraft": at.aircraft.tail if at.aircraft else None,
        "outputs": readiness_data(session.readiness),
        **look_data(seen),
    }
    give(given, data, lines, at.person)
    return ExitCode.TROUBLE if seen.not_believed else ExitCode.SAME
