"""A slice of the long walk over the gate; `python -m tests.bench motion` walks it all."""

from collections.abc import Callable
from functools import partial

import pytest

from benchlink.console.last_look import LastLook
from benchlink.core import gate
from benchlink.core.confirmation import LASTS
from benchlink.core.gate import CONDITIONS
from benchlink.errors import SafetyRefusalError
from benchlink.units import Power, Seconds
from benchlink.workflows.mover import Mover
from tests.support.motion_walk import Temper, careful_but, walk
from tests.workflows.spin_person import SpinPerson, at_the_bench

STEPS = 4000
MOST = 8000
SHARE = 0.2


def test_no_motor_is_ordered_without_a_living_confirmation() -> None:
    tally = walk(seed=1, steps=STEPS)
    assert tally.wrong == []
    assert tally.steps == STEPS
    for standing in ("valid", "expired", "never"):
        assert tally.share(standing) >= SHARE, tally.tried
    # What is allowed is done, or nothing was shown.
    assert tally.moved["valid"] > STEPS / 50
    assert "never" not in tally.moved
    assert tally.servo_orders > STEPS / 400
    assert tally.proofs > STEPS / 200


def open_gate(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(gate, "permit", partial(gate.permit, conditions={}))


def gate_without(word: str) -> Callable[[pytest.MonkeyPatch], None]:
    left = {why: holds for why, holds in CONDITIONS.items() if word not in why}
    assert len(left) < len(CONDITIONS)

    def shorten(patch: pytest.MonkeyPatch) -> None:
        patch.setattr(gate, "permit", partial(gate.permit, conditions=left))

    return shorten


def no_last_look(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(LastLook, "against", lambda *_: "")


def blind_to_starts(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Mover, "_notice_a_start", lambda *_: None)


LIVING = "living confirmation"


@pytest.mark.parametrize(
    ("spoil", "temper", "seen"),
    [
        (open_gate, careful_but(), "a motor"),
        (no_last_look, None, LIVING),
        (
            gate_without("by somebody else"),
            careful_but(
                wait_long=1.5,
                confirm=1,
                prove=2,
                confirm_for_others=8,
                spin_by_an_older_confirmation=14,
            ),
            LIVING,
        ),
        (gate_without("has expired"), careful_but(wait_long=3), LIVING),
        (gate_without("taken out or swapped"), careful_but(pack=3, wait=3), LIVING),
        (gate_without("without a permit"), careful_but(stir=3, wait=3), LIVING),
        (gate_without("outputs are live"), careful_but(arm=2, wait=3), "are live"),
        (gate_without("above the ceiling"), careful_but(), "a motor at"),
        (gate_without("hands are clear"), careful_but(hands=0.2), "hands may be near"),
        (blind_to_starts, careful_but(restart_by_itself=3), LIVING),
    ],
)
def test_the_walk_would_notice(
    monkeypatch: pytest.MonkeyPatch,
    spoil: Callable[[pytest.MonkeyPatch], None],
    temper: Temper | None,
    seen: str,
) -> None:
    spoil(monkeypatch)
    tally = walk(seed=1, steps=MOST, temper=temper, until_wrong=True)
    assert any(seen in wrong for wrong in tally.wrong)


def confirmed() -> tuple[Mover, SpinPerson]:
    bench, person = at_the_bench()
    bench.mover.confirm_props_off()
    return bench.mover, person


def proving(mover: Mover) -> None:
    mover.spin("left", Power(0.05), Seconds(0.5), proving=True)


def test_a_pack_that_was_out_in_between_needs_a_new_word() -> None:
    mover, person = confirmed()
    person.hands("disconnect pack")
    mover.look()
    person.hands("connect pack")
    mover.look()
    with pytest.raises(SafetyRefusalError, match="connected, taken out or swapped"):
        proving(mover)
    person.hands("disconnect pack")
    mover.confirm_props_off()
    proving(mover)


def test_a_confirmation_ends_in_time_though_nothing_else_happens() -> None:
    mover, person = confirmed()
    person.hands("disconnect pack")
    mover.confirm_props_off()
    until = person.board.now + LASTS - 8.0
    while person.board.now < until:
        person.board.idle(6.0)
        mover.look()
    proving(mover)
    person.board.idle(9.0)
    with pytest.raises(SafetyRefusalError, match="expired"):
        proving(mover)
