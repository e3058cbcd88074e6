"""The end of a run from our side, alone and inside the conversation."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from benchlink.console import dead_hand
from benchlink.console.conversation import Conversation
from benchlink.console.dead_hand import DeadHand
from benchlink.console.events import Answered, Event
from benchlink.console.lanes import Lane
from benchlink.console.last_look import LastLook
from benchlink.console.phases import Phase
from benchlink.core.exchange import Command, Verdict
from benchlink.core.hazard import NO_HAZARD
from benchlink.core.spin_expiry import LOOKS_FOR
from benchlink.units import Baud, Seconds, wire_time
from tests.console.talking import MANNER, answer_to, command
from tests.support.mutants import Mutant
from tests.support.permits import granted

STOP = command("halt")
NOW = Seconds(20.0)
BURST = Seconds(0.5)
EPOCH = 1
TICKET = 7

Make = Callable[[Command | None], DeadHand]


def run(
    line: str = "spin",
    *,
    burst: Seconds | None = BURST,
    proving: bool = False,
    at: Seconds = NOW,
) -> Command:
    """A line that runs a motor; without `burst` one that moves a servo."""
    data = f"{line}\r".encode()
    given = granted(data, EPOCH, at, run_for=burst, proving=proving)
    return replace(command(line), permit=given)


def due_after(hand: DeadHand, *commands: Command) -> Seconds | None:
    for at, one in enumerate(commands):
        hand.left(one, Seconds(NOW + at))
    return hand.due


TRIALS: dict[str, Callable[[Make], bool]] = {
    "a burst is over at its end": lambda make: (
        due_after(make(STOP), run()) == NOW + BURST
    ),
    "a newer burst ends later": lambda make: (
        due_after(make(STOP), run(), run(burst=Seconds(0.2))) == NOW + 1.2
    ),
    "a harmless line ends nothing earlier or later": lambda make: (
        due_after(make(STOP), run(), command("plate")) == NOW + BURST
    ),
    "a servo is not stopped": lambda make: (
        due_after(make(STOP), run("swing", burst=None)) is None
    ),
    "a proof is left alone for as long as it looks": lambda make: (
        due_after(make(STOP), run(proving=True)) == NOW + BURST + LOOKS_FOR + 1.0
    ),
    "a burst after a proof is over at its own end": lambda make: (
        due_after(make(STOP), run(proving=True), run()) == NOW + 1.0 + BURST
    ),
    "without a stop there is nothing to send": lambda make: (
        due_after(make(None), run()) is None
    ),
    "not before its time, and then at once": lambda make: over_only_in_time(make(STOP)),
    "nothing is over that never began": lambda make: not make(STOP).over(NOW),
    "once stopped it is over with": lambda make: stopped_for_good(make(STOP)),
    "a board that starts afresh is not stopped": lambda make: forgotten(make(STOP)),
    "what the board takes is not said again": lambda make: (
        repeats(make(STOP), Verdict.OK) == repeats(make(STOP), Verdict.NOTED) == 0
    ),
    "what it does not take is, but not for ever": lambda make: (
        repeats(make(STOP), Verdict.REFUSED) == 3
        and repeats(make(STOP), Verdict.UNANSWERED) == 3
    ),
    "each end of a run has repeats of its own": lambda make: anew(make(STOP)),
    "the answer to another stop says nothing": lambda make: not_ours(make(STOP)),
}


def over_only_in_time(hand: DeadHand) -> bool:
    due_after(hand, run())
    end = NOW + BURST
    return not hand.over(Seconds(end - 0.001)) and hand.over(Seconds(end))


def stopped_for_good(hand: DeadHand) -> bool:
    due_after(hand, run())
    hand.stopped()
    return hand.due is None and not hand.over(Seconds(NOW + 9))


def forgotten(hand: DeadHand) -> bool:
    hand.said(TICKET)
    due_after(hand, run())
    hand.started()
    return hand.due is None and not hand.again(TICKET, Verdict.UNANSWERED)


def repeats(hand: DeadHand, verdict: Verdict) -> int:
    """How often it would be said again when the board always answers so; -1: and due."""
    due_after(hand, run())
    ticket = TICKET
    hand.said(ticket)
    if hand.due is not None:
        return -1
    while hand.again(ticket, verdict) and ticket < TICKET + 9:
        ticket += 1
        hand.said_again(ticket)
    return ticket - TICKET


def anew(hand: DeadHand) -> bool:
    return repeats(hand, Verdict.REFUSED) == repeats(hand, Verdict.REFUSED) == 3


def not_ours(hand: DeadHand) -> bool:
    hand.said(TICKET)
    other = hand.again(TICKET + 1, Verdict.REFUSED)
    return not other and hand.again(TICKET, Verdict.REFUSED)


@pytest.mark.parametrize("name", TRIALS)
def test_alone(name: str) -> None:
    assert TRIALS[name](DeadHand)


MUTANTS = (
    Mutant("permit is None or permit", "permit is not None and permit"),
    Mutant("permit.motion.kind is not Kind.MOTOR", "False"),
    Mutant("or not self.stop:", "or False:"),
    Mutant("if permit.motion.proving else", "if True else"),
    Mutant("if permit.motion.proving else", "if False else"),
    Mutant("LOOKS_FOR + 1.0", "1.0"),
    Mutant("arrives + permit.motion.run_for", "arrives"),
    Mutant("arrives + permit.motion.run_for", "arrives + 1.0"),
    Mutant("ticket != self._ticket or", ""),
    Mutant("verdict in ACTED or", ""),
    Mutant(" or self._repeats == REPEATS", ""),
    Mutant("self.due, self._ticket, self._repeats = None, ticket, 0", "pass"),
    Mutant("= None, ticket, 0", "= None, ticket, self._repeats"),
    Mutant("        self._ticket = ticket", "        pass"),
    Mutant("self.due = self._ticket = None", "self.due = None"),
    Mutant("self.due = self._ticket = None", "self._ticket = None"),
    Mutant("self.due is not None and now >= self.due", "self.due is not None"),
    Mutant("self.due is not None and now >= self.due", "False"),
    Mutant('way."""\n        self.due = None', 'way."""'),
)


@pytest.mark.parametrize("mutant", MUTANTS, ids=repr)
def test_no_condition_can_be_missing(mutant: Mutant) -> None:
    changed = mutant.of(dead_hand)

    def told(name: str) -> bool:
        try:
            return TRIALS[name](changed.DeadHand)
        except AttributeError:
            return False

    assert not all(map(told, TRIALS))


class Running:
    """A conversation at its prompt with a motor that has just been run."""

    def __init__(self, speed: Baud | None = None, *, proving: bool = False) -> None:
        self.now = NOW
        self.talk = Conversation(
            MANNER,
            speed=speed,
            now=NOW,
            look=LastLook(lambda _data, _typed: NO_HAZARD),
            dead_hand=DeadHand(STOP),
        )
        self.passes(1.0)
        self.says(b"\r\n@ ")
        self.passes(1.0)
        assert self.talk.phase is Phase.READY
        self.talk.submit(Lane.BULK, run(proving=proving, at=self.now))
        assert self.sent() == [b"spin\r"]

    def passes(self, seconds: float) -> list[bytes]:
        self.now = Seconds(self.now + seconds)
        return self.sent()

    def says(self, data: bytes) -> None:
        self.talk.feed(data, self.now)

    @property
    def events(self) -> list[Event]:
        return self.talk.events()

    def sent(self) -> list[bytes]:
        self.talk.tick(self.now)
        return [*iter(lambda: self.talk.outgoing(self.now), b"")]


def test_when_nobody_does_anything_more_the_stop_leaves_by_itself() -> None:
    desk = Running()
    desk.says(answer_to("spin"))
    assert desk.talk.deadline(desk.now) == pytest.approx(desk.now + BURST)
    assert desk.passes(0.49) == []
    assert desk.passes(0.02) == [b"halt\r"]
    desk.says(answer_to("halt"))
    assert desk.passes(5.0) == []


def test_it_leaves_though_the_board_has_not_answered() -> None:
    assert Running().passes(0.51) == [b"halt\r"]


def test_a_stop_of_the_person_makes_it_needless() -> None:
    desk = Running()
    desk.says(answer_to("spin"))
    desk.talk.submit(Lane.STOP, STOP)
    assert desk.sent() == [b"halt\r"]
    desk.says(answer_to("halt"))
    assert desk.passes(1.0) == []


def test_a_board_that_started_by_itself_is_not_told_to_stop() -> None:
    desk = Running()
    desk.says(answer_to("spin") + b"\r\nwader boot 2\r\n")
    assert b"halt\r" not in desk.passes(1.0)


def test_a_board_that_was_told_to_restart_is_not_told_to_stop() -> None:
    desk = Running()
    desk.says(answer_to("spin"))
    desk.talk.submit(Lane.BULK, command("restart", restarts=True))
    assert desk.sent() == [b"restart\r"]
    desk.says(answer_to("restart"))
    assert b"halt\r" not in desk.passes(0.6)


def test_it_counts_from_when_the_board_has_the_line() -> None:
    speed = Baud(1200)
    desk = Running(speed)
    whole_s = wire_time(len(b"spin\r"), speed)
    desk.says(answer_to("spin"))
    assert desk.passes(BURST + 0.9 * whole_s) == []
    assert desk.passes(0.1 * whole_s) == [b"halt\r"]


def test_a_link_that_is_closing_still_stops() -> None:
    desk = Running()
    desk.talk.hush()
    assert desk.passes(0.51) == [b"halt\r"]


def test_a_stop_that_the_board_refuses_is_said_again_at_once() -> None:
    desk = Running()
    desk.says(answer_to("spin"))
    assert desk.passes(0.51) == [b"halt\r"]
    desk.says(answer_to("halt", status="sorry: busy"))
    assert desk.sent() == [b"halt\r"]
    desk.says(answer_to("halt"))
    assert b"halt\r" not in desk.passes(5.0)


def test_a_stop_that_is_not_answered_is_said_again_and_again_and_then_no_more() -> None:
    desk = Running()
    desk.says(answer_to("spin"))
    halts = [desk.passes(0.1).count(b"halt\r") for _ in range(100)]
    assert sum(halts) == 1 + dead_hand.REPEATS


def test_a_proof_that_nobody_ends_is_ended() -> None:
    desk = Running(proving=True)
    desk.says(answer_to("spin"))
    assert desk.passes(BURST + LOOKS_FOR) == []
    assert desk.passes(1.1) == [b"halt\r"]


def test_what_waits_and_moves_does_not_follow_the_stop() -> None:
    desk = Running()
    later = desk.talk.submit(Lane.BULK, run("spin more", at=desk.now))
    asks = desk.talk.submit(Lane.BULK, command("plate"))
    desk.talk.submit(Lane.STOP, STOP)
    desk.sent()
    desk.says(answer_to("spin") + answer_to("halt"))
    assert desk.passes(0.1) == [b"plate\r"]
    desk.says(answer_to("plate"))
    told = {e.ticket: e.answer for e in desk.events if isinstance(e, Answered)}
    assert told[later].verdict is Verdict.UNANSWERED
    assert told[later].remark == "stopped before it left"
    assert told[asks].verdict is Verdict.OK
