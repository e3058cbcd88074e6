"""Whole screens as plain text, one a state.

After a change that was meant: `BENCHLINK_RENEW_PICTURES=1 pytest tests/faces/screen`,
then read what the pictures now show.
"""

from pathlib import Path

import pytest

from benchlink.errors import PortBusyError, PortLostError
from benchlink.faces.screen.threads import errands
from benchlink.link.trouble import lost
from tests.faces.screen.conftest import Begin
from tests.faces.screen.pictured import compare
from tests.faces.screen.screen_bench import LARGE, SMALL, FakeEntrance
from tests.faces.screen.values_bench import TODAY, keep_copy

HUGE = (200, 60)


async def test_the_list_of_ports(begin: Begin) -> None:
    async with begin() as stage:
        compare(stage.picture(), "opening_80x24")


async def test_a_port_that_does_not_open(begin: Begin) -> None:
    entrance = FakeEntrance()
    entrance.refuses = PortBusyError(
        "/dev/ttyACM0 is in use",
        details=("process 812 (modem watcher) holds it",),
        hint="Close that program, then try again.",
    )
    async with begin(entrance) as stage:
        await stage.press("enter")
        compare(stage.picture(), "not_opened_80x24")


@pytest.mark.parametrize("size", [(60, 16), SMALL, LARGE, HUGE])
async def test_values_against_a_profile(at_board: Begin, size: tuple[int, int]) -> None:
    async with at_board(size=size) as stage:
        compare(stage.picture(), f"values_{size[0]}x{size[1]}")


@pytest.mark.parametrize("size", [(60, 16), SMALL, LARGE, HUGE])
async def test_values_beside_a_copy_with_marks(
    at_board: Begin,
    size: tuple[int, int],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(errands, "now", lambda: TODAY)
    entrance = FakeEntrance()
    keep_copy(entrance.board)
    entrance.board.set("tilt.left.centre_us", "1444")
    async with at_board(entrance, size) as stage:
        await stage.press("2", "space", "0", "home")
        compare(stage.picture(), f"values_copy_{size[0]}x{size[1]}")


async def test_one_owner_and_what_changed_only(
    at_board: Begin, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(errands, "now", lambda: TODAY)
    entrance = FakeEntrance()
    keep_copy(entrance.board)
    entrance.board.set("tilt.left.centre_us", "1444")
    async with at_board(entrance) as stage:
        await stage.press("o", "c", "enter")
        compare(stage.picture(), "values_changed_80x24")


async def test_values_without_a_profile(at_board: Begin) -> None:
    async with at_board(profile=False) as stage:
        compare(stage.picture(), "settings_only_80x24")


async def test_a_search(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("slash", *"centre")
        compare(stage.picture(), "search_80x24")


async def test_one_state_only(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("3")
        compare(stage.picture(), "impossible_80x24")


async def test_something_left_unfinished(begin: Begin) -> None:
    entrance = FakeEntrance()
    entrance.left = (
        (
            "UNFINISHED: Lapwing baseline of 2026-03-01 10:20 on wader (62 values): writing."
            " `benchlink resume` finishes it, `benchlink undo` puts the old values back."
        ),
    )
    async with begin(entrance) as stage:
        await stage.press("enter")
        assert "UNFINISHED: Lapwing baseline of 2026-03-01" in stage.picture()
        await stage.press("v")
        compare(stage.picture(), "left_unfinished_80x24")


async def test_a_lost_port(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.entrance.board.trouble = PortLostError(
            "/dev/ttyACM0 went away while it was open",
            hint=lost("/dev/ttyACM0").hint,
        )
        await stage.press("r")
        compare(stage.picture(), "port_lost_80x24")


async def test_the_help(begin: Begin) -> None:
    async with begin(size=LARGE) as stage:
        await stage.press("question_mark")
        compare(stage.picture(), "help_120x40")


async def test_a_window_too_small(begin: Begin) -> None:
    async with begin(size=(50, 10)) as stage:
        compare(stage.picture(), "too_small_50x10")
