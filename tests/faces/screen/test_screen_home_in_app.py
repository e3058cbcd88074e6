"""The steps as the first page of an open board, and the pages that lead back to it."""

import pytest

from benchlink.core.confirmation import Asked as ToConfirm
from benchlink.core.confirmation import confirm_props_off
from benchlink.errors import PortLostError
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.steps.opening import OpeningPage
from benchlink.faces.screen.threads.news import (
    Asked,
    AskedFor,
    Errand,
    Progressed,
    Told,
)
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.screen.threads.work import carry_out
from benchlink.faces.screen.values.values import ValuesPage
from benchlink.faces.wiring import Bench
from benchlink.workflows.props_watch import Standing
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import SMALL, FakeEntrance, Stage

LOST = PortLostError("/dev/ttyACM0 went away", hint="Check the cable.")


async def station(stage: Stage, for_what: AskedFor) -> None:
    """Stand at a station that asks for something."""
    stage.work.holds = {Errand.STATION}
    stage.app.start_station("Centre the tilts", ("centre",))
    await stage.settle()
    stage.work.post(Asked(prompt="Now?", for_what=for_what))
    await stage.settle()


# From page to page


async def test_what_a_station_says_before_its_page_stands_is_not_lost(
    begin: Begin,
) -> None:
    def does(_: Bench, person: ScreenPerson, __: tuple[str, ...]) -> int:
        person.tell("the first word")
        person.result("and the last")
        return 0

    entrance = FakeEntrance()
    entrance.does = does
    async with begin(entrance) as stage:
        await stage.press("enter")
        stage.app.start_station("Centre", ("centre", "left"))
        await stage.settle()
        picture = stage.picture()
        assert "the first word" in picture
        assert "and the last" in picture
        assert "Done." in picture


async def test_the_values_come_back_where_they_were_left_and_are_read_again(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        await stage.press("slash", *"centre", "enter", "down", "down", "h")
        assert isinstance(stage.app.screen, HomePage)
        stage.entrance.board.set("tilt.right.centre_us", "1444")
        await stage.press("v")
        assert "names with 'centre'" in stage.text("says")
        assert "row 3 of 4" in stage.text("says")
        assert "1444" in stage.picture()


async def test_while_the_values_are_read_once_more_the_old_ones_stand_there(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        await stage.press("h")
        stage.work.holds = {Errand.READ}
        await stage.press("v")
        assert "> tilt.left.centre_us" in stage.picture()
        assert stage.text("says").startswith("reading ...")


async def test_a_reading_that_nobody_waits_for_any_more_is_dropped(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        stage.work.holds = {Errand.READ}
        await stage.press("r", "h")
        stage.work.post(Progressed(line="reading   24,512 bytes"))
        stage.work.release()
        await stage.settle()
        assert isinstance(stage.app.screen, HomePage)
        await stage.press("v", "down")
        assert "row 2 of 61" in stage.text("says")


async def test_after_a_station_the_board_is_looked_at_again(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("h")
        looked = stage.work.given.count(Errand.JOB)
        stage.app.start_station("Centre", ("centre", "left"))
        await stage.settle()
        await stage.press("enter")
        assert isinstance(stage.app.screen, HomePage)
        assert stage.work.given.count(Errand.JOB) == looked + 1


async def test_a_restart_that_a_station_made_does_not_make_a_new_reading_old(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        await stage.press("h")
        stage.entrance.board.epoch += 1
        await stage.press("v")
        page = stage.app.screen
        assert isinstance(page, ValuesPage)
        page.check()
        await stage.settle()
        assert "two readings agree" in stage.text("says")


async def test_what_was_confirmed_at_a_station_shows_beside_the_steps(
    begin: Begin,
) -> None:
    def does(bench: Bench, person: ScreenPerson, _: tuple[str, ...]) -> int:
        asked = ToConfirm(aircraft="LW-03", operator="builder", epoch=1)
        props = confirm_props_off(asked, asked.sentence, person.clock())
        bench.props.standing = Standing(props=props)
        return 0

    entrance = FakeEntrance()
    entrance.does = does
    async with begin(entrance) as stage:
        await stage.press("enter")
        assert "not confirmed" in stage.text("board")
        stage.app.start_station("Wiggle", ("outputs", "--wiggle"))
        await stage.settle()
        await stage.press("enter")
        told = " ".join(stage.text("board").split())
        assert "props OFF, said by builder; 9:" in told or "10:00 left" in told


async def test_what_is_not_unfinished_any_more_stands_on_no_page(
    begin: Begin,
) -> None:
    entrance = FakeEntrance()
    entrance.left = ("UNFINISHED: Lapwing baseline",)
    async with begin(entrance) as stage:
        await stage.press("enter", "v")
        assert "UNFINISHED" in stage.picture()
        entrance.left = ()
        await stage.press("h", "r", "v")
        assert "UNFINISHED" not in stage.picture()


async def test_news_for_the_steps_of_a_board_that_was_let_go_is_dropped(
    begin: Begin,
) -> None:
    async with begin() as stage:
        await stage.press("enter")
        stage.work.holds = {Errand.JOB}
        await stage.press("r", "p", "down", "enter")
        stage.entrance.job_fails = LOST
        stage.work.post(carry_out(*stage.work.held.pop(0)))
        await stage.settle()
        assert "BOARD GONE" not in stage.picture()
        stage.work.release()
        await stage.settle()
        assert "BOARD GONE" in stage.picture()


# Unplugged


async def test_unplugged_the_steps_say_so_and_lead_to_the_ports(begin: Begin) -> None:
    async with begin() as stage:
        await stage.press("enter")
        stage.entrance.job_fails = LOST
        await stage.press("r")
        assert "BOARD GONE: /dev/ttyACM0 went away" in stage.picture()
        assert "?? treat as LIVE" in stage.picture()
        await stage.press("enter", "t")
        assert "nothing was begun: the board is gone" in stage.text("says")
        await stage.press("p")
        assert isinstance(stage.app.screen, OpeningPage)
        assert stage.entrance.closed == 1


@pytest.mark.parametrize("for_what", [AskedFor.LINE, AskedFor.KEYS, AskedFor.NOTHING])
async def test_unplugged_at_a_station_it_ends_with_a_sentence_and_the_steps_know(
    begin: Begin, for_what: AskedFor
) -> None:
    async with begin() as stage:
        await stage.press("enter")

        def lost(*_: object) -> int:
            raise LOST

        stage.entrance.does = lost
        stage.entrance.job_fails = LOST
        await station(stage, for_what)
        stage.work.release()
        await stage.settle()
        picture = stage.picture()
        assert "/dev/ttyACM0 went away" in picture
        assert "Check the cable." in picture
        assert "Not done: see above." in picture
        await stage.press("enter")
        assert "BOARD GONE" in stage.picture()


# Windows that are too small


@pytest.mark.parametrize("for_what", [None, AskedFor.LINE, AskedFor.KEYS])
async def test_a_window_too_small_says_so_and_recovers(
    begin: Begin, for_what: AskedFor | None
) -> None:
    async with begin() as stage:
        await stage.press("enter")
        if for_what is not None:
            await station(stage, for_what)
        before = stage.picture()
        await stage.pilot.resize_terminal(59, 15)
        await stage.settle()
        small = stage.picture()
        way_out = "q to quit" if for_what is None else "ctrl+c to end the work"
        assert way_out in " ".join(small.split())
        assert "This window has 59 columns and 15 lines" in small
        assert len([line for line in small.splitlines() if line.strip()]) <= 3
        await stage.pilot.resize_terminal(*SMALL)
        await stage.settle()
        assert stage.picture() == before


async def test_what_is_typed_unseen_answers_nothing_and_what_is_said_is_kept(
    begin: Begin,
) -> None:
    async with begin() as stage:
        await stage.press("enter")
        await station(stage, AskedFor.LINE)
        await stage.pilot.resize_terminal(59, 15)
        await stage.settle()
        stage.work.post(Told(sentence="the rail has 5.0 V"))
        await stage.press(*"yes", "enter")
        await stage.pilot.resize_terminal(*SMALL)
        await stage.settle()
        picture = stage.picture()
        assert "the rail has 5.0 V" in picture
        assert "\n Now?\n yes\n" in picture
        await stage.press("enter")
        assert "Now? yes" in stage.picture()


# Talking


async def test_for_a_talk_the_screen_makes_way_once_the_board_is_free(
    begin: Begin,
) -> None:
    async with begin() as stage:
        await stage.press("enter")
        stage.work.holds = {Errand.FREE}
        await stage.press("t")
        assert [stage.app.talks_to] == [None]
        assert "is finished first" in stage.text("says")
        await stage.press("t")
        assert stage.work.given.count(Errand.FREE) == 1
        stage.work.release()
        await stage.settle()
        assert stage.entrance.closed == 0
        talks_to = stage.app.talks_to
        assert talks_to is not None
        assert talks_to.bench is stage.app.bench


async def test_while_it_looks_no_talk_begins(begin: Begin) -> None:
    async with begin() as stage:
        await stage.press("enter")
        stage.work.holds = {Errand.JOB}
        await stage.press("r", "t")
        assert "still looking" in stage.text("says")
        assert Errand.FREE not in stage.work.given
