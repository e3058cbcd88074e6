"""The hands panel and the guide: fake hands in order, and a real aircraft."""

from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input

from benchlink.faces.hands import look
from benchlink.faces.screen.hands.hands_desk import HandsDesk
from benchlink.faces.screen.hands.hands_panel import HandsPanel
from benchlink.faces.screen.station.station import StationPage
from benchlink.faces.screen.steps.guide import GuidePage
from benchlink.faces.screen.threads.news import Asked, AskedFor, Handled, News, Told
from benchlink.faces.simulated import SimulatedAircraft
from benchlink.units import Seconds
from tests.faces.screen.conftest import Begin
from tests.faces.screen.hands_bench import FakeHands
from tests.faces.screen.pictured import compare
from tests.faces.screen.screen_bench import (
    CHARACTERS,
    LARGE,
    SMALL,
    FakeEntrance,
    Stage,
)


@pytest.fixture
def hands() -> FakeHands:
    return FakeHands()


@pytest.fixture
def at_bench(at_board: Begin, hands: FakeHands) -> Begin:
    """A simulated aircraft is open, and the guide was read."""

    @asynccontextmanager
    async def started(size: tuple[int, int] = SMALL) -> AsyncIterator[Stage]:
        entrance = FakeEntrance()
        entrance.hands = hands
        async with at_board(entrance, size) as stage:
            assert isinstance(stage.app.screen, GuidePage)
            await does(stage, "enter")
            yield stage

    return started


async def does(stage: Stage, *keys: str) -> None:
    """Press keys one by one, each when the one before was taken for a deed."""
    for key in keys:
        await stage.press(key)
        panel = stage.app.screen
        while isinstance(panel, HandsPanel) and panel.holds:
            await stage.pilot.pause(0.01)
        await stage.settle()


async def burst(stage: Stage, *keys: str) -> None:
    """Have keys there all at once, however slow the machine, until they were taken."""
    panel = stage.app.screen
    assert isinstance(panel, HandsPanel)
    for key in keys:
        letter = CHARACTERS.get(key, key if len(key) == 1 else None)
        stage.app.post_message(events.Key(key, letter))
    await stage.settle()
    while panel.holds:
        await stage.pilot.pause(0.01)
    await stage.settle()


async def at_question(stage: Stage, side: str = "left") -> StationPage:
    """Stand at a station that asks for a reading of a side."""
    stage.work.holds = set(type(stage.work.given[0]))
    stage.app.start_station("Centre the tilts", ("centre",))
    await stage.settle()
    page = stage.app.screen
    assert isinstance(page, StationPage)
    work = stage.work
    work.post(Told(sentence=f"the {side} tilt arm at 1500 us: where it stands."))
    work.post(Asked(prompt="The jig shows (7.5 aft): ", for_what=AskedFor.LINE))
    await stage.settle()
    return page


async def test_on_a_real_board_there_are_no_hands_and_no_guide(at_board: Begin) -> None:
    async with at_board() as stage:
        page = stage.app.screen
        await does(stage, "f2")
        assert stage.app.screen is page
        assert not isinstance(page, GuidePage)


async def test_the_guide_comes_once(at_bench: Begin) -> None:
    async with at_bench() as stage:
        await does(stage, "p", "enter")
        assert not isinstance(stage.app.screen, GuidePage)


async def test_a_key_does_what_it_says_and_then_says_the_other(
    at_bench: Begin, hands: FakeHands
) -> None:
    async with at_bench() as stage:
        await does(stage, "f2")
        assert "p     pack in " in stage.picture()
        await does(stage, "p")
        assert hands.orders == ["connect pack"]
        assert "The pack is in. Pack 15.9 V, servo rail 5.0 V." in stage.text("came")
        assert "Your hands: pack in," in stage.picture()
        assert "p     pack out " in stage.picture()
        await does(stage, "p")
        assert hands.orders[-1] == "disconnect pack"


async def test_f2_and_escape_close_it_and_help_stays_reachable(at_bench: Begin) -> None:
    async with at_bench() as stage:
        page = stage.app.screen
        for key in ("f2", "escape"):
            await does(stage, "f2")
            assert isinstance(stage.app.screen, HandsPanel)
            await does(stage, key)
            assert stage.app.screen is page
        await does(stage, "question_mark", "f2")
        assert isinstance(stage.app.screen, HandsPanel)


async def test_the_jig_of_the_side_in_question_goes_into_the_answer(
    at_bench: Begin, hands: FakeHands
) -> None:
    async with at_bench() as stage:
        page = await at_question(stage)
        await does(stage, "f2", "j")
        assert hands.orders == ["jig left"]
        assert stage.text("came") == "> The jig on the left arm shows 7.5 forward."
        await does(stage, "enter")
        assert stage.app.screen is page
        assert page.query_one("#typed", Input).value == "7.5 forward"


async def test_the_side_follows_what_is_said_and_can_be_changed(
    at_bench: Begin, hands: FakeHands
) -> None:
    async with at_bench() as stage:
        await at_question(stage, "right")
        await does(stage, "f2", "j")
        assert "It still moves: read once more." in stage.text("came")
        await does(stage, "s", "f")
        assert hands.orders == ["jig right", "horn left +1"]


async def test_it_opens_with_what_moved_and_the_eyes_begin_anew_when_it_closes(
    at_bench: Begin, hands: FakeHands
) -> None:
    async with at_bench() as stage:
        await does(stage, "f2")
        assert hands.looks == 2
        assert "the right motor turned clockwise, 812 rev/min" in stage.text("came")
        await does(stage, "p", "f2")
        assert hands.looks == 3
        assert stage.app._desks.hands.done.sentence.startswith("The pack is in.")


async def test_the_first_look_does_not_claim_that_somebody_looked_before(
    at_bench: Begin,
) -> None:
    async with at_bench() as stage:
        await does(stage, "f2")
        assert "Moved since this aircraft was opened: the" in stage.text("came")
        await does(stage, "f2", "f2")
        assert "Moved since you last looked: the" in stage.text("came")


@pytest.mark.parametrize(
    "between",
    [
        ("f2", "f2"),
        ("f",),
        ("p",),
    ],
    ids=["looked away", "moved the horn", "connected the pack"],
)
async def test_a_reading_from_before_is_not_offered(
    at_bench: Begin, between: tuple[str, ...]
) -> None:
    async with at_bench() as stage:
        page = await at_question(stage)
        await does(stage, "f2", "j")
        assert "7.5 forward into the answer" in stage.text("hand-keys")
        await does(stage, *between)
        assert "into the answer" not in stage.text("hand-keys")
        await does(stage, "enter")
        assert page.query_one("#typed", Input).value == ""


@pytest.mark.parametrize(
    "news",
    [
        Told(sentence="the left arm goes to 1600 us"),
        Asked(prompt="The jig shows: ", for_what=AskedFor.LINE),
    ],
    ids=["told", "asked"],
)
async def test_a_reading_is_old_once_the_work_goes_on(
    at_bench: Begin, news: News
) -> None:
    async with at_bench() as stage:
        await at_question(stage)
        await does(stage, "f2", "j")
        stage.work.post(news)
        await stage.settle()
        assert "into the answer" not in stage.text("hand-keys")


async def test_an_arm_that_still_moves_gives_no_answer(at_bench: Begin) -> None:
    async with at_bench() as stage:
        await at_question(stage, "right")
        await does(stage, "f2", "j")
        assert "It still moves" in stage.text("came")
        assert "into the answer" not in stage.text("hand-keys")


@pytest.mark.parametrize("asked", [True, False], ids=["a line asked for", "nothing"])
async def test_words_typed_into_it_do_nothing_and_are_told(
    at_bench: Begin, hands: FakeHands, *, asked: bool
) -> None:
    async with at_bench() as stage:
        if asked:
            await at_question(stage)
        await does(stage, "f2")
        assert ("Keys go to your hands" in stage.picture()) is asked
        words = ["space" if letter == " " else letter for letter in "hands clear"]
        await burst(stage, *words, "enter")
        assert hands.orders == []
        assert "12 keys came as fast as words are typed" in stage.text("came")
        await does(stage, "p")
        assert hands.orders == ["connect pack"]


async def test_a_key_that_is_held_down_does_nothing(
    at_bench: Begin, hands: FakeHands
) -> None:
    async with at_bench() as stage:
        await does(stage, "f2")
        await burst(stage, *["a"] * 5)
        assert hands.orders == []


async def test_a_stick_says_that_it_switches_the_transmitter_on(
    at_bench: Begin, hands: FakeHands
) -> None:
    async with at_bench() as stage:
        await does(stage, "f2", "up")
        assert hands.orders == ["stick forward"]
        assert "the transmitter is on for that" in stage.text("came")


async def test_what_is_asked_meanwhile_shows_below(at_bench: Begin) -> None:
    async with at_bench() as stage:
        await at_question(stage)
        await does(stage, "f2")
        stage.work.post(Asked(prompt="And now? ", for_what=AskedFor.LINE))
        await stage.settle()
        assert "And now?" in stage.picture()


async def test_it_turns_away_from_what_listens_for_keys(at_bench: Begin) -> None:
    async with at_bench() as stage:
        await at_question(stage)
        stage.work.post(Asked(prompt="Key: ", for_what=AskedFor.KEYS))
        await stage.settle()
        with stage.app._desks.person.keys("Key: ") as keys:
            await stage.settle()
            await does(stage, "f2", "space")
            assert keys.pressed(Seconds(0.0)) == ("other",)


async def test_what_cannot_be_done_and_an_aircraft_that_is_gone_are_told(
    at_bench: Begin, hands: FakeHands
) -> None:
    async with at_bench() as stage:
        await does(stage, "f2", "a")
        assert stage.text("came") == "> That cannot be done: the screw is stuck."
        hands.gone = True
        await does(stage, "j")
        assert "No: the simulated aircraft is gone. Start another" in stage.picture()


def test_deeds_wait_for_each_other(hands: FakeHands) -> None:
    entrance = FakeEntrance()
    entrance.hands = hands
    held: list[Callable[[], None]] = []
    told: list[News] = []
    desk = HandsDesk(entrance, told.append, held.append)
    for words in ("radio on", "pack in", "left jig"):
        desk.want(words)
    assert hands.orders == []
    while held:
        (job,) = held
        held.clear()
        job()
        handled = told.pop()
        assert isinstance(handled, Handled)
        desk.take(handled)
    assert hands.orders == ["radio on", "connect pack", "jig left"]
    assert desk.reading == "7.5 forward"


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_the_panel_leaves_the_station_readable(
    at_bench: Begin, size: tuple[int, int]
) -> None:
    async with at_bench(size) as stage:
        await at_question(stage)
        await does(stage, "f2", "w", "j")
        assert "The jig shows (7.5 aft):" in stage.picture()
        compare(stage.picture(), f"hands_{size[0]}x{size[1]}")


async def test_a_narrow_window_scrolls_the_deeds(at_bench: Begin) -> None:
    async with at_bench((60, 16)) as stage:
        await at_question(stage)
        await does(stage, "f2")
        compare(stage.picture(), "hands_60x16")
        await does(stage, *["pagedown"] * 9)
        assert "all well" in stage.picture()


async def test_a_window_too_small_shows_what_the_page_says(at_bench: Begin) -> None:
    async with at_bench() as stage:
        await does(stage, "f2")
        await stage.pilot.resize_terminal(50, 10)
        await stage.settle()
        assert "This window has 50 columns" in stage.picture()
        await stage.pilot.resize_terminal(*SMALL)
        await stage.settle()
        assert "Your hands:" in stage.picture()


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_the_guide(
    at_board: Begin, hands: FakeHands, size: tuple[int, int]
) -> None:
    entrance = FakeEntrance()
    entrance.hands = hands
    async with at_board(entrance, size) as stage:
        compare(stage.picture(), f"guide_{size[0]}x{size[1]}")


@pytest.fixture
def aircraft(tmp_path: Path) -> Iterator[SimulatedAircraft]:
    with SimulatedAircraft(("--settings", "60"), tmp_path) as started:
        yield started


async def test_with_a_real_aircraft(begin: Begin, aircraft: SimulatedAircraft) -> None:
    entrance = FakeEntrance()
    entrance.hands = aircraft
    async with begin(entrance) as stage:
        await does(stage, "enter", "enter", "f2", "p", "g", "up", "u")
        assert look(aircraft).pack
        assert stage.text("came") == "> The cable is out."
        first = aircraft.port
        await does(stage, "u")
        assert aircraft.port != first
        assert "pack in, supply off, cable in, props on, radio on" in stage.picture()
        assert "stick forward" in stage.picture()
