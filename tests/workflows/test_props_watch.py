"""Props off between two pieces of work: what it outlives, and what ends it."""

from collections.abc import Callable
from typing import Final

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.confirmation import LASTS
from benchlink.core.jobs import Job
from benchlink.units import PulseUs, Seconds
from benchlink.workflows.bench_watch import (
    LONGEST_GAP,
    NOBODY_LOOKED,
    BenchWatch,
    Who,
)
from benchlink.workflows.mover import Mover
from benchlink.workflows.props_watch import PropsWatch
from benchlink.workflows.session import meet
from tests.support.virtual_bench import FEW, wader
from tests.support.virtual_board import VirtualBoard
from tests.workflows.spin_person import SpinPerson

EVERY: Final = Seconds(2.0)
"""How often the home page looks."""
BUILDER: Final = Who(aircraft="LW-03", operator="builder")


class Bench:
    """A board with its pack in, and one piece of work after the other."""

    def __init__(self) -> None:
        self.board = VirtualBoard(wader(), FEW)
        self.person = SpinPerson(self.board, {"Type 'hands clear'": "hands clear"}, ())
        self.person.hands("props off")
        self.person.hands("connect pack")
        self.props = PropsWatch()

    def work(self, who: Who = BUILDER) -> int:
        """Have an arm made safe; gives how often props off was typed for it."""
        before = self.person.confirmations()
        watch = self.watch(who)
        self.props.hand_to(watch)
        watch.require_safe_to_tilt(("p3: moves the left tilt servo",))
        self.props.rest(watch)
        return self.person.confirmations() - before

    def watch(self, who: Who = BUILDER) -> BenchWatch:
        session = meet(self.board, Grammar(self.board.description))
        return Mover(session, self.person, lambda: self.board.now, who)

    def home(self, for_s: float) -> None:
        """Nobody works; the home page looks on."""
        for _ in range(round(for_s / EVERY)):
            self.board.idle(EVERY)
            self.props.look()

    @property
    def void(self) -> str:
        assert self.props.standing is not None
        return self.props.standing.void


@pytest.fixture
def bench() -> Bench:
    return Bench()


def test_what_was_confirmed_counts_at_the_next_work(bench: Bench) -> None:
    assert bench.work() == 1
    bench.home(60.0)
    assert bench.void == ""
    assert bench.work() == 0


def test_it_is_shown_with_who_said_it_and_until_when(bench: Bench) -> None:
    bench.work()
    assert bench.props.standing is not None
    props = bench.props.standing.props
    assert props.asked.operator == "builder"
    assert 0 < props.until - bench.board.now <= LASTS


def test_nothing_stands_before_anything_was_confirmed(bench: Bench) -> None:
    bench.props.look()
    bench.props.rest(bench.watch())
    assert bench.props.standing is None


def pull_the_pack(bench: Bench) -> None:
    bench.person.hands("disconnect pack")
    bench.home(4.0)
    bench.person.hands("connect pack")


def power_cycle(bench: Bench) -> None:
    bench.board.device.power_up(bench.board.now_us)


def wait_out(bench: Bench) -> None:
    bench.home(LASTS)


ENDS: Final[dict[str, Callable[[Bench], None]]] = {
    "the pack was connected, taken out or swapped since": pull_the_pack,
    "the confirmation of props off has expired": wait_out,
    "before the board restarted or reconnected": power_cycle,
    NOBODY_LOOKED: lambda bench: bench.board.idle(LONGEST_GAP + 1.0),
}


@pytest.mark.parametrize("why", ENDS)
def test_it_ends_for_good(bench: Bench, why: str) -> None:
    bench.work()
    ENDS[why](bench)
    bench.home(EVERY)
    assert why in bench.void
    bench.home(60.0)
    assert why in bench.void
    assert bench.work() == 1


def test_a_gap_just_before_the_next_work_ends_it_too(bench: Bench) -> None:
    bench.work()
    bench.home(10.0)
    bench.board.idle(Seconds(LONGEST_GAP + 1.0))
    assert bench.work() == 1


def test_another_operator_confirms_by_themselves(bench: Bench) -> None:
    bench.work()
    bench.home(4.0)
    assert bench.work(Who(aircraft="LW-03", operator="assistant")) == 1


def test_another_aircraft_is_confirmed_by_itself(bench: Bench) -> None:
    bench.work()
    bench.home(4.0)
    bench.person.answers["props off LW-04"] = "props off LW-04"
    before = len(bench.person.prompts)
    bench.work(Who(aircraft="LW-04", operator="builder"))
    assert any("props off LW-04" in asked for asked in bench.person.prompts[before:])


def test_dropped_it_counts_no_more(bench: Bench) -> None:
    bench.work()
    bench.props.drop("the board was talked to")
    assert bench.void == "the board was talked to"
    assert bench.work() == 1


def test_work_that_confirmed_nothing_takes_the_last_word_away(bench: Bench) -> None:
    bench.work()
    bench.props.rest(bench.watch())
    assert bench.props.standing is None
    assert bench.work() == 1


def test_questions_before_an_arm_is_made_safe_are_part_of_the_gap(
    bench: Bench,
) -> None:
    """The servo is asked for between the taking over and the cautions."""
    bench.work()
    watch = bench.watch()
    bench.props.hand_to(watch)
    bench.board.idle(Seconds(LONGEST_GAP + 1.0))
    before = bench.person.confirmations()
    watch.require_safe_to_tilt(("p3: moves the left tilt servo",))
    assert bench.person.confirmations() == before + 1


def test_a_gap_within_the_work_is_not_washed_away_by_the_next_look(
    bench: Bench,
) -> None:
    bench.work()
    watch = bench.watch()
    bench.props.hand_to(watch)
    bench.board.idle(Seconds(LONGEST_GAP + 1.0))
    watch.look()
    watch.look()
    assert watch.props_void == NOBODY_LOOKED
    bench.props.rest(watch)
    assert bench.void == NOBODY_LOOKED


def test_an_arm_at_rest_is_driven_again_after_a_gap_only_on_a_new_word(
    bench: Bench,
) -> None:
    watch = bench.watch()
    assert isinstance(watch, Mover)
    watch.require_safe_to_tilt(("p3: moves the left tilt servo",))
    watch.known({"p3": Job.TILT_LEFT})
    watch.window(PulseUs(1400.0), PulseUs(1600.0))
    bench.board.idle(Seconds(LONGEST_GAP + 1.0))
    before = bench.person.confirmations()
    watch.drive("p3", PulseUs(1500.0))
    assert bench.person.confirmations() == before + 1
    watch.drive("p3", PulseUs(1510.0))
    assert bench.person.confirmations() == before + 1
