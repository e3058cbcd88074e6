"""The last look: what is in order leaves, and each condition by itself holds a line."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from benchlink.console import last_look
from benchlink.console.lanes import Lane, Pending
from benchlink.console.last_look import LastLook
from benchlink.core.confirmation import AND_PROPS_OFF, HANDS_CLEAR, confirm_hands_clear
from benchlink.core.exchange import Command
from benchlink.core.hazard import NO_HAZARD, NOT_KNOWN, Hazard, Hazards, Typed
from benchlink.units import Seconds
from tests.console.talking import command, pressed
from tests.support.mutants import Mutant
from tests.support.permits import granted

NOW = Seconds(50.0)
EPOCH = 3
SERVO, MOTOR = frozenset({Hazard.SERVO}), frozenset({Hazard.MOTOR})
HANDS = confirm_hands_clear(HANDS_CLEAR, EPOCH)
NO_PROPS = confirm_hands_clear(AND_PROPS_OFF, EPOCH, motors=True)
BEFORE = confirm_hands_clear(HANDS_CLEAR, EPOCH - 1)

DOES: dict[bytes, Hazards] = {
    b"spin\r": MOTOR,
    b"swing\r": SERVO,
    b"spin;restart\r": MOTOR | {Hazard.RESTARTS},
    b"cryptic\r": NOT_KNOWN,
    b"put idle 5\r": MOTOR,
}
"""What lines do; all others do nothing."""


def classified(data: bytes, typed: Typed) -> Hazards:
    if data == b"\r":  # the console does its last line again
        return DOES.get(f"{typed.last}\r".encode(), NO_HAZARD)
    return DOES.get(data, NO_HAZARD)


def pending(
    line: str,
    lane: Lane = Lane.BULK,
    change: Callable[[Command], Command] = lambda c: c,
) -> Pending:
    given = change(command(line))
    return Pending(1, lane, given, f"{line}\r".encode())


def allowed(
    line: str, *, data: bytes = b"", epoch: int = EPOCH, at: float = NOW
) -> Callable[[Command], Command]:
    """A permit, for these bytes unless others are named."""
    data = data or f"{line}\r".encode()
    given = granted(data, epoch, Seconds(at), run_for=Seconds(0.5))
    return lambda plain: replace(plain, permit=given)


def setting(hazards: Hazards, *, clear: bool) -> Callable[[Command], Command]:
    """A write of settings that may move something."""
    hands = NO_PROPS if Hazard.MOTOR in hazards else HANDS
    return lambda plain: replace(plain, hazards=hazards, hands=hands if clear else None)


@dataclass(frozen=True)
class Trial:
    pending: Pending
    says: str
    """Part of why it must not leave; empty where it may."""


TRIALS = {
    "a stop is not looked at": Trial(pending("spin", Lane.STOP), ""),
    "a harmless line leaves": Trial(pending("plate"), ""),
    "so does one by the live lane": Trial(pending("plate", Lane.LIVE), ""),
    "a live line with its permit leaves": Trial(
        pending("spin", Lane.LIVE, allowed("spin")), ""
    ),
    "a live line without one is held": Trial(
        pending("spin", Lane.LIVE), "may spin a motor, without a permit"
    ),
    "a live line that nobody knows is held": Trial(
        pending("cryptic", Lane.LIVE), "not known"
    ),
    "hands that are clear are no permit for a live line": Trial(
        pending("swing", Lane.LIVE, setting(SERVO, clear=True)), "without a permit"
    ),
    "a bulk line that moves is held": Trial(pending("spin"), "may spin a motor, and"),
    "a watch line too": Trial(pending("swing", Lane.WATCH), "may move a servo, and"),
    "hands that are clear do not cover a line that only moves": Trial(
        pending("spin", change=lambda c: replace(c, hands=NO_PROPS)), "hands were not"
    ),
    "a setting that moves is held": Trial(
        pending("put ends 5", change=setting(SERVO, clear=False)), "hands were not"
    ),
    "a setting that moves leaves when hands are clear": Trial(
        pending("put idle 5", change=setting(MOTOR, clear=True)), ""
    ),
    "a setting that may spin a motor wants the props off as well": Trial(
        pending("put idle 5", change=lambda c: replace(c, hazards=MOTOR, hands=HANDS)),
        "and props off",
    ),
    "hands that were clear before the start do not count": Trial(
        pending(
            "put ends 5",
            change=lambda c: replace(c, hazards=SERVO, hands=BEFORE),
        ),
        "hands were not",
    ),
    "a permit for other bytes is none": Trial(
        pending("spin", change=allowed("spin", data=b"plate\r")), "another line"
    ),
    "a permit of another epoch is none": Trial(
        pending("spin", change=allowed("spin", epoch=EPOCH - 1)), "another start"
    ),
    "a permit of an earlier time is none": Trial(
        pending("spin", change=allowed("spin", at=NOW - 0.51)), "an earlier time"
    ),
    "a permit lasts as long as its run": Trial(
        pending("spin", change=allowed("spin", at=NOW - 0.49)), ""
    ),
    "a permit covers motion alone": Trial(
        pending("spin;restart", change=allowed("spin;restart")), "restarts the board"
    ),
    "a permit does not make a line known": Trial(
        pending("cryptic", change=allowed("cryptic")), "not known"
    ),
}


def epoch() -> int:
    return EPOCH


@pytest.mark.parametrize("name", TRIALS)
def test_each_line_leaves_or_is_held(name: str) -> None:
    trial = TRIALS[name]
    against = LastLook(classified, epoch).against(trial.pending, NOW)
    assert bool(against) is bool(trial.says), against
    assert trial.says in against


def test_the_line_that_is_repeated_is_the_last_one_that_left() -> None:
    look = LastLook(classified, epoch)
    again = pending("")
    assert look.against(again, NOW) == ""
    look.left(pending("spin"))
    assert "spin a motor" in look.against(again, NOW)
    look.left(Pending(2, Lane.BULK, pressed("y"), b"y"))
    assert "spin a motor" in look.against(again, NOW), "a key is no line"
    look.left(pending("plate"))
    assert look.against(again, NOW) == ""


def test_a_board_that_started_afresh_repeats_nothing() -> None:
    look = LastLook(classified, epoch)
    look.left(pending("spin"))
    look.started()
    assert look.against(pending(""), NOW) == ""


def test_without_a_description_nothing_moves_by_a_permit_or_live() -> None:
    look = LastLook()
    assert look.against(pending("plate"), NOW) == ""
    assert look.against(pending("plate", Lane.LIVE), NOW)
    assert look.against(pending("spin", change=allowed("spin", epoch=1)), NOW)


MUTANTS = (
    Mutant("if pending.lane is Lane.STOP:", "if False:"),
    Mutant("(said | command.hazards) & MOTION", "said & MOTION"),
    Mutant("(said | command.hazards) & MOTION", "command.hazards & MOTION"),
    Mutant("if command.permit is not None:", "if False:"),
    Mutant("if pending.lane is Lane.LIVE:", "if False:"),
    Mutant("if moves and not", "if False and not"),
    Mutant("if moves and not", "if not"),
    Mutant("more = said - MOTION", "more = NO_HAZARDS_AT_ALL = frozenset()"),
    Mutant("permit is None or not permit.covers", "False and not permit.covers"),
    Mutant("covers(pending.data, self", "covers(permit.motion.data, self"),
    Mutant("pending.data, self._epoch(), now)", "pending.data, permit.epoch, now)"),
    Mutant("self._epoch(), now)", "self._epoch(), permit.until)"),
    Mutant(
        "command.hands is None or command", "command.hands is None or False and command"
    ),
    Mutant("return moves <= command.hazards", "return True"),
    Mutant("if Hazard.MOTOR in moves and", "if False and"),
)


@pytest.mark.parametrize("mutant", MUTANTS, ids=repr)
def test_no_condition_can_be_missing(mutant: Mutant) -> None:
    look = mutant.of(last_look).LastLook(classified, epoch)

    def told(name: str) -> bool:
        trial = TRIALS[name]
        against = look.against(trial.pending, NOW)
        return bool(against) is bool(trial.says) and trial.says in against

    assert not all(map(told, TRIALS))
