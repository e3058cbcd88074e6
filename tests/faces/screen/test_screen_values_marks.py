"""What is marked, applied and waived on the values page."""

from dataclasses import replace
from pathlib import Path

import pytest
from textual import events

from benchlink.errors import PortLostError, SilentBoardError
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.threads.news import Errand
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.screen.values.values import ValuesPage
from benchlink.faces.wiring import Bench
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import FakeEntrance, Stage, lw03, wanted
from tests.faces.screen.values_bench import lw03_aircraft

Words = tuple[str, ...]


def begun(entrance: FakeEntrance) -> list[Words]:
    """The words of every station that is begun from now on."""
    words: list[Words] = []

    def does(_: Bench, __: ScreenPerson, given: Words) -> int:
        words.append(given)
        return 0

    entrance.does = does
    return words


@pytest.fixture
def entrance(tmp_path: Path) -> FakeEntrance:
    """LW-03's board: two settings could be written, one is waived."""
    whole = lw03()
    asks = (
        wanted("tilt.left.centre_us", "1512"),
        wanted("tilt.right.centre_us", "1444"),
        whole.wanted["mount.yaw_deg"],
    )
    entrance = FakeEntrance()
    entrance.wants = replace(whole, wanted={one.name: one for one in asks})
    entrance.aircraft = lw03_aircraft(tmp_path)
    return entrance


def mark_of(stage: Stage, name: str) -> str:
    """The last word of its row; the detail lines below may name it again."""
    lines = stage.picture().splitlines()
    return next(x.split()[-1] for x in lines if x[3:].startswith(name))


async def test_all_that_differ_begin_as_apply_and_are_counted(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    async with at_board(entrance) as stage:
        assert stage.text("held").endswith("apply 2, leave 0")
        assert mark_of(stage, "tilt.right.centre_us") == "apply"
        assert mark_of(stage, "mount.yaw_deg") == "waived"


async def test_space_turns_the_row_under_the_cursor(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    async with at_board(entrance) as stage:
        await stage.press("down", "space")
        assert stage.text("held").endswith("apply 1, leave 1")
        assert mark_of(stage, "tilt.right.centre_us") == "leave"
        assert "<> differs: leave" in stage.text("detail")
        await stage.press("space")
        assert stage.text("held").endswith("apply 2, leave 0")


async def test_x_turns_all_that_show_and_no_other(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    async with at_board(entrance) as stage:
        await stage.press("slash", *"right", "enter", "x", "escape")
        assert mark_of(stage, "tilt.left.centre_us") == "apply"
        assert mark_of(stage, "tilt.right.centre_us") == "leave"
        await stage.press("x")
        assert stage.text("held").endswith("apply 0, leave 2")
        await stage.press("x")
        assert stage.text("held").endswith("apply 2, leave 0")


@pytest.mark.parametrize("key", ["6", "7"])
async def test_x_says_where_no_row_that_shows_could_be_written(
    at_board: Begin, entrance: FakeEntrance, key: str
) -> None:
    async with at_board(entrance) as stage:
        await stage.press(key, "x")
        assert "no row that shows could be written" in stage.text("says")


@pytest.mark.parametrize(
    ("key", "said"),
    [("4", "w lifts the waiver"), ("6", "nobody asks for it")],
)
async def test_a_row_that_is_not_written_says_why_it_takes_no_mark(
    at_board: Begin, entrance: FakeEntrance, key: str, said: str
) -> None:
    async with at_board(entrance) as stage:
        await stage.press(key, "space")
        assert said in stage.text("says")
        assert stage.text("held").endswith("apply 2, leave 0")


async def test_marks_stay_through_search_reading_and_leaving(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    async with at_board(entrance) as stage:
        await stage.press("space", "slash", *"yaw", "escape", "o", "O", "c", "r")
        assert stage.text("held").endswith("apply 1, leave 1")
        await stage.press("h")
        assert isinstance(stage.app.screen, HomePage)
        await stage.press("v")
        assert mark_of(stage, "tilt.left.centre_us") == "leave"
        assert stage.text("held").endswith("apply 1, leave 1")


@pytest.mark.parametrize("key", ["enter", "a"])
async def test_applying_begins_the_station_with_what_is_left(
    at_board: Begin, entrance: FakeEntrance, key: str
) -> None:
    words = begun(entrance)
    async with at_board(entrance) as stage:
        await stage.press("space", key)
        assert words == [
            ("apply", "lw-03.yaml", "--leave", "tilt.left.centre_us"),
        ]
        assert isinstance(stage.app.screen, StationPage)


async def test_what_is_marked_is_applied_where_no_row_shows_as_well(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    words = begun(entrance)
    async with at_board(entrance) as stage:
        await stage.press("7", "enter")
        assert words == [("apply", "lw-03.yaml")]


async def test_enter_in_a_search_ends_the_search_and_applies_nothing(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    words = begun(entrance)
    async with at_board(entrance) as stage:
        await stage.press("slash", "a", "space", "x", "w", "enter")
        assert words == []
        assert stage.text("says").startswith("names with 'a xw'")
        assert stage.text("held").endswith("apply 2, leave 0")


async def test_with_nothing_marked_nothing_begins(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    words = begun(entrance)
    async with at_board(entrance) as stage:
        await stage.press("x", "enter")
        assert words == []
        assert "no row is marked apply" in stage.text("says")


async def test_what_blocks_is_left_or_nothing_begins(at_board: Begin) -> None:
    entrance = FakeEntrance()
    words = begun(entrance)
    async with at_board(entrance) as stage:
        assert stage.text("held").endswith("apply 1, leave 0, block 2")
        await stage.press("enter")
        assert "2 marked block cannot be written" in stage.text("says")
        assert words == []
        await stage.press("2", "space", "3", "space", "0", "enter")
        assert words[0][2:] == (
            *("--leave", "tilt.nose.centre_us"),
            *("--leave", "motor.left.idle_pct"),
        )


async def test_a_row_is_waived_and_a_waiver_lifted(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    words = begun(entrance)
    async with at_board(entrance) as stage:
        await stage.press("w", "enter", "4", "w")
        assert words == [
            ("waive", "tilt.left.centre_us"),
            ("waive", "mount.yaw_deg", "--lift"),
        ]


async def test_without_an_aircraft_nothing_is_waived(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    entrance.aircraft = None
    words = begun(entrance)
    async with at_board(entrance) as stage:
        await stage.press("w")
        assert "a waiver stands in the aircraft's folder" in stage.text("says")
        assert words == []


async def test_with_a_change_unfinished_nothing_is_applied(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    entrance.left = ("UNFINISHED: Lapwing baseline",)
    words = begun(entrance)
    async with at_board(entrance) as stage:
        await stage.press("enter")
        assert "a change is unfinished" in stage.text("says")
        assert words == []


@pytest.mark.parametrize(
    ("trouble", "said"),
    [
        (PortLostError("/dev/ttyACM0 went away"), "the board is gone"),
        (SilentBoardError("it says nothing"), "r reads the board again first"),
    ],
)
async def test_on_a_board_that_does_not_answer_nothing_begins(
    at_board: Begin,
    entrance: FakeEntrance,
    trouble: PortLostError | SilentBoardError,
    said: str,
) -> None:
    words = begun(entrance)
    async with at_board(entrance) as stage:
        entrance.board.trouble = trouble
        await stage.press("r")
        for key in ("enter", "w"):
            await stage.press(key)
            assert said in stage.text("says")
        assert words == []


async def test_while_it_is_read_nothing_begins(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    words = begun(entrance)
    async with at_board(entrance) as stage:
        stage.work.holds = {Errand.READ}
        await stage.press("r", "enter")
        assert "still reading the board" in stage.text("says")
        assert words == []


async def test_without_a_profile_there_is_nothing_to_mark_or_apply(
    at_board: Begin,
) -> None:
    async with at_board(profile=False) as stage:
        assert "mark" not in stage.text("heads") + stage.text("keys")
        await stage.press("space", "enter")
        assert "held against no profile" in stage.text("says")
        assert isinstance(stage.app.screen, ValuesPage)


async def test_after_a_station_all_is_read_anew_with_the_files_as_they_are_now(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    asked = entrance.wants

    def does(_: Bench, __: ScreenPerson, ___: Words) -> int:
        entrance.board.set("tilt.right.centre_us", "1444")
        assert not isinstance(asked, Exception)
        assert asked is not None
        entrance.wants = replace(asked, title="LW-03, amended")
        return 0

    entrance.does = does
    async with at_board(entrance) as stage:
        await stage.press("space", "down", "enter")
        looked = stage.work.given.count(Errand.JOB)
        await stage.press("enter")
        assert isinstance(stage.app.screen, ValuesPage)
        assert stage.text("held").startswith("held against: LW-03, amended")
        assert stage.text("held").endswith("apply 0, leave 1")
        assert "now 1444   wanted 1444" in stage.text("detail")
        assert stage.work.given.count(Errand.JOB) == looked
        await stage.press("h")
        assert stage.work.given.count(Errand.JOB) == looked + 1
        await stage.press("v", "h")
        assert stage.work.given.count(Errand.JOB) == looked + 1


async def test_a_check_that_nobody_went_for_is_asked_for_again(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    async with at_board(entrance) as stage:
        page = stage.app.screen
        assert isinstance(page, ValuesPage)
        stage.work.holds = {Errand.STATION}
        await stage.press("enter")
        page.check()
        await stage.settle()
        stage.work.release()
        await stage.settle()
        await stage.press("enter")
        checked = stage.work.given.count(Errand.CHECK)
        page.check()
        await stage.settle()
        assert stage.work.given.count(Errand.CHECK) == checked + 1


async def test_keys_close_behind_each_other_each_turn_a_mark(
    at_board: Begin, entrance: FakeEntrance
) -> None:
    async with at_board(entrance) as stage:
        for key in ("space", "down", "space"):
            stage.app.post_message(events.Key(key, " " if key == "space" else None))
        await stage.settle()
        assert stage.text("held").endswith("apply 0, leave 2")
