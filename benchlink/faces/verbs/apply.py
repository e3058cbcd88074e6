"""`benchlink apply`: bring the board to a profile and prove that it took."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.changing import carry_out
from benchlink.faces.wiring import intent_of


def run(given: Given) -> int:
    """Apply the profile."""
    with at_board(given) as at:
        return carry_out(at, intent_of(given.profile or "", at.bench), given)
