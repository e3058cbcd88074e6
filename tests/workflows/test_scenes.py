"""What workflows show beside their words, in virtual time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import final

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.angles import Side
from benchlink.core.bench_steps import Purpose
from benchlink.core.doors import Keys
from benchlink.core.jobs import Job
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState, Scene, SpinScene, TiltScene
from benchlink.core.settings import Snapshot
from benchlink.errors import LinkError
from benchlink.units import Power, PulseUs, Seconds
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.jig_talk import JigTalk
from benchlink.workflows.mover import Mover
from benchlink.workflows.notebook import ArmNotes
from benchlink.workflows.nudging import KEYS
from benchlink.workflows.session import meet
from benchlink.workflows.spin import Asked, spin_check
from benchlink.workflows.spin_bench import CONFIRM, PULL, Burst
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.tilt_view import MOVING, READ, WAS_READ, TiltView
from benchlink.workflows.tilts import DrivenTilt
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.scenes import UPRIGHT, arm_of
from tests.support.virtual_bench import virtual_board, wader
from tests.support.virtual_board import VirtualBoard
from tests.workflows.spin_person import (
    Key,
    Keyboard,
    SpinPerson,
    at_the_bench,
    ordered,
    runs,
)

LEFT = Asked(sides=(OwnSide.LEFT,))
BURST = Burst(side=OwnSide.LEFT, motor="left", power=Power(0.08), run_for=Seconds(0.5))


def spun(*keys: Key) -> tuple[SpinPerson, list[SpinScene]]:
    bench, person = at_the_bench(*keys)
    spin_check(bench, LEFT)
    return person, [scene for scene in person.scenes if isinstance(scene, SpinScene)]


def test_a_run_is_shown_while_it_goes_on_and_no_longer() -> None:
    person, scenes = spun((0.7, "space"), (2.0, "enter"))
    states = [scene.state for scene in scenes]
    assert states.count(MotorState.RUNNING) == len(runs(person)) + 2
    assert (states[0], states[-1]) == (MotorState.STOPPED, MotorState.STOPPED)
    pressed = [scene for scene in scenes if scene.power == Power(0.08)]
    assert [scene.state for scene in pressed] == [
        MotorState.STOPPED,
        MotorState.RUNNING,
        MotorState.STOPPED,
        MotorState.STOPPED,
        MotorState.STOPPED,
    ]
    assert pressed[1].left == 0.5
    assert (pressed[-1].asks, pressed[-1].keys) == ("What turned, and which way?", ())


def test_the_confirmation_counts_down_and_is_void_while_it_is_asked_for() -> None:
    _, scenes = spun((0.7, "space"), (60.0, "space"), (2.0, "enter"))
    asked = [scene.confirmed_for for scene in scenes if scene.asks == CONFIRM]
    assert asked == [None, None]
    keyed = [scene for scene in scenes if scene.keys and scene.power == Power(0.08)]
    ready = [scene.confirmed_for or 0.0 for scene in keyed]
    assert ready == sorted(ready, reverse=True)
    assert 0 < ready[-1] < ready[0] - 60 < 600


def test_what_breaks_a_run_off_stops_it_and_is_shown_as_stopped() -> None:
    bench, person = at_the_bench()
    with pytest.raises(KeyboardInterrupt), bench.running(BURST):
        raise KeyboardInterrupt
    assert ordered(person)[-1] == "halt"
    (scene,) = person.scenes
    assert isinstance(scene, SpinScene)
    assert scene.state is MotorState.STOPPED


def test_a_board_that_does_not_answer_leaves_the_motor_not_known() -> None:
    bench, person = at_the_bench()
    lost = LinkError("no answer")
    with pytest.raises(LinkError), bench.running(BURST):
        raise lost
    (scene,) = person.scenes
    assert isinstance(scene, SpinScene)
    assert (scene.state, scene.asks) == (MotorState.NOT_KNOWN, PULL)
    assert not scene.at_rest


@final
class JigPerson:
    """Reads the jig by a list, and nudges by keys."""

    def __init__(self, board: VirtualBoard, answers: list[str], *keys: Key) -> None:
        self.board = board
        self.scenes: list[TiltScene] = []
        self.handed: list[PulseUs | None] = []
        """What the arm had been told when each scene was shown."""
        self.told: Callable[[], PulseUs | None] = lambda: None
        self.over = 0
        """How often the scene was taken away."""
        self._answers = answers
        self._keyboard = Keyboard(board, keys)
        scripted = ScriptedPerson()
        self.tell = scripted.tell
        self.types = scripted.types
        self.agrees = scripted.agrees
        self.progress = scripted.progress
        self.done = scripted.done
        self.show_plan = scripted.show_plan
        self.whispers = scripted.whispers
        self.waits_for = scripted.waits_for

    def show_scene(self, scene: Scene | None) -> None:
        if scene is None:
            self.over += 1
            return
        assert isinstance(scene, TiltScene)
        self.scenes.append(scene)
        self.handed.append(self.told())

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        meanwhile()
        return self.types(prompt)

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:  # noqa: ARG002
        meanwhile()
        return self._answers.pop(0)

    @contextmanager
    def keys(self, prompt: str) -> Iterator[Keys]:  # noqa: ARG002 - the door's shape
        yield self._keyboard


def measured(*answers: str, keys: tuple[Key, ...] = ()) -> JigPerson:
    """One reading at 1500 us by the left arm."""
    board = virtual_board()
    for order in ("disconnect pack", "connect rail"):
        tell_hands(board.device, order, board.now_us)
    person = JigPerson(board, list(answers), *keys)
    session = meet(board, Grammar(wader()))
    who = Who(aircraft="LW-03", operator="assistant")
    mover = Mover(session, person, lambda: board.now, who)
    mover.window(PulseUs(1300.0), PulseUs(1700.0))
    mover.require_safe_to_tilt(("an arm",))
    mover.known({"p3": Job.TILT_LEFT})
    tilt = DrivenTilt(mover, "p3")
    person.told = lambda: tilt.at
    view = TiltView(person, OwnSide.LEFT, UPRIGHT)
    bench = TiltBench(
        mover=mover,
        person=person,
        pause=board.idle,
        snapshot=Snapshot(settings={}),
        epoch=session.epoch,
    )
    talk = JigTalk(bench, tilt, ArmNotes(side=OwnSide.LEFT), view)
    arm = arm_of()
    purpose = Purpose.FIRST
    talk.answer(arm.measure(PulseUs(1500.0), Side.FROM_AFT, purpose), arm)
    return person


def test_an_arm_is_shown_on_its_way_and_where_it_is_read() -> None:
    person = measured("0.3 aft")
    asks = [scene.asks for scene in person.scenes]
    assert asks == [MOVING, MOVING, READ, WAS_READ]
    on_the_way, there = person.scenes[0], person.scenes[1]
    assert on_the_way.next_us is not None
    assert on_the_way.next_us.nearest == there.pulse_us == 1500.0
    right = person.scenes[-1]
    assert right.within
    assert right.read is not None
    assert right.read.angle_deg == -0.3


def test_each_nudge_is_handed_over_before_it_is_shown() -> None:
    keys = ((0.3, "up"), (0.3, "right"), (0.3, "enter"))
    person = measured("n", "0.3 aft", keys=keys)
    nudged = [
        (scene.pulse_us, handed)
        for scene, handed in zip(person.scenes, person.handed, strict=True)
        if scene.keys == KEYS
    ]
    assert nudged == [(pulse, pulse) for pulse in (1500.0, 1510.0, 1512.0, 1512.0)]


def test_a_typed_pulse_is_shown_as_it_is_typed() -> None:
    keys = tuple((0.3, key) for key in ("1", "5", "2", "0", "enter", "enter"))
    person = measured("n", "0.3 aft", keys=keys)
    typed = [
        scene.asks.rpartition(" ")[2] for scene in person.scenes if scene.keys == KEYS
    ]
    assert typed[1:5] == ["1", "15", "152", "1520"]
