"""The wiggle test in virtual time: short pulses, let go of before anybody is asked."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.core.angles import Way
from benchlink.core.readings import Quantity
from benchlink.core.wiggle import Seen
from benchlink.errors import DeclinedError, SafetyRefusalError, UsageError
from benchlink.units import Seconds
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.mover import Mover
from benchlink.workflows.output_map import map_of
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.wiggle import Wiggled, wiggle
from tests.support.virtual_bench import FEW, wader, words_sent
from tests.support.virtual_board import VirtualBoard
from tests.workflows.spin_person import SENTENCE, SpinPerson

MOVERS = ("swing", "slack", "halt")
ENTER, WHAT, WAY = "press Enter", "What moved?", "Which way"
LEFT = [
    "swing p3 to 1500 for 1000",
    "slack p3",
    "swing p3 to 1560 for 1000",
    "slack p3",
]
RIGHT = [line.replace("p3", "p4") for line in LEFT]


class Bench:
    """A board with its pack out, and a person who answers each question in turn."""

    def __init__(
        self,
        *,
        description: Description | None = None,
        pack: bool = False,
        says: dict[str, Sequence[str]] | None = None,
    ) -> None:
        self.board = VirtualBoard(description or wader(), FEW)
        fixed = {"Type 'hands clear'": "hands clear"}
        self.person = SpinPerson(self.board, fixed, ())
        self.person.hands("connect pack" if pack else "disconnect pack")
        self.says: dict[str, Iterator[str]] = {
            about: iter(answers)
            for about, answers in {
                ENTER: ["", ""],
                WHAT: ["left", "right"],
                WAY: ["forward", "forward"],
                **(says or {}),
            }.items()
        }
        self.person.before = self._asked
        self.driven_while_asked = False
        self.paused_s: list[float] = []
        session = meet(self.board, Grammar(self.board.description))
        who = Who(aircraft="LW-03", operator="assistant")
        self.tilts = TiltBench(
            mover=Mover(session, self.person, lambda: self.board.now, who),
            person=self.person,
            pause=self._pause,
            snapshot=read_settled(session, self.person),
            epoch=session.epoch,
        )

    def wiggle(self) -> Wiggled:
        declared = map_of(self.tilts.mover.session, self.tilts.snapshot)
        return wiggle(self.tilts, declared)

    @property
    def moved(self) -> list[str]:
        return words_sent(self.board, *MOVERS)

    def asked(self, about: str) -> int:
        return sum(about in prompt for prompt in self.person.prompts)

    def _pause(self, for_s: Seconds) -> None:
        self.paused_s.append(for_s)
        self.board.idle(for_s)

    def _asked(self, prompt: str) -> None:
        pulses = self.board.device.aircraft.pulses_us(self.board.now_us)
        self.driven_while_asked |= any(pulses)
        for about, answers in self.says.items():
            if about in prompt:
                self.person.answers[about] = next(answers)


def without_volts() -> Description:
    """A console that tells no pack voltage."""
    described = wader()
    readings = tuple(
        replace(
            asking,
            gauges={
                name: gauge
                for name, gauge in asking.gauges.items()
                if gauge.quantity is not Quantity.PACK_VOLTS
            },
        )
        for asking in described.readings
    )
    return replace(described, readings=readings)


def test_nothing_is_driven_while_somebody_looks_and_types() -> None:
    bench = Bench()
    wiggled = bench.wiggle()
    assert [one.seen for one in wiggled.observed] == [Seen.LEFT, Seen.RIGHT]
    assert not bench.driven_while_asked
    assert bench.moved == [*LEFT, *RIGHT, "halt"]
    assert sum(bench.paused_s) == pytest.approx(4 * 0.5)


def test_it_is_moved_again_only_where_that_is_asked_for() -> None:
    bench = Bench(
        says={WHAT: ["who knows", "again", "left", "right"], ENTER: ["", "", ""]}
    )
    bench.wiggle()
    assert bench.moved == [*LEFT, *LEFT, *RIGHT, "halt"]
    assert bench.asked(WHAT) == 4
    words = "left, right, both, motor, nothing, else, again"
    assert bench.person.told.count(f"Not one of: {words}.") == 1


def test_a_way_that_is_none_is_told_and_asked_again() -> None:
    bench = Bench(says={WAY: ["up", "aft", "not sure"]})
    wiggled = bench.wiggle()
    assert [one.way for one in wiggled.observed] == [Way.AFT, None]
    assert "Not one of: forward, aft, not sure." in bench.person.told


def test_what_is_neither_enter_nor_a_motor_is_asked_again() -> None:
    bench = Bench(says={ENTER: ["yes", "left", "mot"]})
    wiggled = bench.wiggle()
    assert [one.seen for one in wiggled.observed] == [Seen.MOTOR]
    assert bench.asked(ENTER) == 3
    assert bench.person.told.count("Not one of: Enter, motor.") == 2
    assert bench.moved == [*LEFT[:2], "halt"]


def test_whoever_never_says_ends_it_with_a_stop() -> None:
    bench = Bench(says={ENTER: ["yes"] * 5})
    with pytest.raises(DeclinedError, match="nobody said what moved"):
        bench.wiggle()
    assert bench.moved == [*LEFT[:2], "halt"]


def test_a_pack_that_is_in_has_to_come_out_first() -> None:
    bench = Bench(pack=True)
    bench.wiggle()
    assert bench.asked("Type `out`") == 1
    assert bench.asked(SENTENCE) == 0
    assert bench.moved == [*LEFT, *RIGHT, "halt"]


@pytest.mark.parametrize("typed", ["", "yes", SENTENCE])
def test_with_the_pack_in_nothing_is_wiggled(typed: str) -> None:
    bench = Bench(pack=True, says={"Type `out`": [typed]})
    with pytest.raises(SafetyRefusalError, match="the pack is not out"):
        bench.wiggle()
    assert bench.moved == []


def test_a_pack_that_is_said_to_be_out_and_is_in_is_not_believed() -> None:
    bench = Bench(pack=True)
    before = bench.person.before

    def leaves_it_in(prompt: str) -> None:
        before(prompt)
        bench.person.answers["Type `out`"] = "out"

    bench.person.before = leaves_it_in
    bench.person.pulls = False
    with pytest.raises(SafetyRefusalError, match="the pack is not out"):
        bench.wiggle()
    assert "The board still tells otherwise: look at plug and cable." in (
        bench.person.told
    )
    assert bench.moved == []


def test_where_no_volts_are_told_props_off_is_typed_as_well() -> None:
    bench = Bench(description=without_volts())
    bench.wiggle()
    assert (bench.asked("Type `out`"), bench.asked(SENTENCE)) == (1, 1)


def test_a_map_without_tilts_moves_nothing() -> None:
    bench = Bench()
    for pad in ("p3", "p4"):
        bench.board.device.aircraft.put(f"output.{pad}.job", "nothing")
    tilts = bench.tilts
    snapshot = read_settled(tilts.mover.session, bench.person)
    with pytest.raises(UsageError, match="no output drives a tilt servo"):
        wiggle(replace(tilts, snapshot=snapshot), map_of(tilts.mover.session, snapshot))
    assert bench.moved == []
