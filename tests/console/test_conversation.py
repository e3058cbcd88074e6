from dataclasses import replace

import pytest

from benchlink.console.conversation import HEARD_BYTES
from benchlink.console.description import Wake
from benchlink.console.events import Answered, BecameReady, Heard, Replaced, Silent
from benchlink.console.lanes import Lane
from benchlink.console.phases import Phase
from benchlink.console.unfinished import SETTLE
from benchlink.console.waking import WAKE_EVERY
from benchlink.core.exchange import Verdict
from benchlink.errors import MisuseError
from tests.console.talking import MANNER, Desk, answer_to, command

QUIET_MANNER = replace(MANNER, wake=Wake.NOTHING)


@pytest.fixture
def desk() -> Desk:
    return Desk().ready()


# Opening


def test_opening_wakes_the_board_and_waits_for_a_prompt_that_stands_still() -> None:
    desk = Desk()
    desk.passes(0.6)
    assert desk.sent == [b"\x15"] * 3
    desk.says(b"\r\n@ ")
    desk.passes(SETTLE / 2)
    assert desk.stands(Phase.WAKING)
    desk.passes(SETTLE)
    assert desk.events == [Heard(""), BecameReady()]


def test_a_prompt_that_goes_on_is_boot_chatter_and_not_ready() -> None:
    desk = Desk()
    desk.says(b"store: empty\r\n@ ")
    desk.passes(SETTLE / 2)
    desk.says(b"radio: waiting\r\n")
    desk.passes(SETTLE * 2)
    assert desk.stands(Phase.WAKING)
    desk.says(b"@ ")
    desk.passes(SETTLE * 2)
    assert desk.stands(Phase.READY)


def test_nothing_but_a_stop_leaves_before_the_board_is_ready() -> None:
    desk = Desk(QUIET_MANNER)
    desk.submit("plate")
    desk.submit("p1 1500", Lane.LIVE, "p1")
    desk.submit("state", Lane.WATCH)
    desk.passes(0.5)
    assert desk.sent == []
    desk.submit("halt", Lane.STOP)
    assert desk.sent == [b"halt\r"]


def test_a_line_end_wakes_a_board_without_an_abandon_byte() -> None:
    desk = Desk(replace(MANNER, wake=Wake.LINE_END))
    desk.passes(WAKE_EVERY / 2)
    assert desk.sent == [b"\r"]


def test_a_silent_board_is_reported_at_the_patience_with_what_it_said() -> None:
    desk = Desk()
    ticket = desk.submit("plate")
    desk.says(b"\xff" * 1000)
    desk.passes(MANNER.patience - 0.01)
    assert not desk.silent
    desk.passes(0.02)
    assert desk.events[-1] == Silent(b"\xff" * HEARD_BYTES)
    assert desk.answers()[ticket].verdict is Verdict.UNANSWERED
    assert desk.stands(Phase.FAILED)


def test_what_is_asked_of_a_failed_conversation_is_unanswered_at_once() -> None:
    desk = Desk(QUIET_MANNER)
    desk.passes(4)
    ticket = desk.submit("plate")
    assert desk.answers()[ticket].remark == Phase.FAILED.value
    assert desk.sent == []


# Answers


def test_an_answer_comes_back_under_its_ticket(desk: Desk) -> None:
    ticket = desk.submit("plate")
    assert desk.sent == [b"plate\r"]
    desk.says(answer_to("plate", "type wader"))
    answer = desk.answers()[ticket]
    assert answer.trusted
    assert answer.lines == ("type wader",)


def test_bytes_after_an_answer_survive_for_the_next(desk: Desk) -> None:
    first = desk.submit("plate")
    desk.says(answer_to("plate"))
    second, third = desk.submit("state"), desk.submit("hum")
    desk.says(answer_to("state") + b"hum\r\nall is w")
    assert set(desk.answers()) == {first, second}
    desk.says(b"ell\r\ndone\r\n@ ")
    assert desk.answers()[third].lines == ("all is well",)


def test_chatter_between_answers_is_heard_and_answers_nothing(desk: Desk) -> None:
    desk.says(b"radio: link\r\n@ ")
    ticket = desk.submit("plate")
    desk.says(answer_to("plate"))
    answered = Answered(ticket, desk.answers()[ticket])
    assert desk.events == [Heard("@ radio: link"), answered]
    assert answered.answer.trusted
    desk.says(b"\r\nlog: warm\r\n@ ")
    assert desk.events[-1] == Heard("log: warm")


def test_a_refusal_is_a_trusted_answer_and_costs_no_trust(desk: Desk) -> None:
    ticket = desk.submit("let a be 9")
    desk.says(answer_to("let a be 9", status="sorry: too much"))
    assert desk.answers()[ticket].verdict is Verdict.REFUSED
    assert desk.stands(Phase.READY)


@pytest.mark.parametrize(
    "line", ["a\rkeep", "a\nb", "a\x15", "\u202e", "\u0430" * 41, "x" * 81]
)
def test_a_line_that_is_not_plain_or_too_long_is_our_mistake(
    desk: Desk, line: str
) -> None:
    with pytest.raises(MisuseError):
        desk.submit(line)
    desk.passes(2)
    assert desk.sent == []


# Doubt


def test_a_missing_answer_is_given_up_when_its_time_is_over(desk: Desk) -> None:
    ticket = desk.order(command("plate", within=0.5))
    desk.passes(0.49)
    assert desk.answers() == {}
    desk.passes(0.02)
    assert desk.answers()[ticket].verdict is Verdict.UNANSWERED
    assert desk.stands(Phase.WAKING)


def test_an_answer_that_goes_on_is_not_given_up(desk: Desk) -> None:
    ticket = desk.order(command("recite", within=0.5))
    desk.says(b"recite\r\n")
    for _ in range(10):
        desk.passes(0.4)
        desk.says(b"  a: 1\r\n")
    desk.says(b"done\r\n@ ")
    assert len(desk.answers()[ticket].lines) == 10


def test_a_prompt_from_before_a_missing_answer_proves_nothing(desk: Desk) -> None:
    desk.submit("plate")
    second = desk.submit("state")
    desk.passes(1.2)
    assert desk.lines_sent() == ["plate"]
    assert b"\x15" in desk.sent
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.lines_sent() == ["plate", "state"]
    desk.says(answer_to("state"))
    assert desk.answers()[second].trusted


def test_a_board_that_dies_is_silent_however_much_is_still_to_ask(desk: Desk) -> None:
    tickets = [desk.submit(f"recite {n}") for n in range(50)]
    desk.passes(1 + MANNER.patience + 0.1)
    assert desk.silent
    assert set(desk.answers()) == set(tickets)


def test_a_late_answer_is_never_taken_for_the_next_one(desk: Desk) -> None:
    desk.submit("recite a")
    second = desk.submit("recite a")
    desk.passes(1.1)
    desk.says(b"recite a\r\na: old\r\ndone\r\n@ \r\n@ ")
    desk.passes(0.1)
    assert desk.lines_sent() == ["recite a", "recite a"]
    desk.says(answer_to("recite a", "a: new"))
    assert desk.answers()[second].lines == ("a: new",)


def test_a_late_status_is_never_taken_for_the_next_one(desk: Desk) -> None:
    desk.submit("let a be 1")
    desk.says(b"let a be 1\r\n")
    second = desk.submit("let a be 2")
    desk.passes(1.1)
    desk.says(b"done\r\n@ ")
    desk.passes(0.1)
    desk.says(answer_to("let a be 2", status="sorry: no"))
    assert desk.answers()[second].verdict is Verdict.REFUSED


def test_a_wrong_echo_damages_the_answer_and_ends_the_wide_window(desk: Desk) -> None:
    first = desk.submit("plate")
    desk.says(answer_to("plbte"))
    assert desk.answers()[first].verdict is Verdict.DAMAGED
    desk.passes(0.1)
    for line in ("a", "b", "c"):
        desk.submit(line)
    for line in ("a", "b", "c"):
        assert desk.lines_sent()[-1] == line
        desk.says(answer_to(line))
    assert all(a.trusted for t, a in desk.answers().items() if t != first)


def test_an_answer_without_a_status_is_damaged_once_the_prompt_stands(
    desk: Desk,
) -> None:
    ticket = desk.submit("plate")
    desk.says(b"plate\r\ntype wader\r\n@ ")
    assert desk.answers() == {}
    desk.passes(SETTLE * 1.5)
    assert desk.answers()[ticket].verdict is Verdict.DAMAGED


def test_a_doubt_drops_what_would_be_stale_later(desk: Desk) -> None:
    desk.submit("plate")
    watch = desk.submit("state", Lane.WATCH)
    live = desk.submit("p1 1500", Lane.LIVE, "p1")
    desk.passes(1.01)
    assert {e for e in desk.events if isinstance(e, Replaced)} == {
        Replaced(watch),
        Replaced(live),
    }


def test_a_long_answer_after_a_doubt_outlasts_the_patience(desk: Desk) -> None:
    desk.submit("plate")
    desk.says(answer_to("plate"))
    desk.submit("state")
    ticket = desk.submit("hum")
    assert desk.lines_sent() == ["plate", "state", "hum"]
    desk.says(b"stbte\r\ndone\r\n@ hum\r\n")
    for _ in range(10):
        desk.passes(0.5)
        desk.says(b"hm\r\n")
    desk.says(b"done\r\n@ ")
    desk.passes(0.1)
    assert desk.answers()[ticket].trusted
    assert desk.stands(Phase.READY)
    assert not desk.silent


@pytest.mark.parametrize("noise", [20, 5000])
@pytest.mark.parametrize("redraw", [b"\r\x1b[K", b"\r\x1b[2K"])
def test_a_prompt_may_be_drawn_over_noise_that_is_erased(
    noise: int, redraw: bytes
) -> None:
    desk = Desk(QUIET_MANNER)
    desk.says(b"\xff" * noise + redraw + b"@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY) is (noise == 20 or redraw == b"\r\x1b[K")
    desk.says(b"\r\n@ ")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)
