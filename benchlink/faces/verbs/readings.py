"""`benchlink readings`: one look at all that the board can tell; nothing is written."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import give, identity_data, readiness_data
from benchlink.faces.reading_words import look_data, look_lines
from benchlink.faces.wording import readiness_lines
from benchlink.workflows.readings import look


def run(given: Given) -> int:
    """Say what the board tells; exit 2 where some of it cannot be believed."""
    with at_board(given) as at:
        session = at.bench.session
        seen = look(session)
        lines = [at.who, *readiness_lines(session.readiness), *look_lines(seen)]
        data = {
            "board": identity_data(session.identity),
            "aircraft": at.aircraft.tail if at.aircraft else None,
            "outputs": readiness_data(session.readiness),
            **look_data(seen),
        }
    give(given, data, lines)
    return ExitCode.TROUBLE if seen.not_believed else ExitCode.SAME
