"""Scenes on the page of a station: pictures, the bell, countdowns, and what keys do."""

import threading
from dataclasses import replace

import pytest
from textual import events
from textual.widgets import Input

from benchlink.core.scene import MotorState, SceneKey
from benchlink.errors import DeclinedError
from benchlink.faces.screen.frame.help import HelpPage
from benchlink.faces.screen.station.scene_box import SceneBox
from benchlink.faces.screen.station.station import key_word
from benchlink.faces.screen.threads.news import AskedFor
from benchlink.units import Seconds
from benchlink.workflows.jig_talk import HANDS
from benchlink.workflows.nudging import ASKS, KEYS
from benchlink.workflows.tilt_view import LOOK_KEYS, READ_KEYS, WATCH
from tests.faces.screen.pictured import compare
from tests.faces.screen.scene_bench import Station, at_page
from tests.faces.screen.screen_bench import LARGE, SMALL
from tests.support.scenes import FULL_AFT, arm_of, read, spin, tilt

NONE = Seconds(0.0)
SOON = Seconds(5.0)
JIG = "The jig shows (7.5 aft; n to nudge; add `buzzes` if it hums): "
both_sizes = pytest.mark.parametrize("size", [SMALL, LARGE])


@pytest.fixture(autouse=True)
def _plain(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "TEXTUAL_THEME"):
        monkeypatch.delenv(name, raising=False)


def pictured(station: Station, name: str) -> None:
    width, height = station.size
    compare(station.picture(), f"{name}_{width}x{height}")


# Pictures.


@both_sizes
async def test_watching_which_way_the_arm_goes(size: tuple[int, int]) -> None:
    async with at_page(size=size) as station:
        await station.says(
            "The datum: 0 deg is the rotor axis square to the airframe's level line;"
            " forward is towards the nose on both sides.",
            f"Watch the top of the arm: the left tilt arm moves now. {HANDS}",
        )
        arm = replace(arm_of(), fit=arm_of().fit.forgetting())
        await station.shows(tilt(asks=WATCH, at=1540.0, arm=arm, keys=LOOK_KEYS))
        question = "Which way did it go: forward (f), aft (a), or not to be seen (n)? "
        await station.asks(question, AskedFor.LINE)
        pictured(station, "tilt_watch")


@both_sizes
async def test_a_reading_is_asked_for(size: tuple[int, int]) -> None:
    async with at_page(size=size) as station:
        await station.says("the left tilt arm at 1464 us: the pulse that the readings")
        await station.shows(tilt(read(1500.0, 3.6), keys=READ_KEYS))
        await station.asks(JIG, AskedFor.LINE)
        pictured(station, "tilt_read")


@both_sizes
async def test_nudging(size: tuple[int, int]) -> None:
    async with at_page(size=size) as station, station.listening("1466 us "):
        await station.shows(
            tilt(read(1464.0, 0.8), at=1466.0, asks=f"{ASKS}: 14", keys=KEYS)
        )
        pictured(station, "tilt_nudge")


@both_sizes
async def test_the_horn_is_to_be_moved(size: tuple[int, int]) -> None:
    async with at_page(size=size) as station:
        await station.says(
            "Mechanics first, trim last: the horn sits wrong on its spline.",
            "Screw out, horn off; move it one tooth aft; screw in with thread-lock."
            " About 2.4 deg forward will be left to trim.",
        )
        await station.shows(
            tilt(
                read(1500.0, 16.8),
                at=1500.0,
                asks="Horn: move it one tooth aft",
                horn_off=True,
            )
        )
        prompt = "Enter when it sits there, screw in, no wobble (s to stop here): "
        await station.asks(prompt, AskedFor.LINE)
        pictured(station, "tilt_horn")


@both_sizes
async def test_a_reading_within_its_tolerance(size: tuple[int, int]) -> None:
    async with at_page(size=size) as station:
        await station.says("  0.2 deg forward")
        await station.shows(tilt(read(1500.0, 3.6), read(1464.0, 0.2), asks="Read"))
        pictured(station, "tilt_within")


@both_sizes
async def test_an_end_of_the_throw(size: tuple[int, int]) -> None:
    readings = (read(1868.0, 36.1), read(1210.0, -28.8))
    arm = arm_of(*readings, low=1130.0, high=1890.0)
    async with at_page("Throw of the left tilt", size) as station:
        await station.shows(
            tilt(*readings, at=1136.0, sought=FULL_AFT, arm=arm, keys=READ_KEYS)
        )
        await station.asks(JIG, AskedFor.LINE)
        pictured(station, "tilt_throw")


@both_sizes
async def test_props_off_is_to_be_typed(size: tuple[int, int]) -> None:
    async with at_page("Spin check", size) as station:
        asks = "Look at both hubs, then type"
        await station.shows(replace(spin(), asks=asks, confirmed_for=None, keys=()))
        prompt = "assistant, type `props off LW-03` once you have looked: "
        await station.asks(prompt, AskedFor.LINE)
        pictured(station, "spin_confirm")


@both_sizes
async def test_a_motor_that_a_key_can_run(size: tuple[int, int]) -> None:
    prompt = "left at 8 %. Props off counts for 9 min 12 s more. Key: "
    async with at_page("Spin check", size) as station, station.listening(prompt):
        await station.shows(spin())
        pictured(station, "spin_ready")


@both_sizes
async def test_a_motor_that_runs(size: tuple[int, int]) -> None:
    async with at_page("Spin check", size) as station, station.listening(""):
        await station.shows(spin(MotorState.RUNNING))
        await station.later(0.2)
        pictured(station, "spin_running")


@both_sizes
async def test_a_motor_of_which_nobody_knows(size: tuple[int, int]) -> None:
    async with at_page("Spin check", size) as station:
        asks = "PULL THE PACK, from behind the disc"
        await station.shows(replace(spin(MotorState.NOT_KNOWN), asks=asks, keys=()))
        station.page.failed(DeclinedError("the spin check was left", hint=""))
        await station.pilot.pause()
        pictured(station, "spin_unknown")


@pytest.mark.parametrize("size", [(60, 16), (200, 60)])
async def test_the_smallest_and_a_large_window(size: tuple[int, int]) -> None:
    async with at_page(size=size) as station:
        await station.shows(tilt(read(1464.0, 0.2), keys=READ_KEYS))
        await station.asks(JIG, AskedFor.LINE)
        pictured(station, "tilt_read")


# The scene itself.


async def test_without_a_scene_its_place_is_empty() -> None:
    async with at_page() as station:
        assert not station.page.query_one(SceneBox).display


async def test_a_window_too_small_shows_no_scene_and_comes_back() -> None:
    async with at_page() as station:
        await station.shows(tilt(read(1464.0, 0.2)))
        await station.pilot.resize_terminal(50, 10)
        assert "LEFT TILT" not in station.picture()
        await station.pilot.resize_terminal(*LARGE)
        assert "LEFT TILT" in station.picture()


async def test_each_right_reading_rings_once() -> None:
    async with at_page() as station:
        first, second = read(1464.0, 0.2), read(1464.0, 0.2)
        for reading in (read(1500.0, 3.6), first, first):
            await station.shows(tilt(reading))
        assert station.app.bells == 1
        await station.shows(tilt(second))
        assert station.app.bells == 2


async def test_a_right_reading_is_told_a_while_though_the_arm_moves_on() -> None:
    async with at_page() as station:
        right = read(1464.0, 0.2)
        await station.shows(tilt(right))
        await station.shows(tilt(right, at=1440.0), after_s=0.5)
        assert "WITHIN" in station.scene()
        await station.later(4.0)
        assert "WITHIN" not in station.scene()


async def test_a_wrong_reading_ends_the_praise_of_the_one_before() -> None:
    async with at_page() as station:
        await station.shows(tilt(read(1464.0, 0.2)))
        await station.shows(tilt(read(1464.0, 2.0)), after_s=0.1)
        assert "WITHIN" not in station.scene()


async def test_of_scenes_that_come_fast_the_latest_is_drawn() -> None:
    async with at_page() as station:
        box = station.page.query_one(SceneBox)
        await station.shows(tilt(at=1400.0))
        drawn = box.drawn
        for pulse in range(1401, 1500):
            box.show_scene(tilt(at=float(pulse)))
        assert box.drawn == drawn
        while box.drawn == drawn:
            await station.pilot.pause(0.01)
        assert box.drawn == drawn + 1
        assert box.scene == tilt(at=1499.0)


async def test_at_the_end_the_scene_goes() -> None:
    async with at_page() as station:
        await station.shows(tilt())
        assert station.page.query_one(SceneBox).display
        station.page.ended(0)
        await station.pilot.pause()
        assert not station.page.query_one(SceneBox).display


# Keys.


async def test_the_run_key_does_nothing_before_keys_are_asked_for() -> None:
    async with at_page() as station:
        await station.pilot.press("space")
        async with station.listening() as keys:
            assert keys.pressed(NONE) == ()


@pytest.mark.parametrize("key", ["f1", "pageup", "pagedown", "tab", "left_shift", "f9"])
async def test_any_key_without_a_word_reaches_the_workflow_and_nothing_else(
    key: str,
) -> None:
    async with at_page() as station, station.listening() as keys:
        await station.pilot.press(key)
        assert keys.pressed(NONE) == ("other",)
        assert station.app.screen is station.page


@pytest.mark.parametrize("key", ["alt+h", "ctrl+space", "super+1", "shift+space"])
def test_a_letter_with_a_modifier_is_not_the_letter(key: str) -> None:
    """Terminals that tell all keys tell the letter beside the modifier."""
    letter = {"space": " "}.get(key[-5:], key[-1])
    assert key_word(events.Key(key, letter)) == "other"


async def test_looking_at_another_window_stops() -> None:
    async with at_page() as station, station.listening() as keys:
        station.app.post_message(events.AppBlur())
        await station.pilot.pause()
        assert keys.pressed(SOON) == ("other",)
        station.app.post_message(events.AppFocus())
        await station.pilot.pause()
        assert keys.pressed(NONE) == ()


async def test_another_page_over_this_one_stops() -> None:
    async with at_page() as station, station.listening() as keys:
        station.app.push_screen(HelpPage())
        await station.pilot.pause()
        assert keys.pressed(SOON) == ("other",)


async def test_a_paste_stops() -> None:
    async with at_page() as station, station.listening() as keys:
        station.app.post_message(events.Paste("   "))
        await station.pilot.pause()
        assert keys.pressed(SOON) == ("other",)


async def test_a_stop_counts_before_the_page_knows_that_keys_are_asked_for() -> None:
    async with at_page() as station:
        with station.person.keys("") as keys:
            await station.pilot.press("x")
            assert keys.pressed(NONE) == ("x",)


async def test_a_typed_line_is_no_key() -> None:
    async with at_page() as station:
        with station.person.keys("") as keys:
            await station.asks(JIG, AskedFor.LINE)
            await station.pilot.press("7", "space")
            assert keys.pressed(NONE) == ()
            assert station.page.query_one(Input).value == "7 "


async def test_help_opens_where_no_key_is_waited_for() -> None:
    async with at_page() as station:
        await station.pilot.press("f1")
        assert isinstance(station.app.screen, HelpPage)


async def test_a_nudge_leaves_before_anything_is_drawn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Drawing is held up until the nudge has left: if it waited, it would never leave."""
    left, drawn_late = threading.Event(), []

    async with at_page() as station, station.listening() as keys:

        def work() -> None:
            if keys.pressed(SOON) == ("up",):
                left.set()

        def drawing(_: SceneBox) -> None:
            drawn_late.append(left.wait(SOON))

        monkeypatch.setattr(SceneBox, "redraw", drawing)
        worker = threading.Thread(target=work)
        worker.start()
        await station.pilot.press("up")
        await station.shows(tilt(at=1474.0, keys=(SceneKey("up", "10 us"),)))
        worker.join()
        assert left.is_set()
        assert all(drawn_late)
