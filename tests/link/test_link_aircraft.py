"""The whole way: a simulated aircraft, its port, the pump, a real conversation."""

import json
import os
import select
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest

from benchlink.console.description import Manner, Wake
from benchlink.console.template import template
from benchlink.core.exchange import AnswerForm, Command, Verdict
from benchlink.errors import NoPortError, PortLostError
from benchlink.link.board import LinkBoard, open_board
from benchlink.units import Baud, Seconds
from tests.link.far_end import WITHIN_S, clock

CHECKOUT = Path(__file__).parents[2]
FORM = AnswerForm(
    ok=(template("done"),),
    noted=(template("note: {remark}"),),
    refused=(template("sorry: {remark}"),),
)
MANNER = Manner(
    prompt=template("@ "),
    answer=FORM,
    longest_line=120,
    abandon=b"\x15",
    wake=Wake.ABANDON,
    banner=(template("wader boot {count}"),),
    window_bytes=200,
)


def command(line: str) -> Command:
    return Command(line=line, answer_within=Seconds(2.0), form=FORM)


class Aircraft:
    """A process; every line it says is waited for with a limit."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self._rest = b""
        self.port = self.line()

    def line(self) -> str:
        assert self.process.stdout
        while b"\n" not in self._rest:
            assert select.select([self.process.stdout], [], [], WITHIN_S)[0]
            data = os.read(self.process.stdout.fileno(), 4096)
            assert data, "the simulated aircraft ended"
            self._rest += data
        line, _, self._rest = self._rest.partition(b"\n")
        return line.decode()

    def order(self, line: str) -> object:
        assert self.process.stdin
        self.process.stdin.write(line.encode() + b"\n")
        self.process.stdin.flush()
        answer: object = json.loads(self.line())
        return answer


@contextmanager
def flying(*arguments: str) -> Iterator[Aircraft]:
    started = subprocess.Popen(
        [sys.executable, "-m", "mocks", "--until-eof", *arguments],
        cwd=CHECKOUT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    with started as process:
        try:
            yield Aircraft(process)
        finally:
            process.terminate()


def connected(url: str, folder: Path | None = None) -> LinkBoard:
    return open_board(
        url, MANNER, speed=Baud(115200), clock=clock, simulated_folder=folder
    )


@pytest.mark.parametrize("wire", ["pty", "tcp"])
def test_a_listing_comes_whole(wire: str) -> None:
    with (
        flying("--wire", wire, "--settings", "1000") as aircraft,
        connected(aircraft.port) as board,
    ):
        (answer,) = board.ask([command("recite")])

    assert answer.verdict is Verdict.OK
    assert len(answer.lines) == 1002


def test_reads_go_through_the_window_of_a_paced_board() -> None:
    with (
        flying("--baud", "115200", "--settings", "100") as aircraft,
        connected(aircraft.port) as board,
    ):
        answers = board.ask([command("recite tilt.left.centre_us")] * 60)

    assert {answer.lines for answer in answers} == {("tilt.left.centre_us: 1500",)}


def test_a_restart_is_proven_by_the_boot_line() -> None:
    with flying("--settings", "100") as aircraft, connected(aircraft.port) as board:
        board.ask([command("let tilt.left.centre_us be 1600")])
        answer = board.restart(command("restart"), Seconds(WITHIN_S))
        (read,) = board.ask([command("recite tilt.left.centre_us")])

    assert answer.verdict is Verdict.OK
    assert board.epoch == 2
    assert read.lines == ("tilt.left.centre_us: 1500",)


def test_an_aircraft_that_comes_back_elsewhere_is_followed(tmp_path: Path) -> None:
    announced = tmp_path / "one.json"
    with (
        flying(
            "--reenumerate", "--settings", "100", "--announce", str(announced)
        ) as aircraft,
        connected(aircraft.port, tmp_path) as board,
    ):
        answer = board.restart(command("restart"), Seconds(WITHIN_S))
        (read,) = board.ask([command("recite tilt.left.centre_us")])
        moved = aircraft.line()

        assert moved == f"port {board.port}"
        assert board.port != aircraft.port

    assert answer.verdict is Verdict.OK
    assert read.verdict is Verdict.OK


def test_an_unplugged_aircraft_is_said_at_once() -> None:
    with (
        flying("--baud", "1200", "--settings", "100") as aircraft,
        ThreadPoolExecutor(1) as others,
        connected(aircraft.port) as board,
    ):
        asked = others.submit(board.ask, [command("recite")])
        aircraft.order("unplug")
        with pytest.raises(PortLostError):
            asked.result(WITHIN_S)


def test_an_aircraft_that_is_gone_is_no_port() -> None:
    with flying("--settings", "100") as aircraft:
        port = aircraft.port
        assert aircraft.process.stdin
        aircraft.process.stdin.close()
        aircraft.process.wait(WITHIN_S)

        with pytest.raises(NoPortError):
            connected(port)
