"""A start that no console told of shows in the uptime, and a slow clock is none."""

import pytest

from benchlink.core.uptime import Uptime
from benchlink.units import Seconds

RAN = Uptime(Seconds(90.0), Seconds(1000.0))


@pytest.mark.parametrize(
    ("later", "told", "ran_on"),
    [
        (1000.0, 90.0, True),
        (1010.0, 100.0, True),
        (1010.0, 99.0, True),
        (1010.0, 10.0, False),
        (1010.0, 97.0, False),
        (1600.0, 690.0, True),
        (1600.0, 679.0, True),
        (1600.0, 600.0, False),
        (1600.0, 0.0, False),
        (1001.0, 0.0, False),
    ],
)
def test_whether_it_ran_on(later: float, told: float, *, ran_on: bool) -> None:
    assert RAN.ran_on(Uptime(Seconds(told), Seconds(later))) is ran_on
