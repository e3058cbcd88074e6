"""The shipped profiles against the simulated aircraft they were made for."""

import re
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchlink.core.document import Scalar
from benchlink.core.intent import Intent, Owner, Wanted
from benchlink.core.values import decimal_or_none
from benchlink.store.profiles import load_profile, shipped_profiles

CHECKOUT = Path(__file__).resolve().parents[2]
Ask = Callable[[str], list[str]]
BASELINE = load_profile("lapwing")


@pytest.fixture(scope="module")
def ask() -> Iterator[Ask]:
    command = [sys.executable, "-m", "mocks", "--wire", "tcp", "--until-eof"]
    with subprocess.Popen(
        [*command, "--handling-us", "1"],
        cwd=CHECKOUT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as board:
        assert board.stdout is not None
        host, _, port = board.stdout.readline().strip()[9:].partition(":")
        with socket.create_connection((host, int(port)), timeout=10) as wire:
            _until_prompt(wire)
            yield lambda line: _ask(wire, line)


def _ask(wire: socket.socket, line: str) -> list[str]:
    wire.sendall(line.encode() + b"\r")
    return _until_prompt(wire).split("\r\n")[1:-1]


def _until_prompt(wire: socket.socket) -> str:
    heard = b""
    while not heard.endswith(b"\r\n@ "):
        heard += wire.recv(65536)
    return heard.decode()


def as_board_writes(wanted: Wanted) -> str:
    assert isinstance(wanted.given, Scalar)
    if wanted.given.quoted:
        return f'"{wanted.given.text}"'
    return {"on": "yes", "off": "no"}.get(wanted.given.text, wanted.given.text)


def same(one: str, other: str) -> bool:
    first, second = decimal_or_none(one), decimal_or_none(other)
    return one == other if first is None else first == second


@pytest.mark.parametrize("name", shipped_profiles())
def test_every_value_is_taken_exactly_as_asked(name: str, ask: Ask) -> None:
    for wanted in load_profile(name).wanted.values():
        asked = as_board_writes(wanted)
        assert ask(f"let {wanted.name} be {asked}") == ["done"], wanted.name
        stored = ask(f"recite {wanted.name}")[0].partition(": ")[2]
        assert same(asked, stored), wanted.name


def test_about_sixty_values_of_the_baseline_differ_from_factory(ask: Ask) -> None:
    ask("start over")
    listed = dict(line[2:].split(": ", 1) for line in ask("recite")[1:-2])

    differing = [
        w.name
        for w in BASELINE.wanted.values()
        if not same(as_board_writes(w), listed[w.name])
    ]
    assert len(BASELINE.wanted) >= 85
    assert 55 <= len(differing) <= 65


MOVING = re.compile(
    r"tilt\..*\.(centre_us|aft_us|fore_us|direction)|output\..*|mount\..*"
    r"|motor\..*\.(output|idle_pct|low_us|high_us|direction)|level\.self_levelling"
)


def test_nothing_in_the_baseline_moves_when_it_is_written() -> None:
    assert [n for n in BASELINE.wanted if MOVING.fullmatch(n)] == []


def test_the_layers_of_one_aircraft_fold_into_one_intent() -> None:
    intent: Intent = load_profile("lw-03")

    assert intent.owner_of("craft.mass_g") is Owner.BASELINE
    assert intent.owner_of("rail.warn_v") is Owner.KIT
    assert intent.owner_of("tilt.left.centre_us") is Owner.FITTED
    assert intent.owner_of("accel.offset_x_mg") is Owner.BOARD
    assert intent.fits == BASELINE.fits
    assert list(intent.waivers) == ["log.rate_hz"]
