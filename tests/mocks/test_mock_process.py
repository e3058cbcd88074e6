"""The simulated aircraft as its own process, on a real pty and a real TCP port."""

import json
import os
import select
import signal
import socket
import subprocess
import sys
import time
import tty
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

import pytest

PATIENCE_S: Final = 10.0
CHECKOUT: Final = Path(__file__).parents[2]


class Process:
    """A running aircraft; every read has a deadline."""

    def __init__(self, *arguments: str) -> None:
        self.popen = subprocess.Popen(
            [sys.executable, "-m", "mocks", *arguments],
            cwd=CHECKOUT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        self._read = b""
        self.port = self.line()

    def line(self) -> str:
        """The next line of its standard output."""
        assert self.popen.stdout is not None
        fd = self.popen.stdout.fileno()
        while b"\n" not in self._read:
            ready, _, _ = select.select([fd], [], [], PATIENCE_S)
            assert ready, "no line from the process in time"
            data = os.read(fd, 65536)
            assert data, "the process has ended"
            self._read += data
        line, _, self._read = self._read.partition(b"\n")
        return line.decode()

    def send(self, order: str) -> None:
        assert self.popen.stdin is not None
        self.popen.stdin.write(order.encode() + b"\n")
        self.popen.stdin.flush()

    def order(self, order: str) -> dict[str, object]:
        self.send(order)
        answer: dict[str, object] = json.loads(self.line())
        return answer

    def end(self) -> int:
        """Close its standard input, ask it to stop, and wait."""
        assert self.popen.stdin is not None
        self.popen.terminate()
        self.popen.communicate(timeout=PATIENCE_S)
        return self.popen.returncode


class Client:
    """A serial client on a pty."""

    def __init__(self, path: str) -> None:
        self.fd = os.open(path, os.O_RDWR | os.O_NOCTTY)
        tty.setraw(self.fd)

    def until(self, end: bytes) -> bytes:
        data = b""
        while not data.endswith(end):
            ready, _, _ = select.select([self.fd], [], [], PATIENCE_S)
            assert ready, f"waited in vain for {end!r} after {data[-80:]!r}"
            data += os.read(self.fd, 65536)
        return data

    def ask(self, line: bytes) -> bytes:
        os.write(self.fd, line + b"\r")
        return self.until(b"\r\n@ ")

    def is_hung_up(self) -> bool:
        """Waits for the hang-up, reading what comes before it."""
        while select.select([self.fd], [], [], PATIENCE_S)[0]:
            try:
                if not os.read(self.fd, 65536):
                    return True
            except OSError:
                return True
        return False


@pytest.fixture
def start() -> Iterator[Callable[..., Process]]:
    started: list[Process] = []

    def _start(*arguments: str) -> Process:
        started.append(Process("--until-eof", *arguments))
        return started[-1]

    yield _start
    for process in started:
        if process.popen.poll() is None:
            process.popen.kill()
        process.popen.communicate(timeout=PATIENCE_S)


@pytest.fixture
def connect() -> Iterator[Callable[[str], Client]]:
    clients: list[Client] = []

    def _connect(path: str) -> Client:
        clients.append(Client(path))
        return clients[-1]

    yield _connect
    for client in clients:
        os.close(client.fd)


Start = Callable[..., Process]
Connect = Callable[[str], Client]


def test_a_session_on_a_pty(start: Start, connect: Connect) -> None:
    client = connect(start().port)
    assert client.until(b"@ ").startswith(b"\r\nwader boot 3")
    assert client.ask(b"halt") == b"halt\r\ndone\r\n@ "
    assert client.ask(b"recite").count(b"\r\n") == 1 + 1 + 612 + 1 + 1


def test_the_board_goes_on_when_a_client_leaves(start: Start, connect: Connect) -> None:
    process = start()
    first = Client(process.port)
    first.until(b"@ ")
    os.close(first.fd)
    second = connect(process.port)
    assert second.ask(b"halt") == b"halt\r\ndone\r\n@ "


def test_a_session_over_tcp_with_one_client_at_a_time(start: Start) -> None:
    scheme, _, address = start("--wire", "tcp").port.partition("://")
    assert scheme == "socket"
    host, _, number = address.partition(":")
    where = (host, int(number))
    with socket.create_connection(where, PATIENCE_S) as client:
        data = b""
        while not data.endswith(b"done\r\n@ "):
            client.sendall(b"halt\r")
            data += client.recv(4096)
        with socket.create_connection(where, PATIENCE_S) as second:
            assert second.recv(1) == b""


def test_the_control_orders(start: Start, connect: Connect) -> None:
    process = start("--settings", "60")
    client = connect(process.port)
    client.until(b"@ ")
    assert process.order('put board.number "X"') == {"board.number": '"X"'}
    assert b"number    X" in client.ask(b"plate")
    assert process.order("outputs live") == {"outputs": "live"}
    assert b"outputs   live" in client.ask(b"state")
    assert process.order("kept") == {}
    client.ask(b"let tilt.left.centre_us be 1512;keep;lamp 400")
    assert process.order("kept tilt.left.centre_us") == {"tilt.left.centre_us": "1512"}
    assert len(process.order("live")) == 60
    assert process.order("received")["received"] == [
        "plate",
        "state",
        "let tilt.left.centre_us be 1512;keep;lamp 400",
    ]
    assert process.order("lamps") != {"blinks": 0}


@pytest.mark.parametrize(
    "order",
    ["", "foo", "put x.y 1", "put pack.cells 99", "kept x.y", "outputs", "\x00\xff"],
)
def test_a_bad_order_answers_an_error(start: Start, order: str) -> None:
    process = start()
    assert list(process.order(order)) == ["error"]
    assert process.order("outputs resting") == {"outputs": "resting"}


def test_the_counters_count_bytes_and_can_be_reset(
    start: Start, connect: Connect
) -> None:
    process = start()
    client = connect(process.port)
    client.until(b"@ ")
    assert process.order("reset-counters") == {"counters": "reset"}
    said = client.ask(b"halt")
    counted = process.order("counters")
    first_us, last_us = counted.pop("first_us"), counted.pop("last_us")
    assert counted == {
        "received": 5,
        "sent": len(said),
        "dropped": 0,
        "lost_in_boot": 0,
        "commands": 1,
    }
    assert isinstance(first_us, int)
    assert isinstance(last_us, int)
    assert first_us < last_us <= time.monotonic_ns() // 1000


def test_a_paced_pty_takes_the_time_of_the_wire(start: Start, connect: Connect) -> None:
    process = start("--baud", "115200", "--settings", "200")
    client = connect(process.port)
    client.until(b"@ ")
    process.order("reset-counters")
    client.ask(b"recite")
    counted = process.order("counters")
    sent, first, last = (counted[name] for name in ("sent", "first_us", "last_us"))
    assert isinstance(sent, int)
    assert isinstance(first, int)
    assert isinstance(last, int)
    wire_us = sent * 10e6 / 115_200
    assert wire_us <= last - first <= 1.5 * wire_us


def test_a_restart_keeps_what_was_kept_in_a_file(
    start: Start, connect: Connect, tmp_path: Path
) -> None:
    file = str(tmp_path / "kept.json")
    first = start("--store", file)
    client = connect(first.port)
    client.until(b"@ ")
    client.ask(b"let pack.cells be 3;keep")
    assert first.end() == 0
    client = connect(start("--store", file).port)
    assert b"store: 612 settings" in client.until(b"waiting\r\n@ ")
    assert b"pack.cells: 3" in client.ask(b"recite pack.cells")


def test_the_announcement_names_the_port_and_goes_with_the_process(
    start: Start, tmp_path: Path
) -> None:
    file = tmp_path / "port.json"
    process = start("--announce", str(file), "--seed", "4")
    facts = json.loads(file.read_text())
    number = str(process.order("live")["board.number"]).strip('"')
    assert facts == {
        "port": process.port,
        "pid": process.popen.pid,
        "console": "wader",
        "product": "simulated aircraft",
        "serial": number,
    }
    assert process.end() == 0
    assert not file.exists()


@pytest.mark.parametrize("wire", ["pty", "tcp"])
def test_unplugging_takes_the_port_away_and_replugging_brings_another(
    start: Start, tmp_path: Path, wire: str
) -> None:
    file = tmp_path / "port.json"
    process = start("--wire", wire, "--announce", str(file))
    assert process.order("unplug") == {"cable": "out"}
    process.send("replug")
    word, _, path = process.line().partition(" ")
    assert (word, json.loads(process.line())) == ("port", {"cable": "in", "port": path})
    assert path != process.port
    assert json.loads(file.read_text())["port"] == path


def test_unplugging_hangs_up_on_the_client(start: Start, connect: Connect) -> None:
    process = start()
    client = connect(process.port)
    client.until(b"@ ")
    process.order("unplug")
    assert client.is_hung_up()
    assert not Path(process.port).exists()


def test_values_survive_the_cable_but_not_the_pack(
    start: Start, connect: Connect
) -> None:
    process = start()
    client = connect(process.port)
    client.until(b"@ ")
    client.ask(b"let tilt.left.centre_us be 1600")
    process.send("replug")
    client = connect(process.line().removeprefix("port "))
    process.line()
    assert b": 1600" in client.ask(b"recite tilt.left.centre_us")
    assert process.order("power-cycle") == {"power": "cycled"}
    client.until(b"waiting\r\n@ ")
    assert b": 1500" in client.ask(b"recite tilt.left.centre_us")


def test_a_restart_can_bring_another_port(
    start: Start, connect: Connect, tmp_path: Path
) -> None:
    file = tmp_path / "port.json"
    process = start("--reenumerate", "--announce", str(file))
    client = connect(process.port)
    client.until(b"@ ")
    assert client.ask(b"restart") == b"restart\r\ndone\r\n@ "
    assert client.is_hung_up()
    word, _, path = process.line().partition(" ")
    assert word == "port"
    assert path != process.port
    assert json.loads(file.read_text())["port"] == path
    assert connect(path).until(b"@ ").endswith(b"radio: waiting\r\n@ ")


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_ends_it_cleanly(start: Start, number: signal.Signals) -> None:
    process = start()
    process.popen.send_signal(number)
    _, errors = process.popen.communicate(timeout=PATIENCE_S)
    assert (process.popen.returncode, errors) == (0, b"")


def test_quit_ends_it(start: Start) -> None:
    process = start()
    assert process.order("quit") == {"quit": True}
    assert process.popen.wait(PATIENCE_S) == 0


def test_the_end_of_input_ends_it_when_asked_to(start: Start) -> None:
    process = start()
    _, errors = process.popen.communicate(timeout=PATIENCE_S)
    assert (process.popen.returncode, errors) == (0, b"")


def test_the_end_of_input_is_else_ignored(connect: Connect) -> None:
    process = Process()
    try:
        assert process.popen.stdin is not None
        process.popen.stdin.close()
        client = connect(process.port)
        client.until(b"@ ")
        assert b"done" in client.ask(b"halt")
    finally:
        process.popen.terminate()
        assert process.popen.wait(PATIENCE_S) == 0
        for stream in (process.popen.stdout, process.popen.stderr):
            assert stream is not None
            stream.close()


def test_an_idle_process_uses_no_processor_time(start: Start, connect: Connect) -> None:
    process = start()
    client = connect(process.port)
    client.until(b"@ ")
    before = _processor_ticks(process.popen.pid)
    assert select.select([client.fd], [], [], 0.5)[0] == []
    assert _processor_ticks(process.popen.pid) - before <= 2


@pytest.mark.parametrize(
    "arguments",
    [("--settings", "59"), ("--settings", "5001"), ("--baud", "-1"), ("--wire", "x")],
)
def test_impossible_options_are_refused_before_anything_starts(
    arguments: tuple[str, str],
) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mocks", *arguments],
        cwd=CHECKOUT,
        capture_output=True,
        timeout=PATIENCE_S,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, b"")
    assert arguments[0].encode() in done.stderr


def test_a_damaged_store_is_told_without_a_traceback(tmp_path: Path) -> None:
    file = tmp_path / "kept.json"
    file.write_text("{")
    done = subprocess.run(
        [sys.executable, "-m", "mocks", "--store", str(file)],
        cwd=CHECKOUT,
        capture_output=True,
        timeout=PATIENCE_S,
        check=False,
    )
    assert done.returncode == 1
    assert b"kept.json" in done.stderr
    assert b"Traceback" not in done.stderr


def _processor_ticks(pid: int) -> int:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return int(fields[11]) + int(fields[12])
