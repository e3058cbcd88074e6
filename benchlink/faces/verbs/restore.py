"""`benchlink restore`: put a backup back and prove it."""

from pathlib import Path

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.changing import carry_out
from benchlink.faces.wiring import backup_intent


def run(given: Given) -> int:
    """Restore the backup."""
    with at_board(given) as at:
        intent = backup_intent(Path(given.profile or ""), at.bench)
        return carry_out(at, intent, given)
