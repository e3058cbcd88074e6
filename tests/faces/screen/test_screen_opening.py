import pytest

from benchlink.errors import PortBusyError, SafetyRefusalError
from benchlink.faces.screen.steps.home import HomePage
from benchlink.faces.screen.steps.opening import NO_PORT, OpeningPage
from benchlink.faces.screen.threads.entrance import Place
from benchlink.faces.screen.threads.news import Errand
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import (
    FIRST,
    LARGE,
    SECOND,
    SMALL,
    FakeEntrance,
    Stage,
)

BUSY = PortBusyError(
    "/dev/ttyACM0 is in use",
    details=("process 812 (modem watcher) holds it",),
    hint="Close that program, then try again.",
)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_the_list_shows_ports_and_a_simulated_aircraft(
    begin: Begin, size: tuple[int, int]
) -> None:
    async with begin(size=size) as stage:
        picture = stage.picture()
        assert "> Estuary board" in picture
        assert "/dev/ttyACM0 0007" in picture
        assert "/dev/ttyUSB3" in picture
        assert "rehearse on a simulated aircraft" in picture


async def test_a_port_that_appears_shows_up_by_itself(begin: Begin) -> None:
    entrance = FakeEntrance()
    entrance.found = ()
    async with begin(entrance) as stage:
        assert NO_PORT.split(".")[0] in stage.picture()
        entrance.found = (FIRST,)
        stage.app.screen.post_message(OpeningPage.LookWanted())
        await stage.settle()
        assert "Estuary board" in stage.picture()
        assert NO_PORT.split(".")[0] not in stage.picture()


async def test_the_timer_looks_again_and_again(begin: Begin) -> None:
    async with begin() as stage:
        for _ in range(200):
            if stage.work.given.count(Errand.LOOK) >= 2:
                break
            await stage.pilot.pause(0.02)
        assert stage.work.given.count(Errand.LOOK) >= 2


async def test_the_cursor_stays_on_its_port_when_others_come_and_go(
    begin: Begin,
) -> None:
    async with begin() as stage:
        await stage.press("down")
        third = Place(title="another", detail="", url="/dev/ttyACM9")
        stage.entrance.found = (third, FIRST, SECOND)
        stage.app.screen.post_message(OpeningPage.LookWanted())
        await stage.settle()
        assert "> /dev/ttyUSB3" in stage.picture()


async def test_a_port_that_goes_leaves_the_cursor_on_nothing_that_opens_a_board(
    begin: Begin,
) -> None:
    async with begin() as stage:
        stage.entrance.found = (SECOND,)
        stage.app.screen.post_message(OpeningPage.LookWanted())
        await stage.settle()
        assert "> rehearse on a simulated aircraft" in stage.picture()


async def looked(stage: Stage, *found: Place) -> str:
    stage.entrance.found = found
    stage.app.screen.post_message(OpeningPage.LookWanted())
    await stage.settle()
    return stage.picture()


REHEARSE = "> rehearse on a simulated aircraft"


@pytest.mark.parametrize("moved", [False, True])
async def test_the_port_that_was_open_is_waited_for_on_the_last_row(
    begin: Begin, *, moved: bool
) -> None:
    entrance = FakeEntrance()
    entrance.chosen = FIRST
    entrance.found = (SECOND,)
    async with begin(entrance) as stage:
        await stage.press("p")
        assert REHEARSE in await looked(stage, SECOND)
        third = Place(title="another", detail="", url="/dev/ttyACM9")
        assert REHEARSE in await looked(stage, SECOND, third)
        if moved:
            await stage.press("up")
        picture = await looked(stage, FIRST, SECOND, third)
        assert ("> another" if moved else "> Estuary board") in picture


@pytest.mark.parametrize(
    ("keys", "url"),
    [
        (("enter",), "/dev/ttyACM0"),
        (("down", "enter"), "/dev/ttyUSB3"),
        (("end", "enter"), "rehearse"),
        (("r",), "rehearse"),
    ],
)
async def test_a_pick_opens_what_the_cursor_is_on(
    begin: Begin, keys: tuple[str, ...], url: str
) -> None:
    async with begin() as stage:
        await stage.press(*keys)
        assert stage.entrance.opened == [url]
        assert isinstance(stage.app.screen, HomePage)


async def test_an_error_says_what_and_what_to_do_and_the_board_stays_pickable(
    begin: Begin,
) -> None:
    entrance = FakeEntrance()
    entrance.refuses = BUSY
    async with begin(entrance) as stage:
        await stage.press("enter")
        picture = stage.picture()
        assert "NOT OPENED: /dev/ttyACM0 is in use" in picture
        assert "process 812 (modem watcher) holds it" in picture
        assert "Close that program, then try again." in picture
        entrance.refuses = None
        await stage.press("enter")
        assert isinstance(stage.app.screen, HomePage)


async def test_what_the_opening_said_stands_above_its_error(begin: Begin) -> None:
    entrance = FakeEntrance()
    entrance.says = ("New console description marsh.yaml",)
    entrance.refuses = SafetyRefusalError("it is not approved")
    async with begin(entrance) as stage:
        await stage.press("enter")
        lines = stage.picture().splitlines()
        told = next(i for i, line in enumerate(lines) if "marsh.yaml" in line)
        assert "NOT OPENED: it is not approved" in lines[told + 1]


async def test_while_a_board_is_being_opened_no_second_pick_is_taken(
    begin: Begin,
) -> None:
    async with begin() as stage:
        stage.work.holds = {Errand.OPEN}
        await stage.press("enter", "r", "enter")
        assert "opening Estuary board ..." in stage.picture()
        assert stage.work.given.count(Errand.OPEN) == 1


async def test_leaving_during_an_opening_lets_go_of_the_board_that_still_comes(
    begin: Begin,
) -> None:
    async with begin() as stage:
        stage.work.holds = {Errand.OPEN}
        await stage.press("enter")
        stage.app._departure._code = 0
        stage.work.release()
        await stage.settle()
        assert stage.entrance.closed == 1


@pytest.mark.parametrize("at_once", [True, False])
async def test_what_was_named_beforehand_opens_without_the_list(
    begin: Begin, *, at_once: bool
) -> None:
    entrance = FakeEntrance()
    entrance.rehearse_at_once = at_once
    entrance.chosen = None if at_once else SECOND
    async with begin(entrance) as stage:
        assert isinstance(stage.app.screen, HomePage)
        assert entrance.opened == ["rehearse" if at_once else SECOND.url]


async def test_port_names_are_shown_as_they_are_and_never_acted_on(
    begin: Begin,
) -> None:
    entrance = FakeEntrance()
    entrance.found = (Place(title="[red]x[/]\x1b[2J", detail="[b", url="/dev/x"),)
    async with begin(entrance) as stage:
        assert "[red]x[/]\\u{1b}[2J" in stage.picture()


@pytest.mark.parametrize("key", ["q", "ctrl+q", "ctrl+c"])
async def test_leaving_from_the_list_gives_zero(begin: Begin, key: str) -> None:
    async with begin() as stage:
        await stage.press(key)
        assert stage.app.return_code == 0
        assert stage.entrance.closed == 0


async def test_the_help_opens_over_the_list_and_goes_again(begin: Begin) -> None:
    async with begin() as stage:
        await stage.press("question_mark")
        assert (
            "Nothing is written and nothing moves before you have typed that it may."
            in stage.picture()
        )
        await stage.press("end")
        assert "Take the props off before anything else" in stage.picture()
        await stage.press("escape")
        assert isinstance(stage.app.screen, OpeningPage)
