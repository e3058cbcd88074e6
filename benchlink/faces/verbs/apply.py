"""`benchlink apply`: bring the board to a profile and prove that it took."""

from benchlink.faces.arguments import Given
from benchlink.faces.asked import asked_of, read_named
from benchlink.faces.at_board import at_board
from benchlink.faces.changing import carry_out


def run(given: Given) -> int:
    """Apply the profile, or the layers of the aircraft where none is named."""
    named = read_named(given.profile)
    with at_board(given) as at:
        return carry_out(at, asked_of(at, named), given)
