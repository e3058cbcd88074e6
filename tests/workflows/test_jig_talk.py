"""What is said to the person at the jig, and what is driven while their hands are in it."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Final, final

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.angles import Degrees, Side, Way
from benchlink.core.approach import Hop
from benchlink.core.bench_steps import HornMoved, MoveHorn, Purpose
from benchlink.core.doors import Keys
from benchlink.core.jobs import Job
from benchlink.core.roles import OwnSide
from benchlink.core.seating import HornMove
from benchlink.errors import DeclinedError
from benchlink.units import PulseUs, Seconds
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.jig_talk import HELD, LET_GO, JigTalk
from benchlink.workflows.mover import Mover
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet
from benchlink.workflows.tilt_view import TiltView
from benchlink.workflows.tilts import DrivenTilt, Tilt, WrittenTilt
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.scenes import UPRIGHT, arm_of
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

    def talk(self, tilt: Tilt | None = None) -> JigTalk:
        view = TiltView(self.person, OwnSide.LEFT, UPRIGHT)
        driven = tilt or DrivenTilt(self.mover, "p3")
        return JigTalk(driven, self.person, self.board.idle, "the left tilt arm", view)


@final
class JigPerson:
    """Types hands clear, and then what a test wants; looks at what is driven meanwhile."""

    def __init__(self, board: VirtualBoard, typed: str) -> None:
        self.board = board
        self.typed = typed
        self.driven: list[bool] = []
        """Whether any output was, at each question but the first."""
        scripted = ScriptedPerson()
        self.told = scripted.told
        self.tell = scripted.tell
        self.agrees = scripted.agrees
        self.progress = scripted.progress
        self.show_plan = scripted.show_plan
        self.show_scene = scripted.show_scene
        self.whispers = scripted.whispers
        self.waits_for = scripted.waits_for

    def types(self, prompt: str) -> str:
        if "hands clear" in prompt:
            return "hands clear"
        # Long enough for whatever nobody keeps alive.
        self.board.idle(5.0)
        pulses = self.board.device.aircraft.pulses_us(self.board.now_us)
        self.driven.append(any(pulses))
        return self.typed

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        del prompt
        meanwhile()
        return self.typed

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
