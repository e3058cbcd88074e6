"""Faults in the simulated aircraft's own process, by order and at the start."""

import json
import os
import re
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.mocks.fault_bench import BOOT_BYTES
from tests.mocks.test_mock_process import CHECKOUT, PATIENCE_S, Client, Process

Start = Callable[..., Process]


@pytest.fixture
def start() -> Iterator[Start]:
    started: list[Process] = []

    def _start(*arguments: str) -> Process:
        started.append(Process("--until-eof", "--settings", "60", *arguments))
        return started[-1]

    yield _start
    for process in started:
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


Connect = Callable[[str], Client]
HALTED = b"halt\r\ndone\r\n@ "


def halted(process: Process, client: Client, booted: int = BOOT_BYTES) -> Client:
    """A client of a board that has booted, once all it said has been read.

    Opening a port may throw away what waits in it, so that the prompt of the boot is
    nothing to wait for; the board itself tells how much it has said.
    """
    sent = 0
    while sent < booted:
        told = process.order("bytes")["sent"]
        assert isinstance(told, int)
        sent = told
    os.write(client.fd, b"halt\r")
    assert client.until(b"done\r\n@ ").endswith(HALTED)
    return client


def test_a_fault_by_order_is_listed_counted_and_healed(
    start: Start, connect: Connect
) -> None:
    process = start()
    client = halted(process, connect(process.port))
    assert process.order("faults") == {"active": [], "tally": {}}
    told = process.order("fault write of nothing at=1; late answer at=2 by_ms=5")
    assert told == {
        "active": ["write of nothing at=1", "late answer at=2 by_ms=5"],
        "tally": {"write of nothing": [0, 0], "late answer": [0, 0]},
    }
    assert b"done" in client.ask(b"let tilt.left.centre_us be 1600")
    assert process.order("live")["tilt.left.centre_us"] == "1500"
    client.ask(b"halt")
    counts = {"write of nothing": [1, 1], "late answer": [1, 0]}
    assert process.order("faults")["tally"] == counts
    assert process.order("heal") == {"active": [], "tally": counts}


def test_the_bytes_are_told_and_the_next_one_can_be_hit(
    start: Start, connect: Connect
) -> None:
    process = start()
    client = halted(process, connect(process.port))
    said = BOOT_BYTES + len(HALTED)
    assert process.order("bytes") == {"received": 5, "sent": said}
    process.order("fault lost byte at=7")
    assert client.ask(b"halt").startswith(b"hlt\r\n")
    assert list(process.order("fault lost byte at=7")) == ["error"]


@pytest.mark.parametrize("order", ["fault", "fault lost bite at=1", "fault no return"])
def test_a_bad_fault_answers_an_error(start: Start, order: str) -> None:
    assert list(start().order(order)) == ["error"]


def test_faults_at_the_start_and_by_seed(start: Start, connect: Connect) -> None:
    process = start("--faults", "missing answer at=1; drawn seed=1")
    active = process.order("faults")["active"]
    assert isinstance(active, list)
    assert active[0] == "missing answer at=1"
    assert len(active) > 1
    process.order("heal")
    halted(process, connect(process.port))


def test_an_option_that_names_no_fault_ends_in_usage() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mocks", "--faults", "lost bite"],
        cwd=CHECKOUT,
        capture_output=True,
        check=False,
        timeout=PATIENCE_S,
    )
    assert (done.returncode, done.stdout) == (2, b"")
    assert b"no fault is called 'lost bite'" in done.stderr


def test_a_board_that_returns_at_another_path(
    start: Start, connect: Connect, tmp_path: Path
) -> None:
    file = tmp_path / "port.json"
    process = start("--announce", str(file), "--faults", "another path at=1")
    client = halted(process, connect(process.port))
    client.ask(b"restart")
    assert client.is_hung_up()
    word, _, path = process.line().partition(" ")
    assert word == "port"
    assert path != process.port
    assert json.loads(file.read_text("utf-8"))["port"] == path
    said = 2 * BOOT_BYTES + len(HALTED + b"restart\r\ndone\r\n@ ")
    halted(process, connect(path), said)


def test_a_cable_that_comes_out_by_itself_and_stays_out_until_an_order(
    start: Start, connect: Connect
) -> None:
    process = start()
    client = halted(process, connect(process.port))
    process.order("fault unplugged at=8")
    os.write(client.fd, b"halt\r")
    assert client.is_hung_up()
    assert process.order("bytes")["received"] == 8
    process.send("replug")
    path = process.line().removeprefix("port ")
    assert json.loads(process.line()) == {"cable": "in", "port": path}
    # the three letters are still in the board's line
    os.write((again := connect(path)).fd, b"t\r")
    assert again.until(b"done\r\n@ ") == b"t\r\ndone\r\n@ "


def test_a_tcp_port_comes_back_under_the_same_number(start: Start) -> None:
    process = start("--wire", "tcp", "--faults", "unplugged at=3 back_ms=50 path=same")
    found = re.fullmatch(r"socket://(.*):([0-9]+)", process.port)
    assert found
    where = (found[1], int(found[2]))
    with socket.create_connection(where, PATIENCE_S) as client:
        # in boot all is lost, and counts all the same
        client.sendall(b"xxx")
        while client.recv(4096):
            pass
    assert process.line() == f"port {process.port}"
    with socket.create_connection(where, PATIENCE_S) as client:
        data = b""
        while not data.endswith(b"done\r\n@ "):
            client.sendall(b"halt\r")
            data += client.recv(4096)


def test_a_pty_comes_back_and_is_named(start: Start, connect: Connect) -> None:
    process = start("--faults", "unplugged after_ms=1 back_ms=20 path=same")
    path = process.line().removeprefix("port ")
    # the last path, unless another process has just taken it
    assert Path(path).parent == Path(process.port).parent
    halted(process, connect(path))
