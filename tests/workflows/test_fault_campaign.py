"""A short slice of the fault campaign, the same at every run; the long one is a bench."""

import pytest

from mocks.fault import Way
from mocks.fault_keeps import KeepOfNothing
from mocks.fault_wire import FlippedByte
from mocks.fault_writes import LateReadBack
from tests.bench.fault_campaign import bytes_of, counted, ran
from tests.bench.fault_ends import RIGHT_LATER, SILENT, End
from tests.bench.fault_paper import When
from tests.bench.fault_plan import Interruption, RunPlan, plan_of
from tests.support.cable_board import KilledError

FEW = range(4000, 4016)
WADER, KNOT = 0, 3


def plan(first: Interruption, *, resumes: bool, subject: int = WADER) -> RunPlan:
    return RunPlan(
        seed=1,
        subject=subject,
        changes=(1, 8),
        interruptions=(first, Interruption(resumes=resumes)),
    )


def test_nothing_goes_wrong_silently_and_all_of_it_is_finished_or_undone() -> None:
    census = counted(FEW)
    assert [(f.seed, f.kind, f.why) for f in census.failures] == []
    assert census.runs == len(FEW)
    untouched = census.ends[End.UNTOUCHED]
    assert untouched < 0.7 * census.runs
    assert sum(census.ends[end] for end in RIGHT_LATER) > 0


@pytest.mark.parametrize("resumes", [True, False])
@pytest.mark.parametrize("when", When)
@pytest.mark.parametrize("mark", [1, 4])
def test_a_process_killed_at_a_mark_is_finished_or_undone(
    mark: int, when: When, *, resumes: bool
) -> None:
    killed = Interruption(kill_at=mark, when=when, within_bytes=9)
    end = ran(plan(killed, resumes=resumes)).end
    assert end is (End.RESUMED if resumes else End.UNDONE)


@pytest.mark.parametrize("blow", [KilledError, KeyboardInterrupt])
def test_a_blow_between_two_bytes_of_a_session(blow: type[BaseException]) -> None:
    received, _ = bytes_of(plan(Interruption(), resumes=False))
    blown = Interruption(at_sent={received * 2 // 3: blow})
    one = ran(plan(blown, resumes=False))
    assert one.end in {End.UNDONE, End.BACK}, one.why


def test_the_referee_finds_out_what_nobody_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lying = Interruption(faults=(KeepOfNothing(at=1),))
    assert ran(plan(lying, resumes=False)).end is End.BACK
    monkeypatch.setattr("benchlink.workflows.carrying.not_kept", lambda *_: ())
    one = ran(plan(lying, resumes=False))
    assert (one.end, one.kind) == (End.WRONG, SILENT)


@pytest.mark.parametrize("at", [111, 149])
def test_a_name_that_a_damaged_write_made_up_goes_away_again(at: int) -> None:
    flipped = Interruption(faults=(FlippedByte(way=Way.RECEIVED, at=at),))
    one = ran(plan(flipped, resumes=False, subject=KNOT))
    assert one.end is End.BACK, one.why


def test_a_neighbour_that_needs_its_switch_on_is_put_back_with_it() -> None:
    """Two neighbours move, and the board refuses one of them while a switch is off."""
    one = ran(plan_of(81008980))
    assert one.console == "dunlin"
    assert one.fired["neighbour moved"][0] > 0
    assert one.end is End.BACK, one.why


def test_a_late_reading_does_not_hide_that_a_write_was_taken() -> None:
    late = Interruption(
        faults=(LateReadBack(at=1, by_ms=900),), at_said={8: KeyboardInterrupt}
    )
    one = ran(plan(late, resumes=False))
    assert one.end is End.BACK, one.why
    assert one.fired["late read-back"][0] == 1


def test_damage_does_not_make_a_plan_stale() -> None:
    damaged = Interruption(faults=(FlippedByte(way=Way.SENT, at=3790),))
    assert ran(plan(damaged, resumes=False)).end is End.COMPLETE
