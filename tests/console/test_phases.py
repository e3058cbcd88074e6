from itertools import product

import pytest

from benchlink.console.phases import TRANSITIONS, Input, Phase, step
from benchlink.errors import MisuseError

MOVES = {
    (Phase.WAKING, Input.PROMPT): Phase.READY,
    (Phase.WAKING, Input.DOUBT): Phase.WAKING,
    (Phase.WAKING, Input.PATIENCE_OVER): Phase.FAILED,
    (Phase.WAKING, Input.RESTART): Phase.WAKING,
    (Phase.WAKING, Input.WIRE_LOST): Phase.LOST,
    (Phase.READY, Input.DOUBT): Phase.WAKING,
    (Phase.READY, Input.RESTART): Phase.WAKING,
    (Phase.READY, Input.WIRE_LOST): Phase.LOST,
    (Phase.FAILED, Input.RESTART): Phase.WAKING,
    (Phase.FAILED, Input.WIRE_LOST): Phase.LOST,
    (Phase.LOST, Input.WIRE_LOST): Phase.LOST,
}


@pytest.mark.parametrize(("phase", "given"), list(product(Phase, Input)))
def test_every_input_in_every_phase_moves_or_refuses(
    phase: Phase, given: Input
) -> None:
    if (phase, given) in MOVES:
        assert step(phase, given) is MOVES[phase, given]
        return
    with pytest.raises(MisuseError, match=f"{given.name} cannot happen"):
        step(phase, given)


def test_only_a_prompt_makes_ready() -> None:
    causes = {given for (_, given), to in TRANSITIONS.items() if to is Phase.READY}
    assert causes == {Input.PROMPT}


def test_nothing_leaves_a_lost_port() -> None:
    leads = {to for (phase, _), to in TRANSITIONS.items() if phase is Phase.LOST}
    assert leads == {Phase.LOST}


def test_every_phase_can_be_reached_from_the_first() -> None:
    reached = {Phase.WAKING}
    for _ in Phase:
        reached |= {to for (phase, _), to in TRANSITIONS.items() if phase in reached}
    assert reached == set(Phase)
