"""The link thread: one owner of the wire, many callers."""

import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field

import pytest

from benchlink.console.phases import Phase
from benchlink.core.exchange import Answer, Verdict
from benchlink.errors import LinkError, MisuseError, PortLostError, SilentBoardError
from benchlink.link.engine import Engine
from benchlink.link.ledger import AHEAD
from benchlink.link.ports import PortIdentity
from benchlink.link.pump import Pump
from benchlink.link.tally import Tally
from benchlink.link.wire import Wire, open_wire
from benchlink.units import Baud, Seconds
from tests.link.fake_talk import FakeTalk, command
from tests.link.far_end import WITHIN_S, FarEnd, clock, open_things, pty_end

SOON = Seconds(WITHIN_S)
Asked = Future[tuple[Answer, ...]]


@dataclass
class Bench:
    end: FarEnd
    pump: Pump
    talk: FakeTalk
    others: ThreadPoolExecutor

    def ask(self, *lines: str) -> Asked:
        """Ask from another thread, so that the test can play the board."""
        return self.others.submit(self.pump.ask, [command(line) for line in lines])

    def until(self, done: Callable[[], bool]) -> None:
        limit = clock() + SOON
        while not done():
            assert clock() < limit
            threading.Event().wait(0.001)


@pytest.fixture
def talk() -> FakeTalk:
    return FakeTalk()


@pytest.fixture
def bench(talk: FakeTalk) -> Iterator[Bench]:
    with (
        pty_end() as end,
        ThreadPoolExecutor(2) as others,
        Pump(open_wire(end.url, Baud(115200)), talk, clock) as pump,
    ):
        yield Bench(end, pump, talk, others)


def test_answers_come_in_the_order_of_the_commands(bench: Bench) -> None:
    asked = bench.ask("a", "b", "c")
    assert bench.end.hear(b"b\n") == b"a\nb\n"
    bench.end.say(b"one\nok\ntwo\nok\n")
    assert bench.end.hear(b"c\n") == b"c\n"
    bench.end.say(b"three\nok\n")

    answers = asked.result(SOON)

    assert [(a.command.line, a.lines) for a in answers] == [
        ("a", ("one",)),
        ("b", ("two",)),
        ("c", ("three",)),
    ]


def test_asking_nothing_takes_no_time(bench: Bench) -> None:
    assert bench.pump.ask([]) == ()


def test_progress_is_told_in_the_thread_that_asks(bench: Bench) -> None:
    told: list[tuple[int, int, str]] = []

    def progress(received: int, answers: int) -> None:
        told.append((received, answers, threading.current_thread().name))

    def answer() -> None:
        bench.end.hear(b"a\n")
        bench.end.say(b"ok\n")

    bench.others.submit(answer)
    bench.pump.ask([command("a")], progress)

    assert told[-1] == (3, 1, threading.current_thread().name)


def test_stop_overtakes_bulk(bench: Bench) -> None:
    asked = bench.ask("a", "b", "c", "d")
    bench.end.hear(b"a\nb\n")

    assert bench.pump.stop(command("rest"), SOON).left

    assert bench.end.hear(b"\n") == b"rest\n"
    bench.end.say(b"ok\n" * 3)
    assert bench.end.hear(b"d\n") == b"c\nd\n"
    bench.end.say(b"ok\n" * 2)
    assert asked.result(SOON)


def test_a_stop_leaves_before_the_prompt_is_there() -> None:
    with (
        pty_end() as end,
        Pump(open_wire(end.url, Baud(115200)), FakeTalk(ready=False), clock) as pump,
    ):
        assert pump.stop(command("rest"), SOON).left
        assert end.hear(b"\n") == b"rest\n"


def test_a_stop_takes_waiting_live_lines_away(bench: Bench) -> None:
    bench.pump._engine.inbox.live("p1", command("p1 1520"))  # the bell has not rung

    assert bench.pump.stop(command("rest"), SOON).left
    bench.end.say(b"ok\n")

    assert bench.end.hear(b"rest\n") == b"rest\n"
    assert bench.end.is_quiet()


def test_a_live_slot_keeps_only_its_newest_line(bench: Bench) -> None:
    asked = bench.ask("a", "b")
    bench.end.hear(b"a\nb\n")
    for width in (1500, 1510, 1520):
        bench.pump.live("p1", command(f"p1 {width}"))
    bench.pump.live("p2", command("p2 1400"))
    bench.until(lambda: set(bench.talk._live) == {"p1", "p2"})
    bench.end.say(b"ok\nok\n")

    assert bench.end.hear(b"p2 1400\n") == b"p1 1520\np2 1400\n"
    assert asked.result(SOON)


def test_a_refused_live_line_is_told_with_the_chatter(bench: Bench) -> None:
    bench.pump.live("p1", command("p1 9000"))
    bench.end.hear(b"p1 9000\n")
    bench.end.say(b"no\nbattery low\n")
    bench.until(lambda: len(bench.pump.health().chatter) == 2)

    assert bench.pump.health().chatter == ("`p1 9000`: refused", "battery low")


def test_health_counts_bytes_and_answers(bench: Bench) -> None:
    asked = bench.ask("a")
    bench.end.hear(b"a\n")
    bench.end.say(b"ok\n")
    asked.result(SOON)

    health = bench.pump.health()

    assert (health.sent_bytes, health.received_bytes) == (2, 3)
    assert (health.answers, health.damaged) == (1, 0)


def test_unplugging_ends_the_asking_with_the_port_lost(bench: Bench) -> None:
    asked = bench.ask("a", "b", "c")
    bench.end.hear(b"b\n")
    bench.end.unplug()

    with pytest.raises(PortLostError, match="went away"):
        asked.result(SOON)
    with pytest.raises(PortLostError):
        bench.pump.ask([command("a")])
    with pytest.raises(PortLostError):
        bench.pump.wait_ready(SOON)
    assert bench.pump.phase is Phase.LOST


def test_a_stop_after_unplugging_says_that_it_did_not_leave(bench: Bench) -> None:
    bench.end.unplug()
    bench.until(lambda: bench.pump.trouble is not None)

    assert not bench.pump.stop(command("rest"), SOON).left


def test_a_second_caller_is_turned_away(bench: Bench) -> None:
    asked = bench.ask("a")
    bench.end.hear(b"a\n")

    with pytest.raises(MisuseError, match="two callers"):
        bench.pump.ask([command("b")])

    bench.end.say(b"ok\n")
    assert asked.result(SOON)


def test_a_line_that_cannot_be_sent_is_the_callers_mistake(bench: Bench) -> None:
    with pytest.raises(MisuseError, match="not a plain line"):
        bench.pump.ask([command("a\nb")])

    bench.pump.live("p1", command("c\nd"))
    bench.until(lambda: "not sent: not a plain line" in bench.pump.health().chatter)
    assert bench.end.is_quiet()


def test_a_mistake_of_ours_reaches_the_caller_not_the_screen(bench: Bench) -> None:
    asked = bench.ask("a")
    bench.end.hear(b"a\n")
    bench.end.say(b"boom\n")

    with pytest.raises(LinkError, match="broke down: ZeroDivisionError"):
        asked.result(SOON)
    with pytest.raises(LinkError, match="broke down"):
        bench.pump.ask([command("b")])


def test_a_stop_still_leaves_after_a_mistake_of_ours(bench: Bench) -> None:
    bench.end.say(b"boom\n")
    bench.until(lambda: bench.pump.trouble is not None)

    assert bench.pump.stop(command("rest"), SOON).left

    assert bench.end.hear(b"\n") == b"rest\n"


def test_an_interrupted_caller_takes_the_rest_along(bench: Bench) -> None:
    bench.talk.window = 1000
    heard: list[bytes] = []

    def interrupt() -> None:
        heard.append(bench.end.hear(b"b\n"))
        signal.raise_signal(signal.SIGINT)

    bench.others.submit(interrupt)
    with pytest.raises(KeyboardInterrupt):
        bench.pump.ask([command(line) for line in "ab" * 50])

    bench.end.say(b"ok\n" * AHEAD)
    asked = bench.ask("last")
    heard.append(bench.end.hear(b"last\n"))
    bench.end.say(b"ok\n")

    assert asked.result(SOON)[0].verdict is Verdict.OK
    assert b"".join(heard).count(b"\n") == AHEAD + 1


def test_ready_is_waited_for(bench: Bench) -> None:
    assert bench.pump.wait_ready(SOON)


def test_a_prompt_that_does_not_come_in_time_is_no_error() -> None:
    with (
        pty_end() as end,
        Pump(open_wire(end.url, Baud(115200)), FakeTalk(ready=False), clock) as pump,
    ):
        assert not pump.wait_ready(Seconds(0.01))
        end.say(b"ready\n")
        assert pump.wait_ready(SOON)


def test_a_board_that_fell_silent_for_good_is_said_to_whoever_asks() -> None:
    talk = FakeTalk(ready=False)
    talk.fails_at = talk.due = clock()
    with pty_end() as end, Pump(open_wire(end.url, Baud(115200)), talk, clock) as pump:
        assert not pump.wait_ready(SOON)
        with pytest.raises(SilentBoardError, match="says nothing"):
            pump.ask([command("a")])


def test_a_restart_is_not_over_while_the_old_prompt_is_still_known(
    bench: Bench,
) -> None:
    asked = bench.others.submit(bench.pump.ask, [command("a", restarts=True)])
    bench.end.hear(b"a\n")
    bench.end.say(b"ok\n")
    asked.result(SOON)

    assert bench.pump.phase is Phase.WAKING
    bench.end.say(b"ready\n")
    assert bench.pump.wait_ready(SOON)


def test_an_idle_link_sleeps(bench: Bench) -> None:
    assert bench.pump.stop(command("x"), SOON).left
    before = bench.talk.ticks

    assert bench.end.hear(b"x\n")
    assert bench.end.is_quiet(for_s=0.1)
    assert bench.talk.ticks - before <= 2


def test_a_deadline_that_is_over_does_not_spin_the_thread(
    bench: Bench, talk: FakeTalk
) -> None:
    talk.due = Seconds(0.0)
    bench.pump.stop(command("x"), SOON)
    before = talk.ticks

    assert not threading.Event().wait(0.1)
    assert talk.ticks - before <= 110


def test_closing_sends_a_stop_that_was_just_asked_for(bench: Bench) -> None:
    engine = bench.pump._engine
    bench.pump.stop(command("rest"), Seconds(0.0))
    bench.pump.close()

    assert bench.end.hear(b"rest\n") == b"rest\n"
    assert engine.closing


def test_asking_a_closed_link_says_so(bench: Bench) -> None:
    bench.pump.close()

    with pytest.raises(LinkError, match="closed"):
        bench.pump.ask([command("a")])


def test_closing_wakes_whoever_still_asks(bench: Bench) -> None:
    asked = bench.ask("a")
    bench.end.hear(b"a\n")
    bench.pump.close()

    with pytest.raises(LinkError, match="closed"):
        asked.result(SOON)


def test_a_link_leaves_no_descriptors_and_no_threads_behind() -> None:
    before = open_things()
    with (
        pty_end() as end,
        Pump(open_wire(end.url, Baud(115200)), FakeTalk(), clock) as pump,
    ):
        end.unplug()
        with pytest.raises(PortLostError):
            pump.ask([command("a")])

    assert open_things() == before


@dataclass
class NarrowWire:
    """Takes one byte at a time, and every other time none at all."""

    wire: Wire
    speed: Baud | None = None
    device: PortIdentity = field(default_factory=lambda: PortIdentity(url="narrow"))
    turns: int = 0

    def fileno(self) -> int:
        return self.wire.fileno()

    def read_ready(self) -> bytes:
        return self.wire.read_ready()

    def write(self, data: bytes) -> int:
        self.turns += 1
        return self.wire.write(data[:1]) if self.turns % 2 else 0

    def close(self) -> None:
        self.wire.close()


def test_a_line_begun_is_finished_before_a_stop_begins() -> None:
    with pty_end() as end, ThreadPoolExecutor(1) as others:
        narrow = NarrowWire(open_wire(end.url, Baud(115200)))
        with Pump(narrow, FakeTalk(window=4), clock) as pump:
            asked = others.submit(pump.ask, [command("first"), command("second")])
            stopping = pump.stop(command("rest"), SOON)
            heard = end.hear(b"\n")
            while heard.count(b"\n") < 3:
                heard += end.hear(b"\n")
            end.say(b"ok\n" * 3)
            asked.result(SOON)

    assert stopping.left
    assert sorted(heard.split(b"\n")) == [b"", b"first", b"rest", b"second"]


def test_a_stop_that_finds_no_room_says_that_it_did_not_leave() -> None:
    class FullWire(NarrowWire):
        def write(self, data: bytes) -> int:
            del data
            return 0

    with pty_end() as end:
        full = FullWire(open_wire(end.url, Baud(115200)))
        with Pump(full, FakeTalk(), clock) as pump:
            assert not pump.stop(command("rest"), Seconds(0.05)).left


def test_a_long_listing_is_read_in_few_turns_and_a_stop_cuts_in(bench: Bench) -> None:
    asked = bench.ask("list")
    bench.end.hear(b"list\n")
    bench.end.say(b"line\n" * 400)
    bench.until(lambda: bench.pump.health().received_bytes == 2000)
    before = bench.talk.ticks
    for _ in range(50):
        bench.end.say(b"line\n")
    assert bench.pump.stop(command("rest"), SOON).left
    bench.end.say(b"ok\nok\n")

    assert len(asked.result(SOON)[0].lines) == 450
    assert bench.talk.ticks - before < 40
    assert bench.end.hear(b"\n") == b"rest\n"


def test_the_engine_owns_the_wire_until_it_ends() -> None:
    with pty_end() as end:
        wire = open_wire(end.url, Baud(115200))
        engine = Engine(wire, FakeTalk(), clock, Tally())
        engine.closing = True
        engine.run()
        engine.bell.close()

        open_wire(end.url, Baud(115200)).close()
