"""Owners and the last copy on the values page."""

import shutil
from pathlib import Path

import pytest

from benchlink.faces.screen.threads import errands
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import FakeEntrance, Stage, lw03
from tests.faces.screen.values_bench import TODAY, keep_copy


@pytest.fixture
def copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> FakeEntrance:
    """A board that was copied, and one setting of it changed since."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(errands, "now", lambda: TODAY)
    entrance = FakeEntrance()
    entrance.wants = lw03()
    keep_copy(entrance.board)
    entrance.board.set("tilt.right.aft_us", "300")
    return entrance


def shown(stage: Stage) -> str:
    return stage.text("says").rsplit("of ", 1)[1]


async def test_owners_are_gone_through_and_counted(at_board: Begin) -> None:
    async with at_board() as stage:
        assert stage.text("owners").startswith("o owner:[all 61] fitted 5  board 6")
        await stage.press("o")
        assert "[fitted 5]" in stage.text("owners")
        assert "[0 all 5]" in stage.picture()
        assert shown(stage) == "5"
        await stage.press("o", "6")
        assert "[board 6]" in stage.text("owners")
        assert shown(stage) == "6"
        await stage.press("O", "O")
        assert "[all 61]" in stage.text("owners")
        assert "[6 .. left alone 56]" in stage.picture()


async def test_owner_state_and_search_count_together(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("o", "1")
        assert shown(stage) == "1"
        await stage.press("0", "slash", *"centre", "enter")
        assert shown(stage) == "3"
        assert "[0 all 5]" in stage.picture()
        await stage.press("o")
        assert "No setting to show" in stage.text("detail")


async def test_the_copy_stands_beside_and_tells_what_changed_since(
    at_board: Begin, copied: FakeEntrance
) -> None:
    async with at_board(copied) as stage:
        assert stage.text("heads").split()[3:5] == ["copy", "state"]
        assert stage.text("owners").endswith("c changed since 24 Feb 10:12: 1")
        assert "copy of 24 Feb 10:12: 1500, not changed since" in stage.text("detail")
        await stage.press("c")
        assert "> tilt.right.aft_us" in stage.picture()
        assert shown(stage) == "1"
        assert "copy of 24 Feb 10:12: 350, changed since" in stage.text("detail")
        assert "[0 all 1]" in stage.picture()
        await stage.press("c")
        assert shown(stage) == "61"


async def test_without_a_copy_the_page_says_how_to_keep_one(at_board: Begin) -> None:
    async with at_board() as stage:
        assert "copy" not in stage.text("heads") + stage.text("owners")
        await stage.press("c")
        assert "`benchlink backup` keeps one" in stage.text("says")
        assert shown(stage) == "61"


async def test_a_copy_that_is_gone_takes_its_filter_with_it(
    at_board: Begin, copied: FakeEntrance
) -> None:
    async with at_board(copied) as stage:
        await stage.press("c")
        shutil.rmtree("backups")
        await stage.press("r")
        assert shown(stage) == "61"
        assert "copy" not in stage.text("heads")


async def test_in_a_narrow_window_the_detail_lines_tell_of_the_copy_instead(
    at_board: Begin, copied: FakeEntrance
) -> None:
    async with at_board(copied, (60, 24)) as stage:
        assert "copy" not in stage.text("heads")
        assert "mark" in stage.text("heads")
        assert "copy of 24 Feb 10:12: 1500" in stage.text("detail")
