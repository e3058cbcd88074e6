"""The spin check: the board ends each motor by itself, then one at a time is run and seen.

Cautions come first. What was seen comes back as a value; nothing here judges it or
writes it down.
"""

from dataclasses import dataclass

from benchlink.core.cautions import REAL_STOP
from benchlink.core.gate import CAP, CEILING
from benchlink.core.roles import OwnSide
from benchlink.core.spin_answers import Answer, Hand, SpinCheck, Turned
from benchlink.core.spin_expiry import Expiry
from benchlink.errors import DeclinedError, UsageError
from benchlink.units import Power, percent
from benchlink.workflows.spin_asking import ask_hand, ask_what_was_seen
from benchlink.workflows.spin_bench import SpinBench, require_at_rest
from benchlink.workflows.spin_keys import BURST, SpinKeys
from benchlink.workflows.spin_proof import prove_expiry, require_spin
from benchlink.workflows.spin_radio import spin_by_radio


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What somebody wants to see turn."""

    sides: tuple[OwnSide, ...]
    ceiling: Power = CEILING
    hand: Hand | None = None
    """As the build sheet says; None: it is asked for."""


def spin_check(bench: SpinBench, asked: Asked) -> SpinCheck:
    """Spin what was asked for, and say what was seen.

    Raises:
        UnprovenError: nothing proves that the board ends a motion: spin by radio.
        SafetyRefusalError: outputs are live, or something was not confirmed.
        DeclinedError: the person left, or nobody answered.
        LinkError: the board does not answer: pull the pack.
    """
    remarks = _raised(bench, asked.ceiling)
    require_at_rest(bench)
    verb = require_spin(bench.mover.session)
    for side in asked.sides:
        bench.motor(side)
    hand = asked.hand or ask_hand(bench)
    try:
        proofs = prove_expiry(bench, asked.sides)
        keys = SpinKeys(
            bench,
            ceiling=asked.ceiling,
            burst=verb.expires or BURST,
            expiry=proofs.slowest,
        )
        answers = _answers(bench, asked.sides, keys)
    finally:
        bench.mover.close()
    bench.person.tell(f"Done. {REAL_STOP} Pull it now.")
    return _check(bench, answers, hand, proofs=proofs.seen, remarks=remarks)


def radio_check(bench: SpinBench, asked: Asked) -> SpinCheck:
    """The same by the transmitter; nothing that moves is sent.

    Raises:
        SafetyRefusalError: props off was not confirmed.
        DeclinedError: nobody answered.
    """
    hand = asked.hand or ask_hand(bench)
    answers = spin_by_radio(bench, asked.sides)
    return _check(bench, answers, hand)


def _answers(
    bench: SpinBench, sides: tuple[OwnSide, ...], keys: SpinKeys
) -> tuple[Answer, ...]:
    """What was seen, until a tilt arm moved: then nothing more is spun."""
    answers: list[Answer] = []
    for side in sides:
        ran = keys.run(side)
        if not ran.run_for:
            bench.person.tell(f"The {side.value} motor was not spun: left out.")
            continue
        ordered = Answer(
            ordered=side,
            turned=Turned.NOTHING,
            turning=None,
            power=ran.power,
            ran_for=ran.run_for,
        )
        answers.append(ask_what_was_seen(bench, ordered))
        if answers[-1].turned is Turned.TILT:
            bench.person.tell("A servo hangs on a motor's pad: nothing more is spun.")
            break
    return tuple(answers)


def _raised(bench: SpinBench, ceiling: Power) -> tuple[str, ...]:
    """Have a ceiling above the usual one agreed to.

    Raises:
        UsageError: it is above the cap.
        DeclinedError: nobody agreed.
    """
    if not 0 < ceiling <= CAP:
        msg = f"a ceiling of {percent(ceiling)} is not above 0 and up to {percent(CAP)}"
        raise UsageError(msg, hint="Nothing was spun.")
    if ceiling > CEILING:
        question = (
            f"{percent(ceiling)} is above the usual {percent(CEILING)}. Go up to it?"
        )
        if not bench.person.agrees(question):
            msg = f"nobody agreed to {percent(ceiling)}"
            raise DeclinedError(msg, hint="Nothing was spun. Leave `--ceiling` out.")
        bench.mover.ceiling = ceiling
        return (f"ceiling raised to {percent(ceiling)}",)
    bench.mover.ceiling = ceiling
    return ()


def _check(
    bench: SpinBench,
    answers: tuple[Answer, ...],
    hand: Hand | None,
    *,
    proofs: tuple[Expiry, ...] = (),
    remarks: tuple[str, ...] = (),
) -> SpinCheck:
    who = bench.mover.who
    return SpinCheck(
        aircraft=who.aircraft,
        operator=who.operator,
        answers=answers,
        hand=hand,
        proofs=proofs,
        remarks=remarks,
    )
