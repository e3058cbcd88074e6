"""`benchlink identify`: who the board is; only questions are sent."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import give, identity_data, readiness_data
from benchlink.faces.wording import readiness_lines


def run(given: Given) -> int:
    """Say who answers and whether its outputs rest."""
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """Say it of a board that is open."""
    session = at.bench.session
    identity = session.identity
    lines = [
        f"board     {identity.board_type or 'does not say'}",
        f"firmware  {identity.firmware or 'does not say'}",
        f"number    {identity.number or 'does not say'}",
        f"port      {session.board.port}",
        *([f"aircraft  {at.aircraft}"] if at.aircraft else []),
        *readiness_lines(session.readiness),
    ]
    data = {
        "board": identity_data(identity),
        "port": session.board.port,
        "aircraft": at.aircraft.tail if at.aircraft else None,
        "outputs": readiness_data(session.readiness),
    }
    give(given, data, lines, at.person)
    return ExitCode.SAME
