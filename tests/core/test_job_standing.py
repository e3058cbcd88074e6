"""How the steps of a job stand: what proves one, and what makes it be done again."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from benchlink.core.angles import Way
from benchlink.core.bench_record import Work
from benchlink.core.job_facts import Against, OnPaper, TiltNow
from benchlink.core.job_standing import Standing, StepState, standings, whose_turn
from benchlink.core.job_steps import Happening, Step, undone
from benchlink.core.roles import OwnSide
from benchlink.units import PulseUs
from tests.support.bench_records import record_of
from tests.support.job_bench import (
    ALL_DONE,
    BOARD,
    CENTRED,
    COPY,
    LEFT,
    OTHER_BOARD,
    RIGHT,
    SPUN,
    happened,
    judged,
    paper,
    word,
)

OFF = replace(BOARD, values={**BOARD.values, "mount.yaw_deg": "0.0"})


def again(states: Mapping[Step, StepState]) -> set[Step]:
    return {step for step, s in states.items() if s.standing is Standing.AGAIN}


def with_left(now: TiltNow) -> dict[OwnSide, TiltNow]:
    return {**BOARD.tilts, OwnSide.LEFT: now}


# The table


def test_every_step_needs_only_steps_that_come_before_it() -> None:
    order = list(Step)
    for step in Step:
        assert all(order.index(need) < order.index(step) for need in step.duty.needs)


def test_titles_fit_the_list_and_tell_the_steps_apart() -> None:
    titles = [step.duty.title for step in Step]
    assert len(set(titles)) == len(titles)
    assert max(map(len, titles)) <= 30


def test_what_happens_to_an_aircraft_undoes_all_that_rests_on_it() -> None:
    assert {h: undone(h) for h in Happening} == {
        Happening.BOARD: (Step.MOUNTING, Step.LEVEL, Step.CORRECTIONS),
        Happening.SERVO: (Step.WIGGLE, Step.CENTRE, Step.THROW, Step.CORRECTIONS),
        Happening.MOTOR: (
            *(Step.METER, Step.POWER, Step.SPIN, Step.SHAKE, Step.CORRECTIONS),
        ),
        Happening.RADIO: (Step.RADIO, Step.FAILSAFE),
        Happening.BATTERY: (Step.BALANCE,),
        Happening.WARMTH: (Step.LEVEL,),
    }


# Done, open, next


def test_a_job_that_is_all_on_paper_has_nothing_left() -> None:
    states = standings(paper(), BOARD)
    assert {s.standing for s in states} == {Standing.DONE}
    assert whose_turn(states) is None


def test_with_nothing_on_paper_the_first_step_is_next_and_the_rest_wait() -> None:
    bare = replace(BOARD, against=None)
    states = {s.step: s for s in standings(OnPaper(), bare)}
    assert states[Step.PAPERS].standing is Standing.NEXT
    assert states[Step.METER].standing is Standing.OPEN
    assert states[Step.METER].lacks == (Step.PAPERS,)
    assert states[Step.BASELINE].why == (
        "nobody has said yet what this aircraft should hold"
    )


def test_a_done_step_tells_when_by_whom_and_what_came_of_it() -> None:
    state = judged()[Step.CENTRE]
    assert (state.by, state.proof) == ("the assistant", "both sides are centred")
    assert state.on is not None


def test_only_one_side_centred_is_not_centred() -> None:
    state = judged([record_of(Work.CENTRE, LEFT)])[Step.CENTRE]
    assert state.standing is Standing.OPEN
    assert state.why == "the right side is still to do"


def test_each_side_may_have_a_record_of_its_own() -> None:
    records = [record_of(Work.CENTRE, LEFT), record_of(Work.CENTRE, RIGHT)]
    assert judged(records)[Step.CENTRE].standing is Standing.DONE


def test_a_step_that_this_board_cannot_do_holds_up_nothing() -> None:
    board = replace(BOARD, cannot={Step.WIGGLE: "its console drives no output"})
    records = [r for r in ALL_DONE if r.work not in {Work.OUTPUTS, Work.CENTRE}]
    states = judged(records, board)
    assert states[Step.WIGGLE].standing is Standing.NOT_HERE
    assert Step.WIGGLE not in states[Step.CENTRE].lacks


def test_where_the_tool_cannot_do_a_step_a_persons_word_counts() -> None:
    board = replace(BOARD, cannot={Step.WIGGLE: "its console drives no output"})
    state = judged([word(Step.WIGGLE, "by the sticks")], board)[Step.WIGGLE]
    assert (state.standing, state.proof) == (Standing.DONE, "by the sticks")


def test_a_persons_word_does_not_stand_for_a_proof_that_the_tool_can_give() -> None:
    assert judged([word(Step.CENTRE)])[Step.CENTRE].standing is Standing.OPEN


def test_settings_that_differ_leave_the_baseline_open() -> None:
    against = Against(title="Lapwing baseline", asked=9, off=("a", "b"))
    state = judged(board=replace(BOARD, against=against))[Step.BASELINE]
    assert state.why == "2 settings differ from Lapwing baseline"
    assert state.left


def test_layers_that_ask_for_nothing_prove_nothing() -> None:
    against = Against(title="Lapwing 3 as fitted", asked=0, off=())
    assert judged(board=replace(BOARD, against=against))[Step.BASELINE].left


def test_a_wrong_map_is_told_by_its_first_findings() -> None:
    wrong = tuple(f"finding {n}." for n in range(5))
    state = judged(board=replace(BOARD, wrong_outputs=wrong))[Step.OUTPUTS]
    assert state.why == "finding 0; finding 1; finding 2; and 2 more"


# To do again


@pytest.mark.parametrize("happening", list(Happening))
def test_what_happened_makes_exactly_its_steps_be_done_again(
    happening: Happening,
) -> None:
    states = judged((*ALL_DONE, happened(happening)))
    assert again(states) == {*undone(happening), Step.SIGN}
    assert happening.happened in states[undone(happening)[0]].why


def test_a_step_done_after_something_happened_counts() -> None:
    records = (*ALL_DONE, happened(Happening.SERVO), CENTRED)
    assert judged(records)[Step.CENTRE].standing is Standing.DONE


def test_the_first_step_to_do_again_has_its_turn_before_open_ones() -> None:
    records = (*ALL_DONE, happened(Happening.BOARD))
    turn = whose_turn(standings(paper(records), BOARD))
    assert turn is not None
    assert turn.step is Step.MOUNTING


def test_another_centre_on_the_board_is_told_with_both_numbers() -> None:
    tilts = with_left(replace(BOARD.tilts[OwnSide.LEFT], centre_us=PulseUs(1480)))
    states = judged(board=replace(BOARD, tilts=tilts))
    assert states[Step.CENTRE].why == (
        "the left centre is 1480 us now, 1487 in the record"
    )
    assert again(states) == {Step.CENTRE}


def test_a_centre_that_the_board_rounds_is_the_same() -> None:
    tilts = with_left(replace(BOARD.tilts[OwnSide.LEFT], centre_us=PulseUs(1487.4)))
    assert again(judged(board=replace(BOARD, tilts=tilts))) == set()


def test_after_a_trim_its_centre_counts_and_the_ends_go_with_it() -> None:
    trimmed = replace(LEFT, centre_us=PulseUs(1480), ends=())
    records = [
        CENTRED,
        replace(CENTRED, work=Work.THROW),
        record_of(Work.TRIM, trimmed),
    ]
    tilts = with_left(replace(BOARD.tilts[OwnSide.LEFT], centre_us=PulseUs(1480)))
    states = judged(records, replace(BOARD, tilts=tilts))
    assert states[Step.CENTRE].standing is Standing.DONE
    assert states[Step.THROW].standing is Standing.DONE


def test_another_end_on_the_board_makes_the_throw_be_done_again() -> None:
    spans = {Way.FORWARD: 360.0, Way.AFT: 300.0}
    tilts = with_left(replace(BOARD.tilts[OwnSide.LEFT], spans_us=spans))
    state = judged(board=replace(BOARD, tilts=tilts))[Step.THROW]
    assert state.why == (
        "the left aft end is 300 us from the centre now, 360 in the record"
    )


def test_a_setting_that_a_step_rests_on_has_to_be_as_it_was() -> None:
    records = [word(Step.MOUNTING, mount__yaw_deg="90")]
    assert judged(records)[Step.MOUNTING].standing is Standing.DONE
    state = judged(records, OFF)[Step.MOUNTING]
    assert state.why == "mount.yaw_deg is 0.0 now, 90 then"


def test_a_setting_that_is_gone_is_told() -> None:
    state = judged([word(Step.LEVEL, level__set="on")])[Step.LEVEL]
    assert state.why == "level.set is gone now, on then"


def test_what_did_not_come_out_right_is_to_do_again_with_its_result() -> None:
    wrong = replace(SPUN, right=False, result="Not right yet: 1 to put right.")
    state = judged([wrong])[Step.SPIN]
    assert (state.standing, state.why) == (
        Standing.AGAIN,
        "Not right yet: 1 to put right",
    )


def test_another_board_undoes_what_was_done_with_the_first() -> None:
    states = judged(board=replace(BOARD, board=OTHER_BOARD))
    of_board = {s for s in Step if s.duty.of_board}
    assert again(states) == of_board
    assert "another board" in states[Step.SPIN].why
    assert states[Step.COPY].why.startswith("the last copy is of another board")


# Signed


def test_a_setting_written_after_signing_is_named() -> None:
    board = replace(BOARD, settings="00" * 32)
    signed = replace(COPY, off=("tilt.left.centre_us",))
    states = {s.step: s for s in standings(paper(signed=signed), board)}
    assert states[Step.SIGN].why == ("changed since it was signed: tilt.left.centre_us")
    bare = judged(board=board)
    assert bare[Step.SIGN].why == "changed since it was signed: settings"


def test_work_after_signing_asks_for_another_signature() -> None:
    state = judged((*ALL_DONE, CENTRED))[Step.SIGN]
    assert state.why.startswith("worked on since it was signed: centre (2026-03-")


def test_signed_anew_asks_for_another_flight() -> None:
    states = judged((*ALL_DONE, word(Step.SIGN, "signed")))
    assert again(states) == {Step.OUTDOORS}
