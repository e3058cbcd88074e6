"""Faults of writes and keeps: what the board stores, says and shows."""

from pathlib import Path

import pytest

from mocks.device import Device
from mocks.fault_keeps import KeepOfNothing
from mocks.fault_writes import RefusedWrite
from mocks.options import ConsoleKind, Options
from mocks.store import FileStore
from tests.mocks.fault_bench import CENTRE, LET, NOW, RECITE, Host

KEEP = b"keep\r"
RESTART = b"restart\r"
LET_OK = LET + b"\ndone\r\n@ "
KEPT = b"keep\r\nkept 60 settings\r\ndone\r\n@ "


def let(name: str, value: str) -> bytes:
    return f"let {name} be {value}\r".encode()


@pytest.mark.parametrize(
    ("fault", "stored"),
    [
        ("clamped write", "1550"),
        ("rounded write steps=300", "1500"),
        ("write of nothing", "1500"),
    ],
)
def test_a_write_that_goes_elsewhere_is_answered_like_an_honest_one(
    fault: str, stored: str
) -> None:
    host = Host(f"{fault} at=1")
    assert host.ask(LET) == LET_OK
    assert host.centre() == stored
    assert host.ask(LET) == LET_OK
    assert host.centre() == "1600"
    assert host.tally(fault.partition(" steps")[0]) == (1, 1)


def test_a_write_that_a_fault_cannot_spoil_is_not_counted() -> None:
    host = Host("clamped write at=1; rounded write at=1 steps=25; late read-back at=2")
    # no change, no number
    for line in (let(CENTRE, "1500"), let("filter.notch.on", "yes")):
        assert b"done" in host.ask(line)
    assert set(host.device.faults.tally().values()) == {(0, 0)}
    # half way is 1550, which is round, but late: the second change
    assert host.ask(LET) == LET_OK
    assert host.centre() == "1550"
    assert host.device.faults.tally() == {
        "clamped write": (1, 1),
        "rounded write": (0, 0),
        "late read-back": (1, 1),
    }


def test_a_decimal_is_clamped_in_its_own_steps() -> None:
    host = Host("clamped write at=1")
    host.ask(let("pack.warn_v", "14.5"))
    old = Host().device.aircraft.live["pack.warn_v"]
    new = host.device.aircraft.live["pack.warn_v"]
    assert min(float(old), 14.5) < float(new) < max(float(old), 14.5)
    assert len(new) == len(old)


def test_a_lost_write_moves_nothing_that_hangs_on_it() -> None:
    host = Host("write of nothing at=2")
    host.ask(let("pack.warn_v", "14.5"))
    before = host.device.aircraft.live.copy()
    assert b"done" in host.ask(let("pack.cells", "3"))
    assert host.device.aircraft.live == before


def test_a_neighbour_moves_by_one_step_and_nothing_else_does() -> None:
    host = Host("neighbour moved at=2")
    host.ask(LET)
    before = host.device.aircraft.live.copy()
    host.ask(let(CENTRE, "1601"))
    after = host.device.aircraft.live
    moved = {name for name, value in after.items() if value != before[name]}
    (neighbour,) = moved - {CENTRE, "board.uptime_s"}
    assert neighbour.startswith("tilt.")
    assert float(after[neighbour]) - float(before[neighbour]) == pytest.approx(1)
    assert host.tally("neighbour moved") == (1, 1)


def test_a_late_read_back_shows_the_old_value_for_its_time() -> None:
    host = Host("late read-back at=1 by_ms=900")
    host.say(LET)
    host.hear(500_000)
    assert host.centre() == "1600"
    host.say(RECITE)
    assert b": 1500" in host.hear(399_999)
    assert host.centre() == "1600"
    host.hear(1)
    host.say(RECITE)
    assert b": 1600" in host.hear()
    assert host.tally("late read-back") == (1, 1)


def test_what_is_hidden_is_kept() -> None:
    host = Host("late read-back at=1 by_ms=9000")
    host.ask(LET)
    host.ask(KEEP)
    assert host.kept_centre() == "1600"
    host.ask(RESTART)
    assert b": 1600" in host.ask(RECITE)


def test_another_write_and_the_stored_values_end_the_hiding() -> None:
    host = Host("late read-back at=1 by_ms=9000")
    host.ask(LET)
    host.ask(let(CENTRE, "1620"))
    assert b": 1620" in host.ask(RECITE)
    host = Host("late read-back at=1 by_ms=9000")
    host.ask(LET)
    host.ask(b"forget\r")
    assert host.centre() == "1500"
    assert b": 1500" in host.ask(RECITE)


def test_the_write_itself_already_shows_the_old_value() -> None:
    options = Options(console=ConsoleKind.AVOCET, settings=60)
    host = Host("late read-back rate=1 by_ms=60000", options=options)
    before = host.ask(b"AT+TLC?\r")
    host.ask(b"AT+TLC=1600;+TLC?\r")
    assert host.ask(b"AT+TLC?\r") == before
    assert host.centre() == "1600"


def test_the_nth_write_is_refused() -> None:
    host = Host("refused write at=2 words='too warm'")
    assert host.ask(LET) == LET_OK
    assert b"sorry: too warm\r\n@ " in host.ask(let(CENTRE, "1610"))
    assert host.centre() == "1600"
    assert host.ask(LET) == LET_OK
    assert host.tally("refused write") == (1, 1)


def test_a_console_that_tries_again_by_itself_is_refused_again() -> None:
    options = Options(
        console=ConsoleKind.KNOT, settings=60, faults=(RefusedWrite(at=1),)
    )
    host = Host(options=options)
    assert host.ask(b"tilt-L mid 1600\r").startswith(b"ok\r\n")
    assert host.centre() == "1500"
    host.ask(b"tilt-L mid 1600\r")
    assert host.centre() == "1600"
    assert host.tally("refused write") == (1, 1)


def test_a_dishonest_value_is_refused_as_ever() -> None:
    host = Host("write of nothing rate=1; neighbour moved rate=1")
    assert b"sorry:" in host.ask(let(CENTRE, "99999"))
    assert host.tally("write of nothing") == (0, 0)


def test_a_keep_fails_in_words_that_nobody_expects() -> None:
    host = Host("keep fails oddly at=1 words='page 7 worn'")
    host.ask(LET)
    assert host.ask(KEEP) == b"keep\r\npage 7 worn\r\n@ "
    assert host.kept_centre() is None
    assert host.ask(KEEP) == KEPT
    assert host.kept_centre() == "1600"
    assert host.tally("keep fails oddly") == (1, 0)


def test_odd_words_may_stand_before_the_usual_answer() -> None:
    host = Host("keep fails oddly at=1 says_ok=yes")
    assert host.ask(KEEP) == b"keep\r\nsector 3 sleepy\r\n" + KEPT[6:]
    assert host.device.aircraft.kept() == {}


def test_a_keep_lies() -> None:
    host = Host("keep of nothing at=1")
    host.ask(LET)
    assert host.ask(KEEP) == KEPT
    assert host.device.aircraft.kept() == {}
    host.ask(RESTART)
    assert host.centre() == "1500"
    assert host.tally("keep of nothing") == (1, 0)


def test_a_keep_of_a_part_keeps_the_first_changes() -> None:
    host = Host("keep of a part at=2 part=0.5")
    host.ask(KEEP)
    before = host.device.aircraft.kept()
    host.ask(let("tilt.left.centre_us", "1510"))
    host.ask(let("tilt.right.centre_us", "1511"))
    assert host.ask(KEEP) == KEPT
    after = host.device.aircraft.kept()
    assert {n: v for n, v in after.items() if before[n] != v} == {CENTRE: "1510"}
    assert host.tally("keep of a part") == (1, 0)


def test_a_keep_that_changes_nothing_cannot_be_spoiled() -> None:
    host = Host("keep of nothing at=2; keep of a part at=2")
    host.ask(KEEP)
    host.ask(KEEP)
    assert host.tally("keep of nothing") == host.tally("keep of a part") == (0, 0)


def test_a_slow_keep_takes_its_time() -> None:
    host = Host("slow keep at=1 by_ms=2500")
    host.say(KEEP)
    assert host.hear(2_520_099) == b"keep\r\n"
    assert host.hear(1) == KEPT[6:]
    assert host.tally("slow keep") == (1, 0)


def test_a_reset_in_a_slow_keep_boots_at_once() -> None:
    host = Host("slow keep at=1 by_ms=9000; restart by itself after_ms=1000")
    host.say(KEEP)
    said = host.hear(1_600_000)
    assert said.startswith(b"keep\r\n\r\nwader boot 3")
    assert said.endswith(b"radio: waiting\r\n@ ")


def test_where_a_write_is_kept_at_once_its_keep_hits_a_write() -> None:
    options = Options(console=ConsoleKind.DUNLIN, settings=60)
    host = Host("keep of nothing at=1", options=options)
    for line in (b"bench\r", b"reed\r", b"edit\r", b"lay tilt/left/centre 1600\r"):
        host.ask(line)
    assert host.centre() == "1600"
    assert host.kept_centre() is None
    assert host.tally("keep of nothing") == (1, 1)


def test_the_referee_writes_and_keeps_honestly() -> None:
    host = Host("write of nothing rate=1; keep of nothing rate=1; refused write rate=1")
    host.device.aircraft.put(CENTRE, "1612")
    host.device.aircraft.keep()
    assert host.centre() == host.kept_centre() == "1612"
    assert host.device.kept_shown()[CENTRE] == host.device.shown()[CENTRE] == "1612"
    assert set(host.device.faults.tally().values()) == {(0, 0)}


def test_a_spoiled_keep_spoils_the_file_too(tmp_path: Path) -> None:
    file = tmp_path / "kept.json"
    options = Options(settings=60, faults=(KeepOfNothing(at=2),))
    device = Device(options, FileStore(file))
    device.advance(NOW)
    device.receive(b"keep\r" + LET + b"keep\r", NOW)
    device.advance(2 * NOW)
    assert device.faults.tally()["keep of nothing"][0] == 1
    assert '"1600"' not in file.read_text("utf-8")
