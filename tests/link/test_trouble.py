"""What the system says, in the words a person at a bench needs."""

import errno
import grp
import os
import pwd
import termios
from pathlib import Path

import pytest
import serial

from benchlink.errors import NoPortError, PortBusyError
from benchlink.link.access import Access, access_to
from benchlink.link.holders import Holder, holders_of, runs
from benchlink.link.ports import PortIdentity
from benchlink.link.trouble import (
    OPEN_TABLE,
    busy,
    errno_of,
    no_such_port,
    open_trouble,
    refused,
)
from benchlink.link.wire import open_wire
from benchlink.units import Baud
from tests.link.far_end import pty_end

PORT = "/dev/ttyACM0"


def access(*, listed: bool, in_effect: bool) -> Access:
    return Access(user="builder", group="dialout", listed=listed, in_effect=in_effect)


def test_no_port_at_all_blames_the_cable_first() -> None:
    error = no_such_port(PORT, ())

    assert "no serial port at all" in str(error)
    assert error.hint.startswith("A charge-only cable?")


def test_a_wrong_name_lists_what_is_there() -> None:
    there = PortIdentity(url="/dev/ttyACM1", product="Lapwing core", serial="7F3A")

    assert no_such_port(PORT, (there,)).hint == (
        "There is: /dev/ttyACM1 Lapwing core 7F3A."
    )


def test_where_only_the_computers_own_line_is_there_the_cable_is_blamed_too() -> None:
    error = no_such_port(PORT, (PortIdentity(url="/dev/ttyS0"),))

    assert error.hint.startswith("There is: /dev/ttyS0. That is the computer's own.")
    assert "A charge-only cable?" in error.hint


def test_a_stranger_to_the_group_gets_the_line_to_type() -> None:
    error = refused(PORT, access(listed=False, in_effect=False))

    assert "group dialout only, and builder is not in it" in str(error)
    assert "`sudo usermod -aG dialout builder`, then log out and in" in error.hint


def test_a_fresh_member_only_has_to_log_in_again() -> None:
    error = refused(PORT, access(listed=True, in_effect=False))

    assert "usermod" not in error.hint
    assert "log out and in again" in error.hint


def test_a_member_in_effect_is_told_to_wait_for_the_rights() -> None:
    error = refused(PORT, access(listed=True, in_effect=True))

    assert "two seconds later: try again" in error.hint


def test_rights_come_from_the_group_of_the_port_itself() -> None:
    other = next(
        g for g in grp.getgrall() if g.gr_gid not in {os.getegid(), *os.getgroups()}
    )
    user = pwd.getpwuid(os.getuid())

    found = access_to(
        PORT, stat=lambda _: os.stat_result((0, 0, 0, 0, 0, other.gr_gid, 0, 0, 0, 0))
    )

    assert (found.user, found.group, found.in_effect) == (
        user.pw_name,
        other.gr_name,
        False,
    )


def test_a_known_holder_is_named_with_its_process() -> None:
    error = busy(PORT, (Holder(4711, "logger"),))

    assert str(error) == "/dev/ttyACM0 is in use by logger (process 4711)"


def test_a_hidden_holder_is_not_invented() -> None:
    assert "hidden" in str(busy(PORT, ()))


@pytest.mark.parametrize("holders", [(), (Holder(300, "ModemManager"),)])
def test_a_modem_watcher_is_waited_for_or_kept_away(
    holders: tuple[Holder, ...],
) -> None:
    error = busy(PORT, holders, "1209:0001", modem_watch=True)

    assert "lets go after about 10 s" in error.hint
    assert 'ATTRS{idVendor}=="1209", ATTRS{idProduct}=="0001"' in error.hint


def test_a_holder_is_found_by_its_open_descriptor() -> None:
    with pty_end() as end:
        assert os.getpid() in {holder.pid for holder in holders_of(end.url)}


def test_holders_are_read_from_the_process_folder(tmp_path: Path) -> None:
    (tmp_path / "77" / "fd").mkdir(parents=True)
    (tmp_path / "77" / "fd" / "3").symlink_to(PORT)
    (tmp_path / "77" / "comm").write_text("logger\n")
    (tmp_path / "78").mkdir()

    assert holders_of(PORT, tmp_path) == (Holder(77, "logger"),)
    assert runs("logger", tmp_path)
    assert not runs("nobody", tmp_path)


def test_the_number_is_found_where_pyserial_hid_it() -> None:
    cause = termios.error(errno.ENOTTY, "Inappropriate ioctl for device")
    trouble = serial.SerialException(f"Could not configure port: {cause}")
    trouble.__context__ = cause

    assert errno_of(trouble) == errno.ENOTTY


@pytest.mark.parametrize("number", sorted(OPEN_TABLE))
def test_every_known_number_tells_the_port_and_what_to_do(number: int) -> None:
    error = open_trouble(OSError(number, os.strerror(number)), PORT)

    assert PORT in str(error)
    assert error.hint


def test_an_unknown_trouble_keeps_its_words() -> None:
    error = open_trouble(ValueError("rate 7 is odd"), PORT)

    assert str(error) == "/dev/ttyACM0 does not open: rate 7 is odd"


def test_words_are_enough_where_there_is_no_number() -> None:
    text = "could not open port 'COM3': PermissionError(13, 'Access is denied.')"

    assert isinstance(open_trouble(serial.SerialException(text), "COM3"), PortBusyError)


@pytest.mark.parametrize(
    ("kind", "words"),
    [("file", "is not a serial port"), ("folder", "is a folder"), ("none", "no port")],
)
def test_what_is_no_port_is_called_what_it_is(
    kind: str, words: str, tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    (tmp_path / "folder").mkdir()

    with pytest.raises(NoPortError, match=words):
        open_wire(str(tmp_path / kind), Baud(115200))
