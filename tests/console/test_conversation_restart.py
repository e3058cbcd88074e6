from dataclasses import replace

import pytest

from benchlink.console.description import Wake
from benchlink.console.lanes import Lane
from benchlink.console.phases import Phase
from benchlink.core.exchange import Verdict
from benchlink.units import Seconds, baud
from mocks.options import Options
from tests.console.talking import MANNER, Desk, answer_to, command, wader
from tests.support.virtual_board import VirtualBoard

QUIET_MANNER = replace(MANNER, wake=Wake.NOTHING)


@pytest.fixture
def desk() -> Desk:
    return Desk().ready()


def restarted(desk: Desk) -> int:
    ticket = desk.order(command("restart", alone=True, restarts=True))
    desk.says(answer_to("restart"))
    return ticket


def test_a_restart_is_over_when_banner_and_prompt_have_come(desk: Desk) -> None:
    ticket = restarted(desk)
    waiting = desk.submit("plate")
    desk.passes(1)
    assert desk.stands(Phase.WAKING)
    assert desk.lines_sent() == ["restart"]
    desk.says(b"\r\nwader boot 3\r\nradio: waiting\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)
    assert desk.answers()[ticket].trusted
    desk.says(answer_to("plate"))
    assert desk.answers()[waiting].trusted


def test_a_prompt_without_the_banner_is_no_restart(desk: Desk) -> None:
    restarted(desk)
    desk.says(b"\r\n@ ")
    desk.passes(MANNER.back_within - 0.1)
    assert desk.stands(Phase.WAKING)
    assert desk.sent == [b"restart\r"]
    desk.passes(0.2)
    assert desk.silent


def test_the_answer_the_banner_and_the_prompt_may_come_in_one_piece(desk: Desk) -> None:
    desk.order(command("restart", alone=True, restarts=True))
    desk.says(answer_to("restart") + b"\r\nwader boot 3\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


@pytest.mark.parametrize("cut", range(len(b"\r\nwader boot 3\r\n@ ")))
def test_the_banner_may_be_cut_anywhere(desk: Desk, cut: int) -> None:
    said = b"\r\nwader boot 3\r\n@ "
    desk.order(command("restart", alone=True, restarts=True))
    desk.says(answer_to("restart") + said[:cut])
    desk.says(said[cut:])
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_a_restart_with_a_note_is_a_restart(desk: Desk) -> None:
    desk.order(command("restart", alone=True, restarts=True))
    desk.says(answer_to("restart", status="note: soon"))
    assert desk.stands(Phase.WAKING)


def test_a_refused_restart_is_none(desk: Desk) -> None:
    desk.order(command("restart", alone=True, restarts=True))
    desk.says(answer_to("restart", status="sorry: armed"))
    assert desk.stands(Phase.READY)


def test_a_stop_during_a_restart_leaves_and_does_not_shorten_it(desk: Desk) -> None:
    restarted(desk)
    stop = desk.submit("halt", Lane.STOP)
    desk.passes(MANNER.patience + 4)
    assert desk.lines_sent() == ["restart", "halt"]
    assert desk.answers()[stop].verdict is Verdict.UNANSWERED
    assert not desk.silent
    desk.says(b"\r\nwader boot 3\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


def test_without_a_banner_the_prompt_from_before_the_restart_does_not_count() -> None:
    desk = Desk(replace(QUIET_MANNER, banner=())).ready()
    restarted(desk)
    desk.passes(1)
    assert desk.stands(Phase.WAKING)
    desk.says(b"\r\nhello\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)


# Against the simulated board


def test_a_simulated_board_answers_restarts_and_answers_again() -> None:
    board = VirtualBoard(
        wader(), Options(settings=60, baud=115_200), speed=baud(115200)
    )
    assert board.now > 0.6
    restart = command("restart", alone=True, restarts=True)
    assert board.restart(restart, Seconds(10)).trusted
    board.become_ready()
    answers = board.ask([command("plate"), command("recite tilt.left.centre_us")])
    assert [a.lines[-1] for a in answers][1] == "tilt.left.centre_us: 1500"
    assert board.device.boots == 2
    assert board.device.dropped == 0
