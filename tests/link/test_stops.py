"""What becomes of a stop: taken, said again, or told to whoever asked for it."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import pytest

from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.errors import LinkError
from benchlink.link.asking import Asking
from benchlink.link.board import LinkBoard, Route
from benchlink.link.inbox import REPEATS, Inbox, Stopping
from benchlink.link.ledger import AHEAD
from benchlink.link.ports import PortIdentity
from benchlink.units import Baud, Seconds
from tests.link.fake_talk import FakeTalk, command
from tests.link.far_end import WITHIN_S, FarEnd, clock, pty_end
from tests.support.permits import granted

SOON = Seconds(WITHIN_S)
SHORT = Seconds(0.05)
PULL = "Pull the pack, from behind the disc, or switch off the bench supply."
REST = b"rest\n"


@dataclass
class Bench:
    end: FarEnd
    board: LinkBoard
    others: ThreadPoolExecutor


@pytest.fixture
def bench() -> Iterator[Bench]:
    with pty_end() as end, ThreadPoolExecutor(2) as others:
        route = Route(
            begin=lambda _speed, _now, _epoch: FakeTalk(window=2 * AHEAD),
            speed=Baud(115200),
            clock=clock,
            patience=SOON,
            scan=lambda: (),
        )
        with LinkBoard(route, PortIdentity(url=end.url)) as board:
            yield Bench(end, board, others)


def moving(line: str) -> Command:
    """A line with a permit."""
    given = granted(line.encode(), 1, Seconds(0.0), run_for=Seconds(0.5))
    return replace(command(line), permit=given)


def test_a_stop_that_is_taken_is_sent_once(bench: Bench) -> None:
    stopped = bench.others.submit(bench.board.stop, command("rest"))
    assert bench.end.hear(REST) == REST
    bench.end.say(b"ok\n")

    stopped.result(SOON)

    assert bench.end.is_quiet()


def test_one_that_the_board_only_notes_is_taken_too(bench: Bench) -> None:
    stopped = bench.others.submit(bench.board.stop, command("rest"))
    bench.end.hear(REST)
    bench.end.say(b"noted\n")

    stopped.result(SOON)


def test_one_that_is_refused_is_sent_again_at_once(bench: Bench) -> None:
    stopped = bench.others.submit(bench.board.stop, command("rest"))
    for said in (b"no\n", b"no\n", b"ok\n"):
        assert bench.end.hear(REST) == REST
        bench.end.say(said)

    stopped.result(SOON)

    assert bench.end.is_quiet()


def test_one_that_is_never_taken_is_told_and_not_sent_for_ever(bench: Bench) -> None:
    stopped = bench.others.submit(bench.board.stop, command("rest"))
    for _ in range(1 + REPEATS):
        assert bench.end.hear(REST) == REST
        bench.end.say(b"no\n")

    with pytest.raises(LinkError, match=r"NOT stopped.*`rest` left.*refused") as caught:
        stopped.result(SOON)

    assert caught.value.hint == PULL
    assert bench.end.is_quiet()
    assert "`rest`: refused" in bench.board.health().chatter


def test_one_that_left_and_is_not_answered_is_told_and_holds_nobody_up(
    bench: Bench,
) -> None:
    short = replace(command("rest"), answer_within=SHORT)
    stopped = bench.others.submit(bench.board.stop, short)
    assert bench.end.hear(REST) == REST
    asked = bench.others.submit(bench.board.ask, [command("a")])
    assert bench.end.hear(b"a\n") == b"a\n", "others go on while it is waited for"

    with pytest.raises(LinkError, match=r"NOT stopped.*`rest` left.*in time") as caught:
        stopped.result(SOON)

    assert caught.value.hint == PULL
    bench.end.say(b"ok\nok\n")
    assert asked.result(SOON)[0].verdict is Verdict.OK


def test_one_whose_port_goes_away_behind_it_is_told_at_once(bench: Bench) -> None:
    endless = replace(command("rest"), answer_within=Seconds(60.0))
    stopped = bench.others.submit(bench.board.stop, endless)
    assert bench.end.hear(REST) == REST
    bench.end.unplug()

    with pytest.raises(LinkError, match=r"NOT stopped.*`rest` left.*no answer"):
        stopped.result(SOON)


def test_a_motion_not_yet_handed_over_does_not_follow_a_stop(bench: Bench) -> None:
    plain = [command(f"a{number}") for number in range(AHEAD)]
    asked = bench.others.submit(
        bench.board.ask, [*plain, moving("spin"), command("last")]
    )
    bench.end.hear(b"a15\n")
    stopped = bench.others.submit(bench.board.stop, command("rest"))
    bench.end.hear(REST)
    bench.end.say(b"ok\n" * (AHEAD + 1))
    stopped.result(SOON)
    heard = bench.end.hear(b"last\n")
    bench.end.say(b"ok\n")

    *_, spin, last = asked.result(SOON)

    assert b"spin" not in heard
    assert (spin.verdict, spin.remark) == (
        Verdict.UNANSWERED,
        "stopped before it left",
    )
    assert last.verdict is Verdict.OK


def test_an_asking_of_which_nothing_is_left_to_send_is_over(bench: Bench) -> None:
    plain = [command(f"a{number}") for number in range(AHEAD)]
    asked = bench.others.submit(bench.board.ask, [*plain, moving("spin")])
    bench.end.hear(b"a15\n")
    stopped = bench.others.submit(bench.board.stop, command("rest"))
    bench.end.hear(REST)
    bench.end.say(b"ok\n" * (AHEAD + 1))
    stopped.result(SOON)

    assert asked.result(SOON)[-1].verdict is Verdict.UNANSWERED


def test_a_motion_that_waits_in_the_inbox_does_not_follow_a_stop() -> None:
    inbox = Inbox()
    before, after = Asking([moving("spin"), command("a")]), Asking([moving("spin")])
    inbox.ask(before)
    inbox.stop(Stopping(command("rest")))
    inbox.ask(after)
    wanted = inbox.take()

    assert wanted is not None
    assert before.next_command() == (1, command("a"))
    assert after.next_command() == (0, moving("spin"))


def test_a_motion_ordered_after_the_stop_leaves(bench: Bench) -> None:
    stopped = bench.others.submit(bench.board.stop, command("rest"))
    bench.end.hear(REST)
    bench.end.say(b"ok\n")
    stopped.result(SOON)
    asked = bench.others.submit(bench.board.ask, [moving("spin")])
    assert bench.end.hear(b"spin\n") == b"spin\n"
    bench.end.say(b"ok\n")

    assert asked.result(SOON)[0].verdict is Verdict.OK


@pytest.mark.parametrize(
    ("verdict", "again"),
    [(Verdict.OK, False), (Verdict.NOTED, False)]
    + [(v, True) for v in Verdict if v not in {Verdict.OK, Verdict.NOTED}],
)
def test_every_other_answer_has_it_sent_again(verdict: Verdict, *, again: bool) -> None:
    stopping = Stopping(command("rest"))
    answer = Answer(command=stopping.command, verdict=verdict)
    assert stopping.answered(answer, lost=False) is again
    assert stopping.taken(Seconds(0.0)) is not again
    assert not stopping.answered(answer, lost=True)
