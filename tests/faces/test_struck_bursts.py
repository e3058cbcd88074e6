"""Whatever happens to the tool during a burst, the motor stands still in time."""

from pathlib import Path

import pytest

from tests.faces.running import Workshop
from tests.faces.spinning import lapwing
from tests.faces.striking import BLOWS, struck

TRIES = 2
"""`python -m tests.bench motion` tries each fifty times."""


@pytest.mark.parametrize("blow", BLOWS)
def test_the_motor_stops_within_the_boards_own_end(tmp_path: Path, blow: str) -> None:
    workshop = Workshop(tmp_path)
    with lapwing(workshop, "wader") as craft:
        for _ in range(TRIES):
            one = struck(workshop, craft, blow)
            assert one.right, one
            assert one.ran_s > 0


@pytest.mark.parametrize(("blow", "right"), [("SIGTERM", True), ("kill -9", False)])
def test_a_board_that_runs_on_shows_who_sent_the_stop(
    tmp_path: Path, blow: str, *, right: bool
) -> None:
    """Whoever is killed sends none: then the board's own end is all there is."""
    workshop = Workshop(tmp_path)
    with lapwing(workshop, "wader") as craft:
        one = struck(workshop, craft, blow, orders=("expiry long",))
        assert one.right is right
