"""Trims of a transmitter, with the sticks in a hand at a simulated board."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.errors import SafetyRefusalError, UsageError
from benchlink.units import PulseUs
from benchlink.workflows.session import meet
from benchlink.workflows.stick_trims import (
    StickTrims,
    channels,
    read_stick_trims,
    still_trimmed,
)
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import meet_wader, virtual_board, wader
from tests.support.virtual_board import VirtualBoard

MIDDLE = PulseUs(1500.0)


def sticks(board: VirtualBoard, **by_prompt: tuple[int, int]) -> Callable[[str], None]:
    """Where channels 2 and 4 are put when a prompt holds a word."""

    def act(said: str) -> None:
        for word, (pitch, yaw) in by_prompt.items():
            if word in said:
                board.device.aircraft.physical.set("channel-2", str(pitch))
                board.device.aircraft.physical.set("channel-4", str(yaw))

    return act


def read(board: VirtualBoard, typed: str = "", **moves: tuple[int, int]) -> StickTrims:
    person = ScriptedPerson(typed=typed, at=sticks(board, **moves))
    return read_stick_trims(meet_wader(board), person, 36.0, MIDDLE)


def test_both_trims_become_degrees_by_the_travel_of_their_sticks() -> None:
    trims = read(
        virtual_board(),
        Transmitter=(1520, 1500),
        sends=(1120, 1500),
        turns=(1520, 1900),
    )

    # A stick that falls to fly forward: 20 of 400 us above the middle are 1.8 deg aft.
    assert trims.lean.together_deg == pytest.approx(-1.8)
    assert trims.lean.opposed_deg == pytest.approx(0.0)
    assert trims.numbers == (2, 4)


def test_a_mixed_stick_tilts_less_than_the_throw() -> None:
    trims = read(
        virtual_board(),
        "18,0",
        Transmitter=(1500, 1520),
        sends=(1900, 1520),
        turns=(1500, 1920),
    )

    assert trims.lean.opposed_deg == pytest.approx(0.9)
    assert trims.said[1].answer == "18 deg"


@pytest.mark.parametrize(
    ("typed", "sends", "turns", "why"),
    [
        ("", (1500, 1500), (1500, 1900), "no channel moved"),
        ("", (1900, 1500), (1900, 1500), "channel 2 was held over both times"),
        ("", (1900, 1900), (1500, 1900), "moved together"),
        ("40", (1900, 1500), (1500, 1900), "no size up to the throw"),
        ("-5", (1900, 1500), (1500, 1900), "no size up to the throw"),
        ("0", (1900, 1500), (1500, 1900), "no size up to the throw"),
        ("a bit", (1900, 1500), (1500, 1900), "no size up to the throw"),
    ],
)
def test_what_is_not_understood_ends_it(
    typed: str, sends: tuple[int, int], turns: tuple[int, int], why: str
) -> None:
    with pytest.raises(UsageError, match=why):
        read(virtual_board(), typed, Transmitter=(1500, 1500), sends=sends, turns=turns)


def test_a_live_board_is_asked_nothing_of() -> None:
    board = virtual_board()
    board.device.aircraft.outputs_live = True
    person = ScriptedPerson()

    with pytest.raises(SafetyRefusalError):
        read_stick_trims(meet_wader(board), person, 36.0, MIDDLE)
    assert not person.asked


def test_a_console_without_channels_says_so_before_anybody_is_asked() -> None:
    board, person = virtual_board(), ScriptedPerson()
    mute = meet(board, Grammar(replace(wader(), readings=())))

    with pytest.raises(UsageError, match="does not tell the channels") as told:
        read_stick_trims(mute, person, 36.0, MIDDLE)
    assert "drifts forward 0.5" in told.value.hint
    assert not person.asked


def test_what_is_left_of_the_trims_is_told_by_channel() -> None:
    board = virtual_board()
    trims = read(
        board, Transmitter=(1520, 1480), sends=(1900, 1480), turns=(1520, 1900)
    )
    sticks(board, zeroed=(1502, 1480))("zeroed")

    left = still_trimmed(trims, channels(meet_wader(board)), MIDDLE)

    assert left == [
        "Channel 4 still stands at 1480 us, not 1500: zero its trim before it flies."
    ]
