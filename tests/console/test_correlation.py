import pytest

from benchlink.console.correlation import Correlation, Settled
from benchlink.console.framing import Framing
from benchlink.console.lanes import Lane, Pending
from benchlink.console.terminal import Line
from benchlink.core.exchange import Verdict
from benchlink.errors import MisuseError
from tests.console.talking import MANNER, command


@pytest.fixture
def desk() -> Correlation:
    return Correlation(Framing(MANNER))


def send(desk: Correlation, *lines: str) -> list[Pending]:
    sent = [
        Pending(n, Lane.BULK, command(line), f"{line}\r".encode())
        for n, line in enumerate(lines)
    ]
    for one in sent:
        desk.sent(one)
    return sent


def say(desk: Correlation, *texts: str) -> list[Settled]:
    lines = [Line(text, f"{text}\r\n".encode()) for text in texts]
    return [one for line in lines for one in desk.line(line)]


def verdicts(settled: list[Settled]) -> list[tuple[str, Verdict]]:
    return [(one.pending.command.line, one.answer.verdict) for one in settled]


def test_an_answer_is_the_lines_between_its_echo_and_its_status(
    desk: Correlation,
) -> None:
    (sent,) = send(desk, "plate")
    assert say(desk, "@ plate", "type wader", "", "done") == []
    (settled,) = desk.unfinished("@ ", stands_still=False)
    assert settled.pending is sent
    assert settled.answer.lines == ("type wader", "")
    assert settled.answer.raw == b"type wader\r\n\r\n"
    assert settled.answer.verdict is Verdict.OK
    assert desk.in_flight == ()


def test_the_next_echo_ends_the_answer_before_it(desk: Correlation) -> None:
    send(desk, "plate", "state")
    settled = say(desk, "@ plate", "done", "@ state", "sorry: no")
    settled += desk.unfinished("@ ", stands_still=False)
    assert verdicts(settled) == [("plate", Verdict.OK), ("state", Verdict.REFUSED)]
    assert settled[1].answer.remark == "no"


def test_a_note_is_trusted_and_keeps_its_words(desk: Correlation) -> None:
    send(desk, "let a be 9")
    say(desk, "@ let a be 9", "note: limited to 5")
    (settled,) = desk.unfinished("@ ", stands_still=False)
    assert settled.answer.trusted
    assert settled.answer.remark == "limited to 5"


def test_a_prompt_without_a_status_ends_nothing_until_it_stands_still(
    desk: Correlation,
) -> None:
    send(desk, "plate")
    say(desk, "@ plate", "type wader")
    assert desk.receiving is not None
    assert desk.unfinished("@ ", stands_still=False) == []
    assert verdicts(desk.unfinished("@ ", stands_still=True)) == [
        ("plate", Verdict.DAMAGED)
    ]
    assert desk.receiving is None


def test_a_line_drawn_over_another_makes_the_answer_doubtful(
    desk: Correlation,
) -> None:
    send(desk, "plate")
    say(desk, "@ plate")
    raw = b"type      wader\rnumber    44CB\r\n"
    desk.line(Line("number    44CBr", raw, overdrawn=True))
    say(desk, "done")
    (settled,) = desk.unfinished("@ ", stands_still=False)
    assert settled.answer.verdict is Verdict.DAMAGED
    assert "44CBr" in settled.answer.remark


def test_an_echo_that_is_not_ours_makes_the_answer_doubtful(desk: Correlation) -> None:
    send(desk, "plate")
    say(desk, "@ plbte", "done")
    (settled,) = desk.unfinished("@ ", stands_still=False)
    assert settled.answer.verdict is Verdict.DAMAGED
    assert "plbte" in settled.answer.remark


def test_a_command_that_was_never_echoed_goes_unanswered(desk: Correlation) -> None:
    send(desk, "plate", "state")
    settled = say(desk, "A plate", "type wader", "done", "@ state", "done")
    settled += desk.unfinished("@ ", stands_still=False)
    assert verdicts(settled) == [("plate", Verdict.UNANSWERED), ("state", Verdict.OK)]
    assert settled[1].answer.lines == ()


def test_lines_outside_an_answer_are_heard_and_bring_nothing_forward(
    desk: Correlation,
) -> None:
    send(desk, "plate")
    say(desk, "radio: waiting")
    assert desk.steps == 0
    say(desk, "@ plate", "done", "log: warm")
    assert desk.steps == 2
    assert list(desk.heard) == ["radio: waiting", "log: warm"]


def test_a_prompt_alone_or_an_echo_of_nothing_sent_answers_nothing(
    desk: Correlation,
) -> None:
    assert say(desk, "@ ", "@", "@ plate", "done") == []
    assert desk.unfinished("@ ", stands_still=True) == []
    assert list(desk.heard) == ["@ plate", "done"]


def test_an_empty_prompt_line_ends_an_open_answer(desk: Correlation) -> None:
    send(desk, "plate")
    assert verdicts(say(desk, "@ plate", "done", "@ ")) == [("plate", Verdict.OK)]


def test_giving_up_leaves_everything_in_flight_unanswered(desk: Correlation) -> None:
    send(desk, "plate", "state")
    say(desk, "@ plate", "type wader")
    settled = desk.give_up("nothing came")
    assert verdicts(settled) == [
        ("plate", Verdict.UNANSWERED),
        ("state", Verdict.UNANSWERED),
    ]
    assert {one.answer.remark for one in settled} == {"nothing came"}
    assert desk.in_flight == ()


def test_what_is_heard_is_bounded(desk: Correlation) -> None:
    say(desk, *map(str, range(500)))
    assert len(desk.heard) == 200
    assert desk.heard[-1] == "499"


def test_closing_what_is_not_open_is_our_own_mistake(desk: Correlation) -> None:
    with pytest.raises(MisuseError):
        desk._close()
