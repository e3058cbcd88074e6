"""Wires on which saying something takes longer than a board may keep silent."""

from dataclasses import replace

import pytest

from benchlink.console.description import NO_PAUSE, Echo, Manner
from benchlink.console.lanes import Lane, Pending
from benchlink.console.pace import Pace
from benchlink.console.phases import Phase
from benchlink.console.progress import Progress
from benchlink.console.template import template
from benchlink.console.unfinished import SETTLE
from benchlink.core.exchange import Answer, AnswerForm, Ending, Verdict
from benchlink.units import BITS_A_BYTE, Baud, Seconds, baud
from tests.console.talking import FORM, MANNER, Desk, answer_to, command

SLOW = baud(9600)
SLOWEST = baud(1200)
PIECE = 8
"""Bytes that come at once."""

CHATTERING = replace(MANNER, chatter=(template("."), template("log {text}")))
MUTE = replace(CHATTERING, echo=Echo.NONE)
SILENT = AnswerForm(ends=Ending.PROMPT, refused=FORM.refused, needs_word=False)
"""All that is not refused is done."""
LOG = b"\r\nlog 12.5 radio waiting\r\n@ "
WRITE = "set tilt.left.centre_us 1510"


def slowly(desk: Desk, data: bytes, speed: Baud) -> None:
    """The board says something at this speed."""
    for at in range(0, len(data), PIECE):
        piece = data[at : at + PIECE]
        desk.passes(len(piece) * BITS_A_BYTE / speed)
        desk.says(piece)


def drawn(line: str) -> bytes:
    """The echo of a line that is drawn anew with each character."""
    return b"".join(b"\b" * n + line[: n + 1].encode() for n in range(len(line)))


def begun(manner: Manner, speed: Baud | None, line: str, form: AnswerForm) -> Desk:
    """A desk with one command on its way."""
    desk = Desk(manner, speed=speed).ready()
    desk.order(command(line, form))
    assert desk.lines_sent() == [line]
    return desk


def ended(desk: Desk) -> Answer | None:
    return desk.answers().get(1)


def test_an_echo_drawn_slowly_is_no_silence() -> None:
    desk = begun(MANNER, SLOW, WRITE * 2, FORM)
    echo = drawn(WRITE * 2)
    assert len(echo) * BITS_A_BYTE / SLOW > 2
    slowly(desk, echo + b"\r\ndone\r\n@ ", SLOW)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.OK


def test_a_long_line_is_no_silence() -> None:
    desk = begun(MANNER, SLOW, "list", FORM)
    slowly(desk, answer_to("list", "x" * 3000), SLOW)
    answer = ended(desk)
    assert answer is not None
    assert answer.lines == ("x" * 3000,)


def test_a_board_that_types_a_hundred_characters_a_second_may_say_long_lines() -> None:
    desk = begun(MANNER, None, "list", FORM)
    slowly(desk, answer_to("list", "x" * 200), Baud(1000))
    answer = ended(desk)
    assert answer is not None
    assert answer.trusted


def test_a_long_line_is_not_the_quiet_that_ends_an_answer() -> None:
    quiet = replace(FORM, ends=Ending.QUIET, needs_word=False)
    desk = begun(replace(MUTE, prompt=template("@ ")), SLOW, "list", quiet)
    slowly(desk, b"a: 1\r\n" + b"x" * 400 + b"\r\n", SLOW)
    desk.passes(0.5)
    answer = ended(desk)
    assert answer is not None
    assert answer.lines == ("a: 1", "x" * 400)


@pytest.mark.parametrize("echo", [Echo.PLAIN, Echo.NONE])
def test_a_command_on_its_way_is_no_silence(echo: Echo) -> None:
    speed = baud(300)
    desk = begun(replace(MANNER, echo=echo), speed, WRITE * 2, FORM)
    desk.passes((len(WRITE * 2) + 1) * BITS_A_BYTE / speed + 0.8)
    assert ended(desk) is None
    desk.passes(0.3)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.UNANSWERED


def test_nor_is_the_way_of_one_that_another_was_answered_before() -> None:
    progress = Progress(Pace(SLOWEST, NO_PAUSE, Seconds(1)), Seconds(1))
    progress.step(Seconds(2))
    data = WRITE.encode()
    second = Pending(2, Lane.BULK, command(WRITE), data, arrives=Seconds(3))
    assert progress.overdue_at(second) == Seconds(4)


def test_a_short_patience_begins_when_the_command_has_arrived() -> None:
    desk = Desk(MUTE, speed=SLOWEST).ready()
    ticket = desk.order(command(WRITE, SILENT, within=0.2))
    desk.passes((len(WRITE) + 1) * BITS_A_BYTE / SLOWEST)
    slowly(desk, b"sorry: " + b"x" * 60 + b"\r\n@ ", SLOWEST)
    assert desk.answers()[ticket].remark == "x" * 60


def test_an_answer_waits_behind_what_the_board_had_still_to_print() -> None:
    desk = begun(CHATTERING, SLOWEST, "list", FORM)
    slowly(desk, LOG * 6, SLOWEST)
    slowly(desk, answer_to("list", "a: 1"), SLOWEST)
    answer = ended(desk)
    assert answer is not None
    assert answer.lines == ("a: 1",)


@pytest.mark.parametrize("speed", [None, SLOW, baud(115_200)])
@pytest.mark.parametrize("said", [b".", b"\r\n.\r\n@ ", LOG])
def test_chatter_keeps_no_dead_board_alive(speed: Baud | None, said: bytes) -> None:
    desk = begun(CHATTERING, speed, "list", FORM)
    for _ in range(6):
        desk.says(said)
        desk.passes(0.35)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.UNANSWERED


@pytest.mark.parametrize(
    ("speed", "bytes_a_tenth"), [(baud(115_200), 1152), (None, 1152), (None, 100_000)]
)
@pytest.mark.parametrize("before", [b"", b"list\r\n"])
def test_a_board_that_never_ends_its_line_is_given_up(
    speed: Baud | None, bytes_a_tenth: int, before: bytes
) -> None:
    desk = begun(MANNER, speed, "list", FORM)
    desk.says(before)
    for _ in range(100):
        desk.says(b"x" * bytes_a_tenth)
        desk.passes(0.1)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.UNANSWERED


# What crosses a command on its way to a board that does not echo


def test_a_prompt_said_before_the_command_arrived_does_not_answer_it() -> None:
    desk = begun(MUTE, SLOW, WRITE, SILENT)
    desk.says(LOG[:2])
    desk.passes(0.002)
    desk.says(LOG[2:])
    desk.passes(0.9)
    assert ended(desk) is None
    desk.says(b"sorry: above 1500\r\n@ ")
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.REFUSED
    assert answer.lines == ()


def test_nor_does_one_that_more_chatter_ends() -> None:
    desk = begun(MUTE, SLOW, WRITE, SILENT)
    desk.says(LOG + LOG)
    desk.passes(0.03)
    desk.says(b"sorry: above 1500\r\n@ ")
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.REFUSED


def test_nor_does_one_that_much_later_chatter_ends() -> None:
    desk = begun(MUTE, SLOW, WRITE, SILENT)
    desk.says(LOG)
    desk.passes(0.5)
    desk.says(LOG[:-2])
    assert ended(desk) is None
    desk.says(b"sorry: above 1500\r\n@ ")
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.REFUSED


def test_nor_does_one_that_came_with_more_behind_it() -> None:
    desk = begun(MUTE, SLOW, WRITE, SILENT)
    desk.passes(0.04)
    desk.says(b"@ " + LOG)
    assert ended(desk) is None


def test_nor_one_behind_chatter_that_the_board_had_still_to_print() -> None:
    desk = begun(MUTE, SLOWEST, WRITE, SILENT)
    slowly(desk, LOG + LOG, SLOWEST)
    desk.passes(0.1)
    assert ended(desk) is None
    slowly(desk, b"sorry: above 1500\r\n@ ", SLOWEST)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.REFUSED


def test_a_prompt_that_came_later_does() -> None:
    desk = begun(MUTE, SLOW, WRITE, SILENT)
    desk.passes((len(WRITE) + 1) * BITS_A_BYTE / SLOW)
    slowly(desk, b"@ ", SLOW)
    desk.passes(SETTLE)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.OK


def test_the_prompt_said_again_behind_the_first_is_the_answer() -> None:
    desk = begun(MUTE, SLOW, WRITE, SILENT)
    desk.says(b"\r\n.\r\n@ ")
    desk.passes(0.035)
    assert ended(desk) is None
    desk.says(b"@ ")
    desk.passes(SETTLE)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.OK


def test_the_line_of_the_prompt_that_chatter_left_is_no_value() -> None:
    desk = begun(MUTE, SLOW, "tell tilt.left.centre_us", FORM)
    desk.says(b"\r\n.\r\n@ ")
    desk.passes(0.05)
    desk.says(b"1500\r\ndone\r\n@ ")
    answer = ended(desk)
    assert answer is not None
    assert answer.lines == ("1500",)
    assert answer.raw == b"1500\r\n"


# A speed that only stands on paper


def test_where_nothing_else_comes_an_early_prompt_is_taken_in_the_end() -> None:
    desk = begun(MUTE, SLOW, WRITE, SILENT)
    desk.says(b"@ ")
    desk.passes(1.1)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.OK
    assert desk.stands(Phase.READY)


def test_a_wire_seen_to_be_faster_than_its_speed_is_not_waited_for() -> None:
    desk = begun(MUTE, SLOW, "list", FORM)
    desk.says(b"x" * 900 + b"\r\ndone\r\n@ ")
    desk.passes(0.1)
    second = desk.order(command(WRITE, SILENT))
    desk.says(b"@ ")
    desk.passes(SETTLE)
    assert desk.answers()[second].verdict is Verdict.OK


def test_a_restart_that_cuts_a_line_off_is_seen_on_a_slow_wire() -> None:
    desk = Desk(MANNER, speed=SLOWEST).ready()
    desk.order(command("restart", FORM, alone=True, restarts=True))
    slowly(desk, b"restart\r\ndone\r\n@", SLOWEST)
    desk.passes(0.1)
    slowly(desk, b"wader boot 3\r\n@ ", SLOWEST)
    desk.passes(SETTLE * 2)
    answer = ended(desk)
    assert answer is not None
    assert answer.verdict is Verdict.OK
    assert desk.stands(Phase.READY)
