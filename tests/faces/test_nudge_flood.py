"""A thousand keys a second into an arm that is nudged; `tests.bench motion` does more."""

from random import Random

import pytest

from tests.bench.aircraft import BAUD, Aircraft
from tests.bench.effort import effort
from tests.bench.nudge_flood import LEFT_TO_COME, flood

KEYS = 1000


@pytest.mark.parametrize("baud", [0, BAUD])
def test_no_nudge_waits_behind_another_and_the_stop_is_last(baud: int) -> None:
    with effort(1, quick=True), Aircraft(settings=60, baud=baud) as craft:
        told = flood(craft.port, Random(3), KEYS)  # noqa: S311 - a seeded generator
    assert told.pulses_us[-1] == told.wanted_us
    assert told.after_last_key <= LEFT_TO_COME
    assert told.halted_last
    # A slow wire carries fewer of them: the others were replaced by newer ones.
    assert not baud or len(told.pulses_us) < KEYS / 2
