"""The gate: every condition matters by itself, and nothing but typing opens it."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from benchlink.core.confirmation import LASTS, Asked, PropsOff, confirm_props_off
from benchlink.core.gate import (
    CONDITIONS,
    Kind,
    Motion,
    Permit,
    Window,
    World,
    permit,
)
from benchlink.core.hazard import Hazard
from benchlink.errors import MisuseError, SafetyRefusalError
from benchlink.units import Power, PulseUs, Seconds

NOW = Seconds(1000.0)
ASKED = Asked(aircraft="LW-03", operator="builder", epoch=4)
PROPS = confirm_props_off(ASKED, "props off LW-03", Seconds(900.0))
SPIN = Motion(
    kind=Kind.MOTOR,
    thing="left",
    data=b"spin left 5 400\r",
    hazards=frozenset({Hazard.MOTOR}),
    power=Power(0.05),
    run_for=Seconds(0.4),
)
DRIVE = Motion(
    kind=Kind.SERVO,
    thing="p3",
    data=b"drive p3 1510\r",
    hazards=frozenset({Hazard.SERVO}),
    pulse=PulseUs(1510),
)
WORLD = World(
    ready=True,
    epoch=4,
    looked_at=Seconds(999.0),
    armed=False,
    aircraft="LW-03",
    operator="builder",
    pack_volts=16.4,
    pack_when_confirmed=16.5,
    hands_clear=True,
    expiry=Seconds(0.5),
    expiry_with_pack=True,
    expiry_epoch=4,
    window=Window(least=PulseUs(1450), most=PulseUs(1550), last=PulseUs(1500)),
)
TILT = replace(WORLD, pack_volts=0.2, pack_when_confirmed=None)


@dataclass(frozen=True)
class Witness:
    """A motion that one condition alone stands against."""

    motion: Motion = SPIN
    world: World = WORLD
    props: PropsOff | None = PROPS
    now: Seconds = NOW


def with_props(change: Callable[[Asked], Asked]) -> PropsOff:
    asked = change(ASKED)
    return confirm_props_off(asked, asked.sentence, Seconds(900.0))


WITNESSES = {
    "the board is not at its prompt": Witness(world=replace(WORLD, ready=False)),
    "the board was not looked at for too long": Witness(
        world=replace(WORLD, looked_at=Seconds(990.0))
    ),
    "the outputs are live, or nobody knows": Witness(world=replace(WORLD, armed=None)),
    "the line does something else as well, or is not known": Witness(
        motion=replace(SPIN, hazards=frozenset({Hazard.MOTOR, Hazard.UNKNOWN}))
    ),
    "the line is not the one kind of motion that was asked for": Witness(
        motion=replace(SPIN, hazards=frozenset({Hazard.SERVO}))
    ),
    "nobody confirmed that hands are clear of the tilt arms": Witness(
        motion=DRIVE, world=replace(TILT, hands_clear=False), props=None
    ),
    "nobody confirmed that the props are off": Witness(props=None),
    "props off was confirmed for another aircraft": Witness(
        props=with_props(lambda a: replace(a, aircraft="LW-04"))
    ),
    "props off was confirmed by somebody else": Witness(
        props=with_props(lambda a: replace(a, operator="assistant"))
    ),
    "props off was confirmed before the board restarted or reconnected": Witness(
        props=with_props(lambda a: replace(a, epoch=3))
    ),
    "the confirmation of props off has expired": Witness(
        now=Seconds(900.0 + LASTS + 1), world=replace(WORLD, looked_at=Seconds(1500.0))
    ),
    "the pack was connected, taken out or swapped since props off was confirmed": Witness(
        world=replace(WORLD, pack_when_confirmed=0.3)
    ),
    "something moved without a permit since props off was confirmed": Witness(
        world=replace(WORLD, moved_unasked=True)
    ),
    "this board tells no pack voltage: each burst is confirmed by itself": Witness(
        world=replace(
            WORLD, pack_volts=None, pack_when_confirmed=None, bursts_since_confirmed=1
        )
    ),
    "nothing proves that the board ends a motion by itself within a second": Witness(
        world=replace(WORLD, expiry=None)
    ),
    "that proof is from before the board restarted or reconnected": Witness(
        world=replace(WORLD, expiry_epoch=3)
    ),
    "another motor is running": Witness(world=replace(WORLD, spinning="right")),
    "the power is above the ceiling": Witness(motion=replace(SPIN, power=Power(0.11))),
    "the burst is longer than a second": Witness(
        motion=replace(SPIN, run_for=Seconds(1.1))
    ),
    "the pulse is outside the window that was opened": Witness(
        motion=replace(DRIVE, pulse=PulseUs(1560)), world=TILT, props=None
    ),
    "the step is too long": Witness(
        motion=replace(DRIVE, pulse=PulseUs(1540)),
        world=replace(
            TILT,
            window=Window(least=PulseUs(1000), most=PulseUs(2000), last=PulseUs(1400)),
        ),
        props=None,
    ),
}


def test_every_condition_has_a_witness() -> None:
    assert set(WITNESSES) == set(CONDITIONS)


@pytest.mark.parametrize("why", CONDITIONS)
def test_every_condition_alone_keeps_the_gate_shut(why: str) -> None:
    """The table of mutants: with this one disabled the motion would pass."""
    one = WITNESSES[why]
    with pytest.raises(SafetyRefusalError) as caught:
        permit(one.motion, one.world, one.props, one.now)
    assert why in (str(caught.value).partition(": ")[2], *caught.value.details)
    without = {name: c for name, c in CONDITIONS.items() if name != why}
    if why == "nobody confirmed that the props are off":
        # The others look into the confirmation, so they stand against its absence too.
        without = {n: c for n, c in without.items() if "props off was" not in n}
        without.pop("the confirmation of props off has expired")
    assert permit(one.motion, one.world, one.props, one.now, without).epoch == 4


def test_what_is_in_order_passes() -> None:
    assert permit(SPIN, WORLD, PROPS, NOW).covers(SPIN.data, 4, NOW)
    assert permit(DRIVE, TILT, None, NOW).covers(DRIVE.data, 4, NOW)


def test_with_the_pack_in_a_servo_needs_props_off_as_well() -> None:
    with pytest.raises(SafetyRefusalError, match="props are off"):
        permit(DRIVE, WORLD, None, NOW)
    assert permit(DRIVE, WORLD, PROPS, NOW).epoch == 4


@pytest.mark.parametrize(
    ("motion", "supply"), [(SPIN, False), (DRIVE, True)], ids=["motor", "arm"]
)
def test_a_refusal_names_what_feeds_the_thing(motion: Motion, *, supply: bool) -> None:
    with pytest.raises(SafetyRefusalError) as caught:
        permit(motion, replace(WORLD, armed=True), PROPS, NOW)
    assert "pull the pack, from behind the disc" in caught.value.hint
    assert ("bench supply" in caught.value.hint) is supply


PROVING = replace(SPIN, proving=True)
UNPROVEN = "nothing proves that the board ends a motion by itself within a second"


def test_the_proof_begins_with_the_pack_out_and_is_small() -> None:
    unproven = replace(WORLD, expiry=None, expiry_with_pack=False, expiry_epoch=0)
    out = replace(unproven, pack_volts=0.2, pack_when_confirmed=0.2)
    blind = replace(unproven, pack_volts=None, pack_when_confirmed=None)
    assert permit(PROVING, out, PROPS, NOW).epoch == 4
    assert permit(PROVING, blind, PROPS, NOW).epoch == 4
    for motion, world in (
        (PROVING, unproven),
        (SPIN, out),
        (replace(PROVING, power=Power(0.1)), out),
    ):
        with pytest.raises(SafetyRefusalError, match=UNPROVEN):
            permit(motion, world, PROPS, NOW)


def test_what_was_proven_with_the_pack_out_counts_for_the_next_proof_alone() -> None:
    half = replace(WORLD, expiry_with_pack=False)
    assert permit(PROVING, half, PROPS, NOW).epoch == 4
    with pytest.raises(SafetyRefusalError, match=UNPROVEN):
        permit(SPIN, half, PROPS, NOW)
    elsewhere = replace(half, expiry_epoch=3)
    with pytest.raises(SafetyRefusalError, match="that proof is from before"):
        permit(PROVING, elsewhere, PROPS, NOW)


def test_no_ceiling_goes_above_the_cap() -> None:
    raised = replace(WORLD, ceiling=Power(0.9))
    assert permit(replace(SPIN, power=Power(0.2)), raised, PROPS, NOW).epoch == 4
    with pytest.raises(SafetyRefusalError, match="above the ceiling"):
        permit(replace(SPIN, power=Power(0.21)), raised, PROPS, NOW)


def test_a_permit_is_for_these_bytes_this_epoch_and_a_while() -> None:
    given = permit(SPIN, WORLD, PROPS, NOW)
    assert not given.covers(SPIN.data + b"\r", 4, NOW)
    assert not given.covers(SPIN.data, 5, NOW)
    assert not given.covers(SPIN.data, 4, Seconds(NOW + 0.5))


def test_nobody_else_makes_a_permit_or_a_confirmation() -> None:
    with pytest.raises(MisuseError):
        Permit(motion=SPIN, epoch=4, until=Seconds(2000.0), seal=object())
    with pytest.raises(MisuseError):
        PropsOff(asked=ASKED, at=NOW, seal=None)


@pytest.mark.parametrize(
    "typed",
    ["", "yes", "props off", "props off LW-04", "Props off LW-03", " props off LW-03 "],
)
def test_nothing_but_the_sentence_confirms(typed: str) -> None:
    with pytest.raises(SafetyRefusalError):
        confirm_props_off(ASKED, typed, NOW)
