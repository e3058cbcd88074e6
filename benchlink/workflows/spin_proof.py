"""The proof that the board ends a motion by itself: a small run, silence, and a look.

First with the pack out, when nothing can turn; then with it in. Until both were seen no
motor is run for any other purpose.
"""

from dataclasses import replace
from typing import Final

from benchlink.console.description import Asking, LiveVerb
from benchlink.console.readings import measured, question, told_by
from benchlink.core.gate import LONGEST_BURST
from benchlink.core.readings import Measured
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState
from benchlink.core.spin_expiry import (
    BY_RADIO,
    GRACE,
    LOOKS_FOR,
    MAKES_IT_POSSIBLE,
    POWER,
    RUNS,
    WATCHED,
    Expiry,
    Told,
    Trial,
    UnprovenError,
    at_rest,
    proven,
)
from benchlink.errors import BoardError, SafetyRefusalError
from benchlink.units import Seconds
from benchlink.workflows.say import say
from benchlink.workflows.session import Session
from benchlink.workflows.spin_bench import REAL_STOP, STOPPED, TRIES, Burst, SpinBench

LOOK_AGAIN: Final = Seconds(0.2)
"""Between two looks at a run that goes on."""
PROVING: Final = "Does the board end it by itself?"
OUT, IN = "out", "in"
"""What is typed once the pack is out, or in."""


def require_spin(session: Session) -> LiveVerb:
    """The verb that spins a motor, where the board can end it and tell so.

    Raises:
        UnprovenError: it cannot, with what would make it possible.
    """
    description = session.grammar.description
    verb = description.live.verbs.get("spin")
    if verb is None:
        msg = f"the console {description.name!r} has no way to spin a motor for a time"
        needs = "`live: spin:` with `{time}` in its line, or with `expires-ms:`,"
        raise UnprovenError(msg, hint=f"{needs} makes it possible. Else {BY_RADIO}")
    if not verb.timed and verb.expires is None:
        msg = "the spin of this console is not told for how long, and nothing ends it"
        needs = "`{time}` in its line, or `expires-ms:` where the board ends it,"
        raise UnprovenError(msg, hint=f"{needs} makes it possible. Else {BY_RADIO}")
    if verb.expires is not None and verb.expires > LONGEST_BURST:
        msg = (
            f"this board ends a spin after {verb.expires:g} s: longer than a burst may"
        )
        raise UnprovenError(
            msg, hint=f"Shorten it on the board if you can. Else {BY_RADIO}"
        )
    if not _askings(session):
        msg = (
            "this console tells neither outputs nor motor speeds: nothing can show"
            " whether the board ends a motion by itself"
        )
        raise UnprovenError(msg, hint=MAKES_IT_POSSIBLE)
    return verb


def prove_expiry(bench: SpinBench, side: OwnSide) -> tuple[Expiry, ...]:
    """Have the proof with the pack out, and then with it in.

    Raises:
        UnprovenError: the board goes on too long, or its readings show nothing.
        SafetyRefusalError: something was not confirmed.
        DeclinedError: nobody answered.
    """
    verb = require_spin(bench.mover.session)
    first_run = RUNS[0] if verb.expires is None else verb.expires
    burst = Burst(side=side, motor=bench.motor(side), power=POWER, run_for=first_run)
    bench.person.tell(
        "First: does the board end a run by itself? A small one is ordered, then nothing"
        " is said to it. Once with the pack out, once with it in."
    )
    _have_the_pack(bench, burst, OUT)
    bench.confirm(burst)
    first = _proof(bench, burst, verb)
    bench.person.tell(f"Seen: {first}.")
    _have_the_pack(bench, burst, IN)
    # What was confirmed before a pack went in does not count after it.
    bench.confirm(burst)
    second = _proof(bench, burst, verb)
    bench.person.tell(f"Seen: {second}.")
    return first, second


def _proof(bench: SpinBench, burst: Burst, verb: LiveVerb) -> Expiry:
    longer = RUNS[1:] if verb.expires is None else ()
    trial = _trial(bench, burst, timed=verb.timed)
    for run_for in longer:
        if trial.seen:
            break
        burst = replace(burst, run_for=run_for)
        bench.be_confirmed(burst)
        trial = _trial(bench, burst, timed=verb.timed)
    expiry = proven(trial)
    bench.mover.proven_expiry(expiry)
    return expiry


def _trial(bench: SpinBench, burst: Burst, *, timed: bool) -> Trial:
    """One run that nothing ends from here, watched; a stop follows when it was seen."""
    mover, run_for = bench.mover, burst.run_for
    pack_in = bench.told_pack()
    before = _told(mover.session)
    # With a pack in nobody waits for a figure.
    watch = LOOKS_FOR if pack_in is False else LONGEST_BURST
    after: list[tuple[Seconds, Told]] = []
    with bench.running(burst):
        mover.spin(burst.motor, burst.power, run_for, proving=True)
        ordered = bench.now
        bench.show(burst, MotorState.RUNNING, PROVING)
        during = _told(mover.session)
        # Where the board counts from what it last heard, that look was a sign of life.
        silent_from = ordered if timed else bench.now
        bench.pause(Seconds(max(0.0, silent_from + run_for + GRACE - bench.now)))
        while True:
            told = _told(mover.session)
            after.append((Seconds(bench.now - ordered), told))
            if at_rest(before, told) or after[-1][0] > watch:
                break
            bench.pause(LOOK_AGAIN)
        mover.stop()
    bench.show(burst, MotorState.STOPPED, STOPPED)
    return Trial(
        ordered=run_for,
        before=before,
        during=during,
        after=tuple(after),
        epoch=mover.session.board.epoch,
        pack_in=pack_in,
    )


def _have_the_pack(bench: SpinBench, burst: Burst, where: str) -> None:
    """Have the pack out or in; looked at where the board tells its volts.

    Raises:
        SafetyRefusalError: nobody said so, or the board tells otherwise.
    """
    wanted = where == IN
    act = "Connect" if wanted else "Pull"
    ask = (
        f"{act} the pack, from behind the disc; the board stays on its cable. Type"
        f" `{where}` then: "
    )
    bench.show(burst, MotorState.STOPPED, f"{act} the pack from behind")
    if where == IN:
        bench.person.tell(
            "Now with the pack in: expect full power the moment it goes in. Props off,"
            f" frame clamped, hands clear of the tilt arms. {REAL_STOP}"
        )
    for _ in range(TRIES):
        told = bench.told_pack()
        if told is wanted:
            return
        typed = bench.person.types(ask).strip().casefold()
        if typed == where and told is None:
            return
        if typed != where:
            break
        if bench.told_pack() is wanted:
            return
        bench.person.tell("The board still tells otherwise: look at plug and cable.")
    msg = f"the pack is not {where}, or nobody said so"
    raise SafetyRefusalError(
        msg,
        hint="Nothing was spun. A board that is fed by the pack alone goes dark without"
        f" it: feed it by its cable, or {BY_RADIO}",
    )


def _askings(session: Session) -> tuple[Asking, ...]:
    readings = session.grammar.description.readings
    return tuple(asking for asking in readings if WATCHED & set(told_by(asking)))


def _told(session: Session) -> Told:
    """What outputs and motor speeds read now, each asked for once.

    Raises:
        BoardError: an answer is damaged twice.
    """
    return {
        (one.quantity, one.number): one.value
        for asking in _askings(session)
        for one in _answer(session, asking)
        if one.quantity in WATCHED
    }


def _answer(session: Session, asking: Asking) -> tuple[Measured, ...]:
    said = question(session.grammar, asking)
    (reply,) = say(session.board, session.grammar, [said])
    try:
        return measured(session.grammar, asking, reply)
    except BoardError:
        (reply,) = say(session.board, session.grammar, [said])
        return measured(session.grammar, asking, reply)
