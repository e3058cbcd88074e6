"""Keys that nudge an arm: how far they reach, and what stands for proven in the end."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import final

import pytest

from benchlink.core.approach import REST_S
from benchlink.core.doors import Keys
from benchlink.core.moving import Arm
from benchlink.core.roles import OwnSide
from benchlink.core.servo_part import Turns
from benchlink.errors import RefusedError, SafetyRefusalError
from benchlink.units import PulseUs, Seconds
from benchlink.workflows.nudging import Nudged, nudge
from benchlink.workflows.tilt_view import TiltView
from tests.support.people import StillPerson
from tests.support.scenes import UPRIGHT, arm_of

START = PulseUs(1500.0)
ENTER = ("enter",)
ESCAPE = ("escape",)
Pressed = tuple[str, ...]


@final
class NotedTilt:
    """Notes what it is told; some pulses the board does not take."""

    def __init__(self, takes: Callable[[PulseUs], bool] = lambda _: True) -> None:
        self.at: PulseUs | None = START
        self.told: list[tuple[str, float]] = []
        self.takes = takes

    def to(self, pulse: PulseUs) -> None:
        self.told.append(("to", pulse))
        if not self.takes(pulse):
            msg = "out of range"
            raise RefusedError(msg)
        self.at = pulse

    def nudge(self, pulse: PulseUs) -> None:
        self.told.append(("nudge", pulse))
        self.at = pulse

    def hold(self) -> None:
        self.told.append(("hold", self.at or 0.0))

    def let_go(self) -> None:
        raise NotImplementedError

    def hand_words(self, pulse: PulseUs) -> str:
        raise NotImplementedError

    @property
    def pulses(self) -> list[tuple[str, float]]:
        return [one for one in self.told if one[0] != "hold"]


@final
class KeyPerson(StillPerson):
    """Presses what the script holds, read by read; `()` is a read without a key."""

    def __init__(self, script: Iterable[Pressed]) -> None:
        self.script = list(script)
        self.said: list[str] = []
        self.waited: list[Seconds] = []
        self.tell = self.said.append

    def show(self, text: str) -> None:
        """Nobody looks."""

    def pressed(self, within: Seconds) -> Pressed:
        self.waited.append(within)
        return self.script.pop(0)

    @contextmanager
    def keys(self, prompt: str) -> Iterator[Keys]:  # noqa: ARG002 - the door's shape
        yield self

    def progress(self, advance: object) -> None:
        raise NotImplementedError

    def done(self) -> None:
        raise NotImplementedError

    def show_plan(self, plan: object) -> None:
        raise NotImplementedError

    def agrees(self, question: str) -> bool:
        raise NotImplementedError

    def whispers(self, prompt: str) -> str:
        raise NotImplementedError

    def types(self, prompt: str) -> str:
        raise NotImplementedError

    def waits_for(
        self,
        word: str,
        within: Seconds,
        prompt: Callable[[Seconds], str],
        meanwhile: Callable[[], None],
    ) -> bool:
        raise NotImplementedError


def nudged(
    *script: Pressed, tilt: NotedTilt | None = None, arm: Arm | None = None
) -> tuple[Nudged | None, NotedTilt, KeyPerson]:
    tilt, arm = tilt or NotedTilt(), arm or arm_of()
    person = KeyPerson(script)
    view = TiltView(person, OwnSide.LEFT, UPRIGHT)
    found = nudge(tilt, person, view, arm, START)
    assert person.script == []
    return found, tilt, person


def typed(digits: str) -> list[Pressed]:
    return [(digit,) for digit in digits]


def test_what_is_read_was_told_once_more_and_taken() -> None:
    found, tilt, _ = nudged(("up",), ("right",), ENTER)
    assert tilt.pulses == [("nudge", 1510.0), ("nudge", 1512.0), ("to", 1512.0)]
    assert found is not None
    assert (found.pulse_us, found.rising) == (1512.0, True)


def test_keys_that_came_together_with_enter_are_proven_too() -> None:
    _, tilt, _ = nudged(("up", "enter"))
    assert tilt.pulses == [("nudge", 1510.0), ("to", 1510.0)]


def test_where_nothing_was_nudged_nothing_is_told() -> None:
    found, tilt, _ = nudged(ENTER)
    assert (found, tilt.pulses) == (None, [])


def test_a_nudge_that_the_board_refuses_is_not_read() -> None:
    tilt = NotedTilt(lambda pulse: pulse < 1515)
    found, _, person = nudged(("up",), ("up",), ENTER, ("down",), ENTER, tilt=tilt)
    assert found is not None
    assert found.pulse_us == 1510.0
    assert tilt.pulses[2:] == [("to", 1520.0), ("nudge", 1510.0), ("to", 1510.0)]
    assert any("does not take 1520 us" in sentence for sentence in person.said)


def test_the_way_back_is_proven_as_well() -> None:
    found, tilt, _ = nudged(("up",), ESCAPE)
    assert tilt.pulses[1:] == [("nudge", 1500.0), ("to", 1500.0)]
    assert found is None


def test_a_place_before_that_is_refused_now_is_nobodys_reading() -> None:
    tilt = NotedTilt(lambda pulse: pulse > 1505)
    with pytest.raises(RefusedError):
        nudged(("up",), ESCAPE, tilt=tilt)


@pytest.mark.parametrize("digits", ["1999", "1200", "900", "1701"])
def test_a_pulse_out_of_reach_moves_nothing_at_all(digits: str) -> None:
    found, tilt, person = nudged(*typed(digits), ENTER, ENTER)
    assert (found, tilt.pulses) == (None, [])
    told = "\n".join(person.said)
    assert f"{digits} us: not moved. Open now: 1300 to 1700 us" in told


def test_the_range_of_the_servo_counts_in_a_wider_window_too() -> None:
    wide = arm_of(low=500.0, high=2500.0)
    _, tilt, person = nudged(*typed("2100"), ENTER, ENTER, arm=wide)
    assert tilt.pulses == []
    assert "the servo takes 1000 to 2000 us" in person.said[-1]


@pytest.mark.parametrize("digits", ["1", "15", "15000", "150000", "00015"])
def test_only_three_or_four_digits_are_a_pulse(digits: str) -> None:
    found, tilt, person = nudged(*typed(digits), ENTER, ENTER)
    assert (found, tilt.pulses) == (None, [])
    assert "three or four digits" in person.said[-1]


def test_a_digit_can_be_taken_back() -> None:
    _, tilt, _ = nudged(*typed("1525"), ("backspace",), ("0",), ENTER, ENTER)
    assert tilt.pulses == [("nudge", 1520.0), ("to", 1520.0)]


@pytest.mark.parametrize("key", ["other", "x", "space", "up", "left"])
def test_any_other_key_clears_what_is_half_typed(key: str) -> None:
    _, tilt, _ = nudged(("1",), ("6",), (key,), ("2",), ("0",), ENTER, ENTER)
    assert all(abs(pulse - START) <= 10 for _, pulse in tilt.pulses)


def test_a_held_key_at_the_edge_is_told_once_and_sends_nothing() -> None:
    narrow = arm_of(low=1495.0, high=1505.0)
    _, tilt, person = nudged(*[("up",)] * 5, ("right",), ("up",), ENTER, arm=narrow)
    assert tilt.pulses == [("nudge", 1502.0), ("to", 1502.0)]
    said = [sentence for sentence in person.said if "not moved" in sentence]
    assert [sentence.partition(" us")[0] for sentence in said] == ["1510", "1512"]


def test_an_edge_that_is_met_again_is_told_again() -> None:
    narrow = arm_of(low=1495.0, high=1505.0)
    _, _, person = nudged(("up",), ("right",), ("left",), ("up",), ENTER, arm=narrow)
    said = [sentence for sentence in person.said if "not moved" in sentence]
    assert [sentence.partition(" us")[0] for sentence in said] == ["1510", "1510"]


def test_the_way_back_is_open_though_it_leads_out_of_the_window() -> None:
    found, tilt, _ = nudged(("up",), ESCAPE, arm=arm_of(low=1505.0))
    assert (found, tilt.at) == (None, START)


def test_a_long_way_rests_between_its_hops() -> None:
    arm = arm_of()
    hop_deg = 100 * abs(arm.fit.slope_deg_per_us)
    rest_s = hop_deg / 60 * arm.fit.part.s_per_60_deg / 0.7 + REST_S
    quiet = [()] * 2
    found, tilt, person = nudged(*typed("1670"), ENTER, *quiet, ENTER, arm=arm)
    assert tilt.pulses == [("to", 1600.0), ("nudge", 1670.0), ("to", 1670.0)]
    assert sum(person.waited[5:7]) == pytest.approx(rest_s)
    assert tilt.told.count(("hold", 1600.0)) == len(quiet)
    assert found is not None
    assert found.rest_s > rest_s


def test_any_key_ends_a_long_way() -> None:
    found, tilt, person = nudged(*typed("1670"), ENTER, ("space",), ENTER)
    assert tilt.pulses == [("to", 1600.0)]
    assert "A key ended the way at 1600 us." in person.said
    assert found is not None
    assert found.pulse_us == 1600.0


def test_the_way_back_is_not_broken_off() -> None:
    keys = (*typed("1670"), ENTER, (), (), ESCAPE, ("escape",), ())
    found, tilt, _ = nudged(*keys)
    assert tilt.pulses[-3:] == [("to", 1570.0), ("nudge", 1500.0), ("to", 1500.0)]
    assert found is None


@pytest.mark.parametrize(
    "script",
    [
        [("gone",)],
        [("up", "gone")],
        [("1", "5", "2", "0", "enter", "gone")],
        [("enter", "gone")],
    ],
)
def test_a_closed_terminal_moves_nothing(script: list[Pressed]) -> None:
    tilt = NotedTilt()
    with pytest.raises(SafetyRefusalError, match="nobody is at the terminal any more"):
        nudged(*script, tilt=tilt)
    assert tilt.pulses == []


def test_a_terminal_that_closes_on_a_long_way_ends_it_there() -> None:
    tilt = NotedTilt()
    with pytest.raises(SafetyRefusalError, match="nobody is at the terminal"):
        nudged(*typed("1670"), ENTER, ("gone",), tilt=tilt)
    assert tilt.pulses == [("to", 1600.0)]


@pytest.mark.parametrize(
    ("turns", "words"),
    [
        (Turns.FORWARD, "left shorter; longer tilts forward."),
        (Turns.AFT, "left shorter; longer tilts aft."),
        (Turns.NOT_KNOWN, "left shorter."),
    ],
)
def test_the_keys_are_told_with_what_they_do(turns: Turns, words: str) -> None:
    arm = arm_of(turns=Turns.FORWARD if turns is Turns.NOT_KNOWN else turns)
    if turns is Turns.NOT_KNOWN:
        arm = replace(arm, fit=replace(arm.fit, log_odds=0.0))
    _, _, person = nudged(ENTER, arm=arm)
    assert (
        "Up 10 us longer, down shorter; right 2 us longer, " + words in person.said[0]
    )
