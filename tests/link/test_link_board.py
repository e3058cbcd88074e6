"""A board that restarts, moves to another port, or never comes back."""

import threading
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack

import pytest

from benchlink.core.cautions import CUT_THE_POWER
from benchlink.core.exchange import Answer, Verdict
from benchlink.errors import (
    LinkError,
    NoPortError,
    PortLostError,
    SilentBoardError,
    WrongBoardError,
)
from benchlink.link import board as board_module
from benchlink.link.board import LinkBoard, Route, connect
from benchlink.link.ports import PortIdentity
from benchlink.link.silence import silent_board
from benchlink.link.wire import Wire, open_wire
from benchlink.units import Baud, Seconds
from tests.link.fake_talk import begin_unready, command
from tests.link.far_end import WITHIN_S, FarEnd, clock, open_things, pty_end

SOON = Seconds(WITHIN_S)


class Ports:
    """Ptys that stand for the same board at different times."""

    def __init__(self, stack: ExitStack) -> None:
        self.ends = [stack.enter_context(pty_end()) for _ in range(2)]
        self.visible: tuple[PortIdentity, ...] = ()
        self.greeting = b"ready\n"
        self.show(0)

    def show(self, *numbers: int) -> None:
        self.visible = tuple(
            PortIdentity(url=self.ends[n].url, serial="LW-01", usb="1209:0001")
            for n in numbers
        )

    def open_wire(self, url: str, speed: Baud, device: PortIdentity) -> Wire:
        """Opening throws away what was said before: the board speaks after it."""
        wire = open_wire(url, speed, device)
        next(end for end in self.ends if end.url == url).say(self.greeting)
        return wire

    def scan(self) -> tuple[PortIdentity, ...]:
        return self.visible


@pytest.fixture
def ports() -> Iterator[Ports]:
    with ExitStack() as stack:
        yield Ports(stack)


@pytest.fixture
def others() -> Iterator[ThreadPoolExecutor]:
    with ThreadPoolExecutor(1) as executor:
        yield executor


@pytest.fixture
def board(ports: Ports) -> Iterator[LinkBoard]:
    route = Route(
        begin=begin_unready,
        speed=Baud(115200),
        clock=clock,
        patience=SOON,
        scan=ports.scan,
        open_wire=ports.open_wire,
    )
    with connect(route, ports.visible[0]) as board:
        yield board


def restarting(
    board: LinkBoard,
    others: ThreadPoolExecutor,
    end: FarEnd,
    within: Seconds = SOON,
) -> Future[Answer]:
    answer = others.submit(board.restart, command("restart"), within)
    end.hear(b"restart\n")
    return answer


def test_a_restart_in_place_raises_the_epoch(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0])
    ports.ends[0].say(b"ok\nready\n")

    assert answer.result(SOON).verdict is Verdict.OK
    assert (board.epoch, board.port) == (2, ports.ends[0].url)


def test_a_refused_restart_changes_nothing(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0])
    ports.ends[0].say(b"no\n")

    assert answer.result(SOON).verdict is Verdict.REFUSED
    assert board.epoch == 1


def test_a_restart_that_was_only_noted_still_has_to_show_its_prompt(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0], Seconds(0.1))
    ports.ends[0].say(b"noted\n")

    with pytest.raises(SilentBoardError):
        answer.result(SOON)


def test_a_board_is_followed_to_its_new_port(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    old, new = ports.ends
    answer = restarting(board, others, old)
    old.say(b"ok\n")
    ports.show(1)
    old.unplug()

    assert answer.result(SOON).verdict in {Verdict.OK, Verdict.UNANSWERED}
    assert (board.epoch, board.port) == (2, new.url)
    asked = others.submit(board.ask, [command("a")])
    new.hear(b"a\n")
    new.say(b"ok\n")
    assert asked.result(SOON)[0].verdict is Verdict.OK


def test_a_port_that_goes_before_the_answer_leaves_it_unanswered(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0])
    ports.show(1)
    ports.ends[0].unplug()

    assert answer.result(SOON).verdict is Verdict.UNANSWERED
    assert board.epoch == 2


def test_another_board_on_the_old_port_is_not_taken_for_it(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0], Seconds(0.3))
    ports.visible = (PortIdentity(url=ports.ends[1].url, serial="LW-02"),)
    ports.ends[0].unplug()

    with pytest.raises(NoPortError, match="did not come back in time"):
        answer.result(SOON)
    assert ports.ends[1].is_quiet()


def test_another_board_is_let_go_of_and_looked_at_again(
    board: LinkBoard, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(board_module, "ASK_AGAIN_EVERY", Seconds(0.01))
    there = iter(["LW-05", "LW-05", "LW-01"])
    left: list[Seconds] = []

    def ours() -> None:
        who = next(there)
        if who != "LW-01":
            msg = f"this was LW-01; now {who} answers"
            raise WrongBoardError(msg)

    board.come_back(SOON, left.append, ours)

    assert next(there, "nobody") == "nobody"
    assert len(left) >= 3
    assert left == sorted(left, reverse=True)
    assert board.epoch == 2


class EndedError(Exception):
    """Whoever waits has had enough."""


@pytest.mark.parametrize("found", ["nothing", "a silent board", "another board"])
def test_a_wait_ends_at_once_when_whoever_waits_ends_it(
    board: LinkBoard, ports: Ports, found: str
) -> None:
    ports.show(*([] if found == "nothing" else [1]))
    ports.greeting = b"" if found == "a silent board" else ports.greeting
    ports.ends[0].unplug()
    heard: list[Seconds] = []

    def waiting(left: Seconds) -> None:
        heard.append(left)
        if len(heard) > 3:
            raise EndedError

    def ours() -> None:
        msg = "this was LW-01; now LW-05 answers"
        raise WrongBoardError(msg)

    with pytest.raises(EndedError):
        board.come_back(SOON, waiting, ours)
    assert len(heard) == 4


def test_another_board_that_stays_is_named_when_the_time_is_over(
    board: LinkBoard, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(board_module, "ASK_AGAIN_EVERY", Seconds(0.01))

    def ours() -> None:
        msg = "this was LW-01; now LW-05 answers"
        raise WrongBoardError(msg)

    with pytest.raises(WrongBoardError, match="now LW-05 answers"):
        board.come_back(Seconds(0.2), None, ours)


def test_two_ports_with_the_same_identity_are_not_guessed_at(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0], Seconds(0.3))
    ports.show(0, 1)
    ports.ends[0].unplug()

    with pytest.raises(NoPortError, match="more than one port"):
        answer.result(SOON)
    assert ports.ends[1].is_quiet()


def test_a_board_that_stays_silent_after_a_restart_is_said(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0], Seconds(0.3))
    ports.ends[0].say(b"ok\n")
    while board.epoch == 1:
        threading.Event().wait(0.001)
    ports.ends[0].say(b"loader: ")

    with pytest.raises(SilentBoardError, match="known here: `loader:`"):
        answer.result(SOON)
    assert board.epoch == 2


def test_counts_go_on_over_a_change_of_port(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    answer = restarting(board, others, ports.ends[0])
    ports.show(1)
    ports.ends[0].unplug()
    answer.result(SOON)

    assert board.health().sent_bytes >= len(b"restart\n")
    assert board.health().received_bytes == 2 * len(b"ready\n")


def test_losing_the_port_while_asking_is_said_at_once(
    board: LinkBoard, ports: Ports, others: ThreadPoolExecutor
) -> None:
    asked = others.submit(board.ask, [command("a")])
    ports.ends[0].hear(b"a\n")
    ports.ends[0].unplug()

    with pytest.raises(PortLostError):
        asked.result(SOON)


def test_a_stop_that_cannot_leave_says_pull_the_pack(
    board: LinkBoard, ports: Ports
) -> None:
    ports.ends[0].unplug()
    with pytest.raises(PortLostError):
        board.ask([command("a")])

    with pytest.raises(LinkError, match="NOT stopped") as caught:
        board.stop(command("rest"))

    assert caught.value.hint == CUT_THE_POWER


def test_a_silent_board_is_let_go_of() -> None:
    with pty_end() as end:
        before = open_things()
        route = Route(
            begin=begin_unready,
            speed=Baud(115200),
            clock=clock,
            patience=Seconds(0.05),
            scan=lambda: (),
        )

        with pytest.raises(SilentBoardError, match="says nothing"):
            connect(route, PortIdentity(url=end.url))

        assert open_things() == before


@pytest.mark.parametrize(
    ("heard", "words", "hint"),
    [
        (
            b"",
            "says nothing at 9600 baud",
            "No power, wrong speed, or another console?",
        ),
        (b"\xfe\x00\x9c~\xe0\xff", "only noise", "Wrong speed?"),
        (b"hello\r\n$ ", "no prompt that is known here: `hello $`", "Another console"),
    ],
)
def test_a_board_without_a_prompt_is_told_by_what_it_said(
    heard: bytes, words: str, hint: str
) -> None:
    error = silent_board("/dev/ttyACM0", Baud(9600), heard)

    assert words in str(error)
    assert error.hint.startswith(hint)


def test_a_login_that_opens_nothing_is_told_as_one() -> None:
    error = silent_board("/dev/ttyACM0", Baud(9600), b"no such user\r\nuser: ", 1)

    assert "does not let you in: what you typed was sent once" in str(error)
    assert "`no such user user:`" in str(error)
    assert error.hint.startswith("Nothing was changed")


def test_a_refusal_is_told_with_all_its_letters() -> None:
    said = b"user: <user>\r\nword: \r\n? not let in: this user may look at nothing here"
    error = silent_board("p", None, b"reeds " * 40 + b"\r\n" + said, 1)

    assert (
        "`user: <user> word: ? not let in: this user may look at nothing here`"
        in str(error)
    )


def test_only_sixty_readable_characters_are_shown() -> None:
    error = silent_board("p", None, b"x" * 200 + b"\x1b")

    assert str(error).count("x") == 59
