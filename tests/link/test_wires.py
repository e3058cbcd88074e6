"""One promise, kept by every kind of wire."""

import fcntl
import select
import socket
import termios
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any, cast

import pytest
import serial
from serial.rfc2217 import PortManager

from benchlink.errors import NoPortError, PortBusyError, PortLostError, UsageError
from benchlink.link.wire import Wire, open_wire
from benchlink.units import Baud
from tests.link.far_end import WITHIN_S, FarEnd, Listener, open_things, pty_end

SPEED = Baud(115200)
Pair = tuple[Wire, FarEnd]


def open_pty(stack: ExitStack) -> Pair:
    end = stack.enter_context(pty_end())
    return open_wire(end.url, SPEED), end


def open_socket(stack: ExitStack) -> Pair:
    listener = Listener()
    stack.callback(listener.close)
    wire = open_wire(listener.url, SPEED)
    end = listener.accept()
    stack.callback(end.unplug)
    return wire, end


@pytest.fixture(params=[open_pty, open_socket], ids=["pty", "tcp"])
def pair(request: pytest.FixtureRequest) -> Iterator[Pair]:
    opener: Callable[[ExitStack], Pair] = request.param
    with ExitStack() as stack:
        wire, end = opener(stack)
        stack.callback(wire.close)
        yield wire, end


def read(wire: Wire, count: int) -> bytes:
    data = b""
    while len(data) < count:
        assert select.select([wire], [], [], WITHIN_S)[0]
        data += wire.read_ready()
    return data


def test_bytes_cross_unchanged_both_ways(pair: Pair) -> None:
    wire, end = pair
    every_byte = bytes(range(256))

    assert wire.write(every_byte) == 256
    end.say(every_byte)

    assert end.hear(b"\xff") == every_byte
    assert read(wire, 256) == every_byte


def test_an_idle_wire_gives_nothing_and_does_not_wait(pair: Pair) -> None:
    wire, _ = pair

    assert wire.read_ready() == b""


def test_a_full_wire_takes_a_part_and_then_nothing(pair: Pair) -> None:
    wire, _ = pair
    # A socket keeps moving bytes to the other side for a while after the first refusal.
    taken = [wire.write(bytes(1 << 20)) for _ in range(200)]

    assert taken[0] > 0
    assert taken[-1] == 0


def test_a_vanished_far_end_is_lost_after_its_last_words(pair: Pair) -> None:
    wire, end = pair
    end.unplug()
    assert select.select([wire], [], [], WITHIN_S)[0]

    with pytest.raises(PortLostError, match="went away"):
        wire.read_ready()


def test_closing_twice_is_harmless(pair: Pair) -> None:
    wire, _ = pair

    wire.close()
    wire.close()


def test_nothing_paces_a_pty_or_a_socket(pair: Pair) -> None:
    assert pair[0].speed is None


def test_a_held_port_names_its_holder() -> None:
    with pty_end() as end:
        first = open_wire(end.url, SPEED)
        try:
            with pytest.raises(PortBusyError, match="in use"):
                open_wire(end.url, SPEED)
        finally:
            first.close()


def test_a_port_can_be_opened_again_after_closing() -> None:
    with pty_end() as end:
        for _ in range(2):
            wire = open_wire(end.url, SPEED)
            wire.write(b"x")
            wire.close()
        assert end.hear(b"xx") == b"xx"


def test_an_open_terminal_keeps_its_lines_up_at_close() -> None:
    with pty_end() as end:
        wire = open_wire(end.url, SPEED)
        mode = termios.tcgetattr(wire.fileno())
        wire.close()

    assert not mode[2] & termios.HUPCL
    assert mode[6][termios.VMIN] in {1, b"\x01"}


def test_a_pty_is_not_locked_in_the_kernel_beyond_its_client() -> None:
    with pty_end() as end:
        wire = open_wire(end.url, SPEED)
        answer = fcntl.ioctl(wire.fileno(), 0x80045440, bytes(4))  # TIOCGEXCL
        wire.close()

    assert answer == bytes(4)


@pytest.mark.parametrize("url", ["socket://", "socket://host", "rfc2217://x:y"])
def test_an_address_without_host_and_port_is_the_callers_mistake(url: str) -> None:
    with pytest.raises(UsageError, match="names no host and port"):
        open_wire(url, SPEED)


def test_nobody_listening_is_said() -> None:
    listener = Listener()
    listener.close()

    with pytest.raises(NoPortError, match="nobody listens"):
        open_wire(listener.url, SPEED)


class RemotePort:
    """RFC 2217 in front of a port that gives back whatever it gets."""

    def __init__(self) -> None:
        self._server = socket.create_server(("127.0.0.1", 0))
        self.url = f"rfc2217://127.0.0.1:{self._server.getsockname()[1]}"
        self._thread = threading.Thread(target=self._serve)
        self._thread.start()

    def _serve(self) -> None:
        with serial.serial_for_url("loop://", timeout=0) as port:
            client, _ = self._server.accept()
            with client, client.makefile("wb", 0) as told:
                manager = PortManager(cast("Any", port), cast("Any", told))
                while data := client.recv(1024):
                    port.write(b"".join(manager.filter(data)))
                    back = port.read(port.in_waiting)
                    client.sendall(b"".join(manager.escape(back)))

    def close(self) -> None:
        self._server.close()
        self._thread.join(WITHIN_S)


@pytest.mark.filterwarnings("ignore:set(Daemon|Name)..:DeprecationWarning")
def test_a_remote_port_carries_bytes_at_the_speed_that_was_set() -> None:
    remote = RemotePort()
    data = b"every byte \xff\x00 counts"
    wire = open_wire(remote.url, SPEED)
    try:
        wire.write(data)
        assert read(wire, len(data)) == data
        assert wire.speed == SPEED
    finally:
        wire.close()
        remote.close()


def test_wires_leave_no_descriptors_and_no_threads_behind() -> None:
    before = open_things()
    with ExitStack() as stack:
        for opener in (open_pty, open_socket):
            wire, _ = opener(stack)
            wire.close()

    assert open_things() == before
