"""The proof that the board ends a motion by itself: a small run, silence, and a look.

Each motor by itself, for nothing tells that a board ends one as it ends the other. First
with the pack out, when nothing can turn; then with it in. Until all were seen no motor is
run for any other purpose.
"""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.console.description import Asking, LiveVerb
from benchlink.console.readings import measured, question, told_by
from benchlink.core.cautions import REAL_STOP
from benchlink.core.gate import LONGEST_BURST
from benchlink.core.readings import Measured
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState, SceneKey
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
from benchlink.errors import BoardError
from benchlink.units import Seconds
from benchlink.workflows.pack_place import ACTS, IN, OUT, have_the_pack
from benchlink.workflows.say import say
from benchlink.workflows.session import Session
from benchlink.workflows.spin_bench import STOPPED, Burst, SpinBench

LOOK_AGAIN: Final = Seconds(0.2)
"""Between two looks at a run that goes on."""
PROVING: Final = "Does the board end it by itself?"
TO_STOP: Final = (SceneKey("CTRL-C", "stops"), SceneKey("THE PACK", "pull it"))
UNSPUN: Final = (
    "Nothing was spun. A board that is fed by the pack alone goes dark without it: feed it"
    f" by its cable, or {BY_RADIO}"
)


@dataclass(frozen=True, slots=True)
class Proofs:
    """That the board ends a run of each motor by itself."""

    seen: tuple[Expiry, ...]
    slowest: Expiry
    """The latest end with the pack in: every later run goes by it."""


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


def prove_expiry(bench: SpinBench, sides: tuple[OwnSide, ...]) -> Proofs:
    """Have the proof of each motor with the pack out, and then of each with it in.

    Raises:
        UnprovenError: the board goes on too long, or its readings show nothing.
        SafetyRefusalError: something was not confirmed.
        DeclinedError: nobody answered.
    """
    verb = require_spin(bench.mover.session)
    first_run = RUNS[0] if verb.expires is None else verb.expires
    bursts = [
        Burst(side=side, motor=bench.motor(side), power=POWER, run_for=first_run)
        for side in sides
    ]
    bench.person.tell(
        "First: does the board end a run by itself? A small one of each motor is ordered,"
        " then nothing is said to it. Once with the pack out, once with it in."
    )
    bench.person.tell(f"While one runs: Ctrl-C stops it. {REAL_STOP}")
    found: list[Expiry] = []
    ends: list[Expiry] = []
    for where in (OUT, IN):
        _have_the_pack(bench, bursts[0], where)
        # What was confirmed before a pack went in does not count after it.
        bench.confirm(bursts[0])
        ends = []
        for burst in bursts:
            if ends:
                bench.be_confirmed(burst)
            ends.append(_proof(bench, burst, verb))
            bench.notes.proofs.append(ends[-1])
            bench.person.tell(f"Seen: {ends[-1]}.")
        found += ends
    slowest = max(ends, key=lambda end: end.within)
    bench.mover.proven_expiry(slowest)
    return Proofs(seen=tuple(found), slowest=slowest)


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
        bench.show(burst, MotorState.RUNNING, PROVING, keys=TO_STOP)
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
        bench.mover.stop()
    bench.show(burst, MotorState.STOPPED, STOPPED)
    return Trial(
        motor=burst.side.value,
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
    bench.show(burst, MotorState.STOPPED, f"{ACTS[where]} the pack from behind")
    if where == IN:
        bench.person.tell(
            "Now with the pack in: expect full power the moment it goes in. Props off,"
            f" frame clamped, hands clear of the tilt arms. {REAL_STOP}"
        )
    have_the_pack(bench.mover, bench.person, where, UNSPUN)


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
