"""Ports that are there, and boards that come back elsewhere."""

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import cast

import pytest
from serial.tools import list_ports as pyserial_ports
from serial.tools.list_ports_common import ListPortInfo

from benchlink.link.ports import (
    PortIdentity,
    Scan,
    announced,
    find_again,
    has_hardware,
    identify,
    list_ports,
    stable_paths,
    system_ports,
)

BOARD = PortIdentity(
    url="/dev/ttyACM0", serial="7F3A", usb="1209:0001", location="1-2:1.0"
)


def seen(*ports: PortIdentity) -> Scan:
    return lambda: ports


def announce(folder: Path, name: str, **told: object) -> None:
    usual = {"port": "/dev/pts/9", "pid": os.getpid(), "console": "wader"}
    text = json.dumps({**usual, "product": "simulated aircraft", **told})
    (folder / f"{name}.json").write_text(text)


def test_a_running_simulated_aircraft_is_listed(tmp_path: Path) -> None:
    announce(tmp_path, "one", serial="LW-01")

    (port,) = list_ports(tmp_path, scan=seen())

    assert (port.url, port.serial, port.console) == ("/dev/pts/9", "LW-01", "wader")


@pytest.mark.parametrize("pid", [2**22 + 1, 0, -1, 2**80, "x", None])
def test_an_announcement_of_no_living_process_is_ignored(
    tmp_path: Path, pid: object
) -> None:
    announce(tmp_path, "one", pid=pid)

    assert announced(tmp_path) == ()


@pytest.mark.parametrize("text", ["", "[]", "{", '{"port": 3}', "\x00"])
def test_a_damaged_announcement_is_ignored(tmp_path: Path, text: str) -> None:
    (tmp_path / "one.json").write_text(text)

    assert announced(tmp_path) == ()


def test_no_folder_means_no_simulated_aircraft(tmp_path: Path) -> None:
    assert announced(None) == announced(tmp_path / "missing") == ()


def test_a_board_is_found_on_another_path_by_its_serial() -> None:
    moved = PortIdentity(
        url="/dev/ttyACM1", serial="7F3A", usb="1209:0001", location="1-3:1.0"
    )
    other = PortIdentity(url="/dev/ttyACM0", serial="0000", usb="1209:0001")

    assert find_again(BOARD, scan=seen(other, moved)) == (moved,)


def test_another_interface_of_the_same_board_is_not_its_console() -> None:
    second = PortIdentity(
        url="/dev/ttyACM1", serial="7F3A", usb="1209:0001", location="1-2:1.2"
    )

    assert find_again(BOARD, scan=seen(second)) == ()


def test_twins_are_told_apart_by_their_socket_on_the_bus() -> None:
    twin = PortIdentity(
        url="/dev/ttyACM3", serial="7F3A", usb="1209:0001", location="1-4:1.0"
    )
    back = PortIdentity(
        url="/dev/ttyACM4", serial="7F3A", usb="1209:0001", location="1-2:1.0"
    )

    assert find_again(BOARD, scan=seen(twin, back)) == (back,)


def test_twins_that_both_moved_stay_both_in_question() -> None:
    twins = [
        PortIdentity(
            url=f"/dev/ttyACM{n}", serial="7F3A", usb="1209:0001", location=f"1-{n}:1.0"
        )
        for n in (7, 8)
    ]

    assert find_again(BOARD, scan=seen(*twins)) == tuple(twins)


def test_a_simulated_aircraft_is_found_by_its_announced_serial(
    tmp_path: Path,
) -> None:
    announce(tmp_path, "one", serial="LW-01", port="/dev/pts/3")
    (before,) = announced(tmp_path)
    announce(tmp_path, "one", serial="LW-01", port="/dev/pts/8")

    (after,) = find_again(before, tmp_path, scan=seen())

    assert after.url == "/dev/pts/8"


def test_a_port_without_identity_is_only_itself() -> None:
    plain = PortIdentity(url="/dev/ttyS4")

    assert find_again(plain, scan=seen(PortIdentity(url="/dev/ttyS5"))) == ()


def test_a_link_to_a_port_has_the_identity_of_the_port(tmp_path: Path) -> None:
    device = tmp_path / "ttyACM0"
    device.touch()
    (tmp_path / "board").symlink_to(device)
    port = PortIdentity(url=str(device), serial="7F3A")

    known = identify(str(tmp_path / "board"), scan=seen(port))

    assert (known.url, known.serial) == (str(tmp_path / "board"), "7F3A")


def test_an_unlisted_port_is_known_by_its_name_only() -> None:
    url = "socket://127.0.0.1:4001"

    assert identify(url, scan=seen(BOARD)) == PortIdentity(url=url)


def test_lasting_names_lead_to_devices(tmp_path: Path) -> None:
    (tmp_path / "usb-lapwing").symlink_to("/dev/null")

    assert stable_paths(tmp_path) == {"/dev/null": str(tmp_path / "usb-lapwing")}
    assert stable_paths(tmp_path / "missing") == {}


@pytest.mark.parametrize(("kind", "real"), [("0", False), ("4", True)])
def test_a_legacy_line_counts_only_with_a_chip(
    tmp_path: Path, kind: str, *, real: bool
) -> None:
    (tmp_path / "ttyS1").mkdir()
    (tmp_path / "ttyS1" / "type").write_text(f"{kind}\n")

    assert has_hardware("ttyS1", tmp_path) is real
    assert has_hardware("ttyACM0", tmp_path)


def test_a_scan_that_stumbles_over_a_vanishing_adapter_is_repeated(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    outcomes = iter([TypeError("gone"), [ListPortInfo("/dev/ttyACM5")]])

    def comports() -> Iterator[ListPortInfo]:
        outcome = next(outcomes)
        if isinstance(outcome, TypeError):
            raise outcome
        return iter(cast("list[ListPortInfo]", outcome))

    monkeypatch.setattr(pyserial_ports, "comports", comports)

    assert [port.url for port in system_ports()] == ["/dev/ttyACM5"]
