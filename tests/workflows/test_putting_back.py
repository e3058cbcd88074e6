"""Whatever goes wrong before the keep, the board holds what it held, and that is proved."""

from collections.abc import Callable, Mapping
from typing import Final, final

import pytest

from benchlink.core.intent import Intent
from benchlink.errors import (
    BenchError,
    BoardError,
    MismatchError,
    RefusedError,
    SilentBoardError,
)
from benchlink.workflows.apply import apply
from benchlink.workflows.planning import prepare
from benchlink.workflows.roll_back import LATER, MAYBE_KEPT, POWER_CYCLE
from mocks.aircraft import Aircraft
from mocks.options import Options
from mocks.store import StoreError
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

BACK: Final = "Nothing was kept; every old value is back, read again and equal."
BACK_KEPT: Final = "Every old value is back, kept, and equal after the restart."


@final
class FullFlash:
    """Keeps nothing, and says so."""

    def load(self) -> dict[str, str] | None:
        return None

    def save(self, values: dict[str, str]) -> None:
        msg = f"no room for {len(values)} values"
        raise StoreError(msg)


@final
class LyingFlash:
    """Keeps nothing, and says that all was kept."""

    def __init__(self, holds: dict[str, str]) -> None:
        self._holds = holds

    def load(self) -> dict[str, str] | None:
        return dict(self._holds)

    def save(self, values: dict[str, str]) -> None:
        assert values


def failing(
    board: VirtualBoard,
    intent: Intent,
    person: ScriptedPerson | None = None,
    kind: type[BenchError] = MismatchError,
) -> BenchError:
    """Apply an intent that must fail, and give the failure."""
    someone = person or ScriptedPerson()
    prepared = prepare(meet_wader(board), someone, intent)
    with pytest.raises(kind) as caught:
        apply(prepared, someone, Shelf().shelves, STAMP, agreed=True)
    return caught.value


def failing_untouched(board: VirtualBoard, wanted: Mapping[str, str]) -> BenchError:
    """The same, where the board must come back to what it held."""
    before, kept = live(board), board.device.aircraft.kept()
    error = failing(board, wanting(wanted))
    assert error.hint == BACK
    assert live(board) == before
    assert board.device.aircraft.kept() == kept
    assert not words_sent(board, "keep", "restart", "forget", "start")
    return error


def test_a_refused_write_is_told_in_the_boards_words() -> None:
    error = failing_untouched(
        virtual_board(), {"craft.call": '"reed"', "pack.capacity_mah": "99999"}
    )
    assert error.details == (
        (
            "pack.capacity_mah: asked for 99999, the board holds 1550;"
            " it refused: 99999 is above 30000"
        ),
    )


def test_a_silently_rounded_value_is_shown_asked_and_stored() -> None:
    error = failing_untouched(virtual_board(), {"mount.yaw_deg": "12.3"})
    assert error.details == (
        (
            "mount.yaw_deg: asked for 12.3, the board holds 12.5;"
            " it said that all was well"
        ),
    )


def test_a_limited_value_is_shown_with_the_boards_note() -> None:
    error = failing_untouched(virtual_board(), {"radio.failsafe.throttle_us": "2900"})
    assert error.details == (
        (
            "radio.failsafe.throttle_us: asked for 2900, the board holds 2200;"
            " it noted: limited to 2200"
        ),
    )


def test_a_neighbour_that_moved_unasked_is_named() -> None:
    error = failing_untouched(virtual_board(), {"pack.cells": "3"})
    assert error.details == (
        "pack.warn_v: nobody asked for it, yet it went from 14.0 to 10.5",
        "pack.land_v: nobody asked for it, yet it went from 13.2 to 9.9",
    )


def test_a_setting_that_needs_another_one_that_stays_off_is_refused() -> None:
    error = failing_untouched(virtual_board(), {"filter.notch.centre_hz": "88"})
    assert "needs filter.notch.on yes first" in error.details[0]


def test_a_switch_that_others_need_goes_back_after_them() -> None:
    failing_untouched(
        virtual_board(),
        {
            "filter.notch.on": "on",
            "filter.notch.centre_hz": "88",
            "mount.yaw_deg": "12.3",
        },
    )


def test_a_neighbour_that_moves_while_things_are_put_back_is_put_back_too() -> None:
    board = virtual_board()
    board.device.aircraft.put("pack.warn_v", "14.4")
    error = failing_untouched(
        board,
        {
            "pack.cells": "3",
            "pack.warn_v": "14.4",
            "pack.land_v": "13.2",
            "mount.yaw_deg": "12.3",
        },
    )
    assert len(error.details) == 1


def test_a_board_that_says_done_and_stores_nothing_is_caught(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    board = virtual_board()
    monkeypatch.setattr(board.device.aircraft, "write", _agree_to_everything)
    error = failing_untouched(board, {"pack.capacity_mah": "1800"})
    assert error.details == (
        (
            "pack.capacity_mah: asked for 1800, the board holds 1550;"
            " it said that all was well"
        ),
    )
    # The old value is written as well: what was said may show late.
    assert len(words_sent(board, "let")) == 4 + 1


def _agree_to_everything(_name: str, _given: str) -> None:
    """Say nothing and do nothing."""


def writes_once(board: VirtualBoard, monkeypatch: pytest.MonkeyPatch) -> None:
    """From the second write on the board says that all is well and does nothing."""
    write, calls = board.device.aircraft.write, list[str]()

    def works_once(name: str, given: str) -> str | None:
        calls.append(name)
        return write(name, given) if len(calls) == 1 else None

    monkeypatch.setattr(board.device.aircraft, "write", works_once)


def test_what_no_line_puts_back_is_put_back_by_a_restart(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    board = virtual_board()
    writes_once(board, monkeypatch)
    error = failing(board, wanting({"pack.cells": "3"}))
    assert "every old value is back" in error.hint
    assert live(board)["pack.cells"] == "4"


def test_a_board_that_cannot_put_back_is_not_said_to_be_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    board = virtual_board()
    writes_once(board, monkeypatch)
    monkeypatch.setattr(board.device.aircraft, "load", lambda: None)
    error = failing(board, wanting({"pack.cells": "3"}))
    assert "could NOT be put back" in error.hint
    assert "pack.cells: asked for 4, the board holds 3" in error.hint
    assert "a power cycle brings the kept values back" in error.hint


def test_an_interrupt_in_the_middle_of_writing_puts_everything_back() -> None:
    board, writes = virtual_board(), list[str]()

    def interrupt(said: str) -> None:
        if said.startswith("writing") and not writes:
            writes.extend(words_sent(board, "let"))
            if writes:
                raise KeyboardInterrupt

    person = ScriptedPerson(at=interrupt)
    before, kept = live(board), board.device.aircraft.kept()
    intent = wanting({f"output.p{n}.rate_hz": "100" for n in range(1, 5)})
    prepared = prepare(meet_wader(board), person, intent)
    with pytest.raises(KeyboardInterrupt):
        apply(prepared, person, Shelf().shelves, STAMP, agreed=True)
    assert writes
    assert live(board) == before
    assert board.device.aircraft.kept() == kept
    assert person.told[-1] == BACK


def test_a_reading_that_never_settles_after_the_writing_says_so() -> None:
    board = virtual_board()
    count = iter(range(1000, 2000))

    def noisy(data: bytes) -> bytes:
        if not words_sent(board, "let"):
            return data
        return data.replace(b"mah: 1550", b"mah: %d" % next(count))

    board.damage = noisy
    error = failing(board, wanting({"craft.call": '"reed"'}), kind=BoardError)
    assert "no two readings" in str(error)
    assert "Nothing was changed" not in error.hint
    assert "could NOT be put back" in error.hint


def test_a_refused_keep_puts_everything_back() -> None:
    board = virtual_board()
    before = live(board)
    board.device.aircraft._store = FullFlash()
    error = failing(board, wanting({"pack.capacity_mah": "1800"}), kind=RefusedError)
    assert str(error) == "the board refused to keep: the store cannot be written"
    assert error.hint == BACK_KEPT
    assert live(board) == before
    # Whatever a board refuses to keep: only a restart shows what it holds.
    assert words_sent(board, "restart")


def test_a_keep_that_kept_nothing_is_found_by_the_restart() -> None:
    board = virtual_board()
    board.device.aircraft._store = LyingFlash(board.device.aircraft.kept())
    error = failing(board, wanting({"pack.capacity_mah": "1800"}))
    assert str(error) == "after the restart the board does not hold what was kept"
    assert error.details == ("pack.capacity_mah: kept 1800, after the restart 1550",)
    assert error.hint == BACK_KEPT


def swallow_answer(board: VirtualBoard, word: str) -> Callable[[bytes], bytes]:
    """The first bytes that come after a word was sent are lost on the way."""
    lost: list[bytes] = []

    def damage(data: bytes) -> bytes:
        if words_sent(board, word) and not lost:
            lost.append(data)
            return b""
        return data

    return damage


def test_a_lost_answer_to_the_keep_is_decided_by_the_restart() -> None:
    board, person = virtual_board(), ScriptedPerson()
    prepared = prepare(
        meet_wader(board), person, wanting({"pack.capacity_mah": "1800"})
    )
    board.damage = swallow_answer(board, "keep")
    apply(prepared, person, Shelf().shelves, STAMP, agreed=True)
    assert board.device.aircraft.kept()["pack.capacity_mah"] == "1800"
    assert (
        "the answer to the keep is missing (the board echoed 'kept 60 settings');"
        " reading again will show" in person.told
    )


def test_a_lost_answer_of_a_keep_that_failed_is_found_by_the_restart() -> None:
    board = virtual_board()
    board.device.aircraft._store = LyingFlash(board.device.aircraft.kept())
    board.damage = swallow_answer(board, "keep")
    error = failing(board, wanting({"pack.capacity_mah": "1800"}))
    assert "after the restart 1550" in error.details[0]


def test_a_reading_that_never_settles_after_the_restart_names_the_backup() -> None:
    board = virtual_board()
    count = iter(range(1000, 2000))

    def noisy(data: bytes) -> bytes:
        if not words_sent(board, "restart"):
            return data
        return data.replace(b"mah: 1550", b"mah: %d" % next(count))

    board.damage = noisy
    error = failing(board, wanting({"craft.call": '"reed"'}), kind=BoardError)
    assert "Nothing was changed" not in error.hint
    assert "shelf/1" in error.hint


def test_a_setting_that_vanishes_after_the_restart_is_told() -> None:
    board = virtual_board(Options(settings=60))

    def shrink(aircraft: Aircraft) -> None:
        for name in ("rail.warn_v", "pack.capacity_mah"):
            aircraft.settings.pop(name, None)

    person = ScriptedPerson(
        at=lambda said: (
            shrink(board.device.aircraft) if said.startswith("restarting") else None
        )
    )
    error = failing(board, wanting({"pack.capacity_mah": "1800"}), person)
    assert error.details == (
        "pack.capacity_mah: kept 1800, after the restart it is gone",
        "rail.warn_v: nobody asked for it, yet it changed",
    )


def test_a_board_that_falls_silent_while_written_to_is_not_called_unchanged() -> None:
    board = virtual_board()
    board.damage = lambda data: b"" if words_sent(board, "let") else data
    error = failing(board, wanting({"craft.call": '"reed"'}), kind=SilentBoardError)
    assert error.hint == f"{POWER_CYCLE} {LATER}"


def test_an_interrupt_during_the_restart_says_what_is_not_known() -> None:
    def interrupt(said: str) -> None:
        if said.startswith("reading after the restart"):
            raise KeyboardInterrupt

    board, person = virtual_board(), ScriptedPerson(at=interrupt)
    prepared = prepare(
        meet_wader(board), person, wanting({"pack.capacity_mah": "1800"})
    )
    with pytest.raises(KeyboardInterrupt):
        apply(prepared, person, Shelf().shelves, STAMP, agreed=True)
    assert "NOT put back" in person.told[-1]
    assert MAYBE_KEPT in person.told[-1]
    assert "shelf/1" in person.told[-1]
