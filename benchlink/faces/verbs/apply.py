"""`benchlink apply`: bring the board to a profile and prove that it took."""

from benchlink.faces.arguments import Given
from benchlink.faces.asked import asked_of, read_named
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.changing import carry_out
from benchlink.faces.named_files import AskedOf


def run(given: Given) -> int:
    """Apply the profile, or the layers of the aircraft where none is named."""
    named = read_named(given.profile)
    with at_board(given) as at:
        return _apply(at, named, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    return _apply(at, read_named(given.profile), given)


def _apply(at: AtBoard, named: AskedOf | None, given: Given) -> int:
    return carry_out(at, asked_of(at, named), given)
