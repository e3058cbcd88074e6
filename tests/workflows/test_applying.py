"""A change that proves itself: plan, backup, write, read back, keep, restart, equal."""

import pytest

from benchlink.core.difference import compare
from benchlink.core.intent import Intent
from benchlink.errors import (
    DeclinedError,
    FileError,
    MismatchError,
    SafetyRefusalError,
)
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.planning import Prepared, prepare
from mocks.options import Options
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    STAMP,
    live,
    meet_wader,
    virtual_board,
    wanting,
    words_sent,
)
from tests.support.virtual_board import VirtualBoard

WRITING = ("let", "keep", "forget", "restart", "start")
CALM = {"pack.capacity_mah": "1800", "craft.tail_number": '"LW-05"', "steady.on": "off"}


def prepared_for(board: VirtualBoard, intent: Intent) -> Prepared:
    return prepare(meet_wader(board), ScriptedPerson(), intent)


def bring_about(
    board: VirtualBoard,
    intent: Intent,
    *,
    person: ScriptedPerson | None = None,
    shelf: Shelf | None = None,
    agreed: bool = True,
) -> Applied:
    return apply(
        prepared_for(board, intent),
        person or ScriptedPerson(),
        (shelf or Shelf()).shelves,
        STAMP,
        agreed=agreed,
    )


def test_an_applied_intent_leaves_no_difference() -> None:
    board, intent = virtual_board(), wanting(CALM)
    applied = bring_about(board, intent)
    assert compare(applied.after, intent).same
    assert applied.remarks == ()
    assert board.epoch == 2


def test_what_was_applied_is_in_the_boards_own_store() -> None:
    board = virtual_board()
    before = board.device.aircraft.kept()
    bring_about(board, wanting(CALM))
    kept = board.device.aircraft.kept()
    assert {n: kept[n] for n in CALM} == {
        "pack.capacity_mah": "1800",
        "craft.tail_number": '"LW-05"',
        "steady.on": "no",
    }
    assert {n for n in kept if kept[n] != before[n]} == set(CALM)


def test_each_value_is_written_once_then_kept_then_restarted() -> None:
    board = virtual_board()
    bring_about(board, wanting(CALM))
    words = [line.split(" ")[0] for line in words_sent(board, *WRITING)]
    assert words == ["let", "let", "let", "keep", "restart"]


def test_the_backup_is_on_the_shelf_before_the_first_write() -> None:
    board, sent = virtual_board(), list[str]()
    shelf = Shelf(at=lambda: sent.extend(words_sent(board, *WRITING)))
    before = live(board)
    applied = bring_about(board, wanting(CALM), shelf=shelf)
    (backup,) = shelf.backups
    assert sent == []
    raw = {n: s.raw for n, s in backup.snapshot.settings.items()}
    assert {n: raw[n] for n in before} == before
    assert applied.kept is not None
    assert applied.kept.path == "shelf/1"
    assert (backup.note, backup.command) == ("before the hover", "recite")


def test_no_backup_no_write() -> None:
    board = virtual_board()
    with pytest.raises(FileError, match="shelf is full"):
        bring_about(board, wanting(CALM), shelf=Shelf(full=True))
    assert not words_sent(board, *WRITING)


def test_nothing_is_written_where_nothing_differs() -> None:
    board, shelf = virtual_board(), Shelf()
    applied = bring_about(board, wanting({"pack.cells": "4"}), shelf=shelf)
    assert applied.kept is None
    assert shelf.backups == []
    assert not words_sent(board, *WRITING)


def test_live_outputs_stop_it_before_anything_is_written() -> None:
    board, shelf = virtual_board(), Shelf()
    board.device.aircraft.outputs_live = True
    with pytest.raises(SafetyRefusalError, match="LIVE"):
        bring_about(board, wanting(CALM), shelf=shelf)
    assert not words_sent(board, *WRITING)
    assert shelf.backups == []


def test_a_no_to_the_plan_writes_nothing() -> None:
    board, person = virtual_board(), ScriptedPerson(says_yes=False)
    with pytest.raises(DeclinedError):
        bring_about(board, wanting(CALM), person=person, agreed=False)
    assert len(person.plans) == 1
    assert not words_sent(board, *WRITING)


def test_a_flag_never_stands_for_hands_that_are_clear() -> None:
    board, shelf = virtual_board(), Shelf()
    intent = wanting({"tilt.left.centre_us": "1487"})
    with pytest.raises(SafetyRefusalError):
        bring_about(board, intent, person=ScriptedPerson(typed="yes"), shelf=shelf)
    assert not words_sent(board, *WRITING)
    assert shelf.backups == []


def test_typed_hands_clear_lets_a_moving_setting_through() -> None:
    board, person = virtual_board(), ScriptedPerson()
    bring_about(board, wanting({"tilt.left.centre_us": "1487"}), person=person)
    assert board.device.aircraft.kept()["tilt.left.centre_us"] == "1487"
    assert person.asked == ["Type 'hands clear' to go on: "]


def test_a_value_that_cannot_come_back_needs_its_own_yes() -> None:
    board = virtual_board(Options(settings=200))
    intent = wanting({"craft.remark": '"long arms"'})
    with pytest.raises(DeclinedError, match="give up"):
        bring_about(board, intent, person=ScriptedPerson(says_yes=False))
    assert not words_sent(board, *WRITING)
    bring_about(board, intent, person=ScriptedPerson(says_yes=True))
    assert board.device.aircraft.kept()["craft.remark"] == '"long arms"'


def test_a_plan_that_went_stale_while_it_was_looked_at_is_refused() -> None:
    board, shelf = virtual_board(), Shelf()

    def somebody_else(said: str) -> None:
        if said.startswith("Write"):
            board.device.aircraft.put("rail.warn_v", "5.1")

    person = ScriptedPerson(at=somebody_else)
    with pytest.raises(MismatchError, match="changed while") as caught:
        bring_about(board, wanting(CALM), person=person, shelf=shelf, agreed=False)
    assert caught.value.details == ("rail.warn_v",)
    assert not words_sent(board, *WRITING)
    assert shelf.backups == []


@pytest.mark.parametrize("names", ["on first", "on last"])
def test_a_setting_that_needs_another_one_first_gets_there(names: str) -> None:
    board = virtual_board()
    wanted = {"filter.notch.on": "on", "filter.notch.centre_hz": "88.5"}
    if names == "on last":
        wanted = dict(reversed(wanted.items()))
    bring_about(board, wanting(wanted))
    kept = board.device.aircraft.kept()
    assert kept["filter.notch.on"] == "yes"
    assert kept["filter.notch.centre_hz"] == "88.5"


def test_a_setting_gets_there_although_what_it_needs_goes_off() -> None:
    board = virtual_board()
    board.device.aircraft.put("filter.notch.on", "yes")
    board.device.aircraft.put("filter.notch.centre_hz", "88.5")
    bring_about(
        board,
        wanting({"filter.notch.on": "off", "filter.notch.centre_hz": "120"}),
    )
    kept = board.device.aircraft.kept()
    assert kept["filter.notch.on"] == "no"
    assert kept["filter.notch.centre_hz"] == "120.0"


def test_a_neighbour_that_is_wanted_too_is_brought_after_it_moved() -> None:
    board = virtual_board()
    wanted = {"pack.warn_v": "11.1", "pack.land_v": "10.2", "pack.cells": "3"}
    bring_about(board, wanting(wanted))
    kept = board.device.aircraft.kept()
    assert {name: kept[name] for name in wanted} == wanted


def test_a_note_beside_a_value_within_its_tolerance_is_passed_on() -> None:
    board = virtual_board()
    intent = wanting(
        {"radio.failsafe.throttle_us": "2205"},
        tolerances={"radio.failsafe.throttle_us": "10"},
    )
    applied = bring_about(board, intent)
    assert applied.remarks == ("radio.failsafe.throttle_us: limited to 2200",)


def test_a_waived_difference_is_left_as_it_is() -> None:
    board = virtual_board()
    intent = wanting(
        {**CALM, "pack.cells": "3"}, waived={"pack.cells": "bench pack this week"}
    )
    bring_about(board, intent)
    assert board.device.aircraft.kept()["pack.cells"] == "4"
