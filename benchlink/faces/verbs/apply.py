"""`benchlink apply`: bring the board to a profile and prove that it took."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.changing import carry_out
from benchlink.faces.wiring import read_asked


def run(given: Given) -> int:
    """Apply the profile."""
    asked_of = read_asked(given.profile or "")
    with at_board(given) as at:
        return carry_out(at, asked_of(at.bench), given)
