"""The person as a workflow sees them on the full screen: pauses, endings, long waits."""

import threading
import time
from collections.abc import Callable

import pytest

from benchlink.errors import SafetyRefusalError
from benchlink.faces.held import HELD_FOR, LET_GO
from benchlink.faces.screen.threads.news import Asked, News, Staged, Told
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.units import Seconds
from tests.faces.screen.scene_bench import Hand, at_page
from tests.support.scenes import spin

LONG = Seconds(30.0)
SOON_S = 10.0


class Desk:
    """A person of whom the test hears all that is said."""

    def __init__(self) -> None:
        self.clock = Hand()
        self.posted: list[News] = []
        self.person = ScreenPerson(self.posted.append, self.clock)

    @property
    def told(self) -> list[str]:
        return [news.sentence for news in self.posted if isinstance(news, Told)]


def interrupted_soon(desk: Desk, does: Callable[[], object]) -> float:
    """Interrupt it from another thread; how long it then took to end, in seconds."""
    began = time.monotonic()
    other = threading.Timer(0.05, desk.person.interrupt)
    other.start()
    with pytest.raises(KeyboardInterrupt):
        does()
    other.join()
    return time.monotonic() - began


def test_an_interrupt_ends_a_pause_at_once() -> None:
    desk = Desk()
    assert interrupted_soon(desk, lambda: desk.person.pause(LONG)) < SOON_S


def test_a_pause_that_nobody_ends_passes() -> None:
    Desk().person.pause(Seconds(0.01))


def test_an_interrupt_ends_a_wait_for_keys_at_once() -> None:
    desk = Desk()
    with desk.person.keys("Key: ") as keys:
        assert interrupted_soon(desk, lambda: keys.pressed(LONG)) < SOON_S


def test_what_is_told_while_an_interrupt_waits_is_not_lost() -> None:
    desk = Desk()
    desk.person.interrupt()
    with pytest.raises(KeyboardInterrupt):
        desk.person.tell("NOT stopped: pull the pack")
    assert desk.told == ["NOT stopped: pull the pack"]


def test_a_scene_heeds_an_interrupt_and_is_shown() -> None:
    desk, scene = Desk(), spin()
    desk.person.interrupt()
    with pytest.raises(KeyboardInterrupt):
        desk.person.show_scene(scene)
    assert desk.posted == [Staged(scene=scene)]


def test_other_words_than_yes_and_no_are_asked_again_as_at_a_terminal() -> None:
    typed, asked = iter(["ye", "yes"]), list[str]()

    def post(news: News) -> None:
        if isinstance(news, Asked) and news.prompt:
            asked.append(news.prompt)
            person.answer(next(typed))

    person = ScreenPerson(post, Hand())
    assert person.agrees("Go on?")
    assert asked == ["Go on? [yes/no]", "Not 'ye': Go on? [yes/no]"]


def test_nothing_is_held_for_somebody_who_does_not_answer() -> None:
    desk, held = Desk(), []

    def hold() -> None:
        held.append(desk.clock.now)
        desk.clock.on(HELD_FOR / 3 + 1)

    with pytest.raises(SafetyRefusalError, match="nobody answered for 3 minutes"):
        desk.person.reads("The jig shows: ", hold)
    assert len(held) == 3
    assert desk.told == [LET_GO]


async def test_it_rings_for_whoever_looks_elsewhere() -> None:
    async with at_page() as station:
        station.page.take(Told(sentence=LET_GO, rings=True))
        await station.pilot.pause()
        assert station.app.bells == 1
        assert "the servo is let go" in station.picture()
