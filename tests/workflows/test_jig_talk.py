"""What is said to the person at the jig, and what is driven while their hands are in it."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Final, final

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.angles import Degrees, Side, Way
from benchlink.core.approach import Hop
from benchlink.core.bench_steps import (
    Event,
    HornMoved,
    Look,
    MoveHorn,
    Purpose,
    Seen,
    Watched,
    Widen,
    Widened,
)
from benchlink.core.doors import Keys
from benchlink.core.jobs import Job
from benchlink.core.roles import OwnSide
from benchlink.core.seating import HornMove
from benchlink.core.settings import Snapshot
from benchlink.errors import DeclinedError, LinkError, RigError
from benchlink.units import PulseUs, Seconds
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.jig_talk import HELD, LET_GO, JigTalk
from benchlink.workflows.mover import Mover
from benchlink.workflows.notebook import ArmNotes
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.tilt_view import TiltView
from benchlink.workflows.tilts import DrivenTilt, Tilt, WrittenTilt
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.scenes import UPRIGHT, arm_of, read
from tests.support.virtual_bench import virtual_board, wader, words_sent
from tests.support.virtual_board import VirtualBoard

AT: Final = PulseUs(1500.0)
MOVE: Final = HornMove(
    way=Way.AFT,
    teeth=1,
    arms_on=0,
    by_deg=Degrees(-14.4),
    step_deg=14.4,
    remaining_deg=Degrees(2.0),
)
ONE_TOOTH: Final = MoveHorn(route=(Hop(pulse_us=AT, rest_s=Seconds(0.2)),), move=MOVE)


@final
class Bench:
    """The left arm on its jig, and somebody who types one thing."""

    def __init__(self, typed: str = "") -> None:
        self.board = virtual_board()
        for order in ("disconnect pack", "connect rail"):
            tell_hands(self.board.device, order, self.board.now_us)
        self.person = JigPerson(self.board, typed)
        self.session = meet(self.board, Grammar(wader()))
        who = Who(aircraft="LW-03", operator="assistant")
        self.mover = Mover(self.session, self.person, lambda: self.board.now, who)
        self.mover.window(PulseUs(1300.0), PulseUs(1700.0))
        self.mover.require_safe_to_tilt(("an arm",))
        self.mover.known({"p3": Job.TILT_LEFT})

        self.notes = ArmNotes(side=OwnSide.LEFT)

    def talk(self, tilt: Tilt | None = None) -> JigTalk:
        view = TiltView(self.person, OwnSide.LEFT, UPRIGHT)
        driven = tilt or DrivenTilt(self.mover, "p3")
        bench = TiltBench(
            mover=self.mover,
            person=self.person,
            pause=self.board.idle,
            snapshot=Snapshot(settings={}),
            epoch=self.session.epoch,
        )
        return JigTalk(bench, driven, self.notes, view)


@final
class JigPerson:
    """Types hands clear, and then what a test wants; looks at what is driven meanwhile."""

    def __init__(self, board: VirtualBoard, typed: str) -> None:
        self.board = board
        self.typed = typed
        self.shows: list[str] = []
        """What the jig shows, reading by reading; else the same is typed."""
        self.acts: Callable[[str], None] = lambda _: None
        """What hands do at a prompt, before anything is typed."""
        self.driven: list[bool] = []
        """Whether any output was, at each question but the first."""
        self.prompts: list[str] = []
        """Of all that was asked about the arm."""
        scripted = ScriptedPerson()
        self.told = scripted.told
        self.tell = scripted.tell
        self.agrees = scripted.agrees
        self.progress = scripted.progress
        self.done = scripted.done
        self.show_plan = scripted.show_plan
        self.show_scene = scripted.show_scene
        self.whispers = scripted.whispers
        self.waits_for = scripted.waits_for

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        meanwhile()
        return self.types(prompt)

    def types(self, prompt: str) -> str:
        if "Type 'hands clear'" in prompt:
            return "hands clear"
        # Long enough for whatever nobody keeps alive.
        self.board.idle(5.0)
        pulses = self.board.device.aircraft.pulses_us(self.board.now_us)
        self.driven.append(any(pulses))
        self.acts(prompt)
        return self.typed

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        meanwhile()
        self.prompts.append(prompt)
        self.acts(prompt)
        return self.shows.pop(0) if self.shows else self.typed

    def keys(self, prompt: str) -> AbstractContextManager[Keys]:
        raise NotImplementedError(prompt)


@pytest.mark.parametrize(
    ("side", "word"), [(Side.FROM_AFT, "aft"), (Side.FROM_FORWARD, "forward")]
)
def test_the_way_to_press_the_arm_is_named(side: Side, word: str) -> None:
    bench, arm = Bench("0.3 aft"), arm_of()
    bench.talk().answer(arm.measure(AT, side, Purpose.PLAY), arm)
    assert any(f"Press it lightly {word}, or rock it" in s for s in bench.person.told)


def test_nothing_drives_the_servo_while_its_horn_is_moved() -> None:
    bench = Bench()
    _, came = bench.talk().answer(ONE_TOOTH, arm_of())
    assert isinstance(came, HornMoved)
    assert bench.person.driven == [False]
    drive = "swing p3 to 1500 for 1000"
    assert words_sent(bench.board, "swing", "slack") == [drive, "slack p3", drive]
    assert LET_GO in bench.person.told


def test_whoever_does_not_move_the_horn_has_it_let_go() -> None:
    bench = Bench("s")
    with pytest.raises(DeclinedError, match="the horn was not moved"):
        bench.talk().answer(ONE_TOOTH, arm_of())
    assert words_sent(bench.board, "swing", "slack")[-1] == "slack p3"


def test_an_arm_that_the_board_holds_is_said_to_be_held() -> None:
    bench = Bench()
    tilt = WrittenTilt(
        bench.mover, OwnSide.LEFT, read_settled(bench.session, bench.person)
    )
    bench.talk(tilt).answer(ONE_TOOTH, arm_of())
    assert HELD in bench.person.told


def rail_that_dies(bench: Bench, *, for_good: bool = False) -> None:
    """It dies at the first question; at the last one its power comes back."""

    def acts(prompt: str) -> None:
        lead = "disconnect rail"
        if "Restore its power" in prompt:
            lead = "connect rail"
        elif died:
            return
        died.append(prompt)
        if not (for_good and lead == "connect rail"):
            tell_hands(bench.board.device, lead, bench.board.now_us)

    died: list[str] = []
    bench.person.acts = acts


def measured(bench: Bench) -> Event:
    arm = arm_of()
    return bench.talk().answer(arm.measure(AT, Side.FROM_AFT, Purpose.FIRST), arm)[1]


def test_what_was_read_while_the_rail_was_dead_does_not_count() -> None:
    bench = Bench()
    rail_that_dies(bench)
    bench.person.shows = ["7 aft", "0.3 aft"]
    assert measured(bench) == Seen(angle_deg=Degrees(-0.3))
    assert [taken.reading.angle_deg for taken in bench.notes.taken] == [-0.3]
    told = next(said for said in bench.person.told if "has no power" in said)
    assert "(0.0 V by the board's own meter)" in told
    assert bench.person.driven == [False]
    sent = words_sent(bench.board, "swing", "slack")
    assert sent[sent.index("slack p3") :][:2] == ["slack p3", sent[0]]


def test_what_was_seen_of_an_arm_without_power_is_looked_at_again() -> None:
    bench, arm = Bench(), arm_of()
    rail_that_dies(bench)
    bench.person.shows = ["n", "f"]
    ready = (Hop(pulse_us=AT, rest_s=Seconds(0.2)),)
    onward = (Hop(pulse_us=PulseUs(1540.0), rest_s=Seconds(0.2)),)
    _, came = bench.talk().answer(Look(ready=ready, route=onward), arm)
    assert came == Watched(way=Way.FORWARD)


def test_a_rail_that_stays_dead_ends_it_with_the_reading_set_aside() -> None:
    bench = Bench()
    rail_that_dies(bench, for_good=True)
    bench.person.shows = ["7 aft"]
    with pytest.raises(RigError, match="stays without power"):
        measured(bench)
    assert bench.notes.taken == []


def test_a_reading_is_noted_before_anything_else_can_go_wrong() -> None:
    bench = Bench("0.3 aft")

    def board_off(_: str) -> None:
        tell_hands(bench.board.device, "disconnect usb", bench.board.now_us)

    bench.person.acts = board_off
    with pytest.raises(LinkError):
        measured(bench)
    assert [taken.reading.angle_deg for taken in bench.notes.taken] == [-0.3]


def test_a_horn_that_is_off_takes_the_readings_before_it_out_of_the_fit() -> None:
    bench = Bench("s")
    talk, arm = bench.talk(), arm_of(read(1500.0, 14.0))
    bench.notes.fit = arm.fit
    with pytest.raises(DeclinedError):
        talk.answer(ONE_TOOTH, arm)
    assert bench.notes.horn_moved
    assert bench.notes.fit is not None
    assert bench.notes.fit.readings == ()


def test_a_full_reading_answers_the_question_for_its_way() -> None:
    bench = Bench()
    bench.person.shows = ["7", "6.5 forward"]
    assert measured(bench) == Seen(angle_deg=Degrees(6.5))
    assert bench.person.prompts[1] == "7 deg forward or aft? "


def test_what_hums_beside_a_number_still_hums_once_its_way_is_told() -> None:
    bench = Bench()
    bench.person.shows = ["7 buzzes", "aft"]
    assert measured(bench) == Seen(angle_deg=Degrees(-7.0), buzzes=True)


def test_no_way_makes_a_reading_that_cannot_be_out_of_one_that_was_doubted() -> None:
    bench = Bench()
    bench.person.shows = ["95", "aft", "9.5 aft"]
    assert measured(bench) == Seen(angle_deg=Degrees(-9.5))


def test_a_reading_on_the_wrong_side_is_put_right_by_its_way_alone() -> None:
    bench, arm = Bench(), arm_of(read(1500.0, 19.5), read(1500.0, 19.4))
    measure = arm.measure(AT, Side.FROM_AFT, Purpose.CHECK)
    again = arm.doubt(measure, Seen(angle_deg=Degrees(-19.5)))
    assert again is not None
    bench.person.shows = ["forward"]
    _, seen = bench.talk().answer(again, arm)
    assert seen == Seen(angle_deg=Degrees(19.5))


@pytest.mark.parametrize(
    ("typed", "allowed"),
    [
        (["widr", "wider"], True),
        (["yes", "Wider", "wider"], True),
        (["yes", "yes", "yes", "wider"], False),
        ([""], False),
        (["widr", "no"], False),
    ],
)
def test_only_the_word_widens_and_a_slip_is_asked_about_again(
    typed: list[str], *, allowed: bool
) -> None:
    bench, arm = Bench(), arm_of()
    bench.person.shows = typed
    widen = Widen(window=arm.window)
    if allowed:
        assert bench.talk().answer(widen, arm)[1] == Widened()
        return
    with pytest.raises(DeclinedError, match="were not allowed"):
        bench.talk().answer(widen, arm)


def test_a_word_that_is_no_way_is_told_before_it_is_asked_again() -> None:
    bench, arm = Bench(), arm_of()
    bench.person.shows = ["up", "f"]
    ready = (Hop(pulse_us=AT, rest_s=Seconds(0.2)),)
    _, came = bench.talk().answer(Look(ready=ready, route=ready), arm)
    assert came == Watched(way=Way.FORWARD)
    assert bench.person.told[-1] == "Not one of: forward (f), aft (a), n."
