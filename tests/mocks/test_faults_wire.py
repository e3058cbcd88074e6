"""Faults of the wire and the cable: exactly at their byte, and counted."""

from dataclasses import replace

import pytest

from mocks.device import Device
from mocks.fault import Way
from mocks.fault_events import Path, Unplugged
from mocks.fault_wire import DoubledByte, FlippedByte, LostByte
from mocks.options import ConsoleKind, Options
from mocks.uart import Line
from tests.mocks.fault_bench import BOOT_BYTES, LET, NOW, RECITE, Host

HALT = b"halt\r"
ANSWER = b"halt\r\ndone\r\n@ "
PACED = Options(settings=60, baud=9600)


def test_a_board_that_has_just_booted_has_said_so_many_bytes() -> None:
    host = Host()
    assert (host.device.received, host.device.sent) == (0, BOOT_BYTES)
    assert len(host.booted) == BOOT_BYTES


@pytest.mark.parametrize(
    ("fault", "heard"),
    [
        ("lost byte", b"hlt\r\n"),
        ("doubled byte", b"haalt\r\n"),
        ("flipped byte bit=1", b"hclt\r\n"),
    ],
)
@pytest.mark.parametrize("pieces", [1, 2, 5])
def test_byte_two_to_the_board_is_hit_however_it_is_sent(
    fault: str, heard: bytes, pieces: int
) -> None:
    host = Host(f"{fault} at=2")
    for at in range(0, len(HALT), pieces):
        host.say(HALT[at : at + pieces])
    assert host.hear().startswith(heard)
    assert host.device.received == len(HALT)
    assert host.tally(fault.partition(" bit")[0]) == (1, 0)


@pytest.mark.parametrize(
    ("fault", "heard"),
    [
        ("lost byte", b"hat\r\ndone\r\n@ "),
        ("doubled byte", b"hallt\r\ndone\r\n@ "),
        ("flipped byte bit=0", b"hamt\r\ndone\r\n@ "),
    ],
)
def test_byte_three_of_an_echo_is_hit_and_the_board_does_not_notice(
    fault: str, heard: bytes
) -> None:
    host = Host(f"{fault} way=sent at={BOOT_BYTES + 3}")
    assert host.ask(HALT) == heard
    assert host.ask(HALT) == ANSWER
    assert host.device.console.received[-1] == "halt"
    assert host.device.sent == BOOT_BYTES + 2 * len(ANSWER)


def test_faults_of_one_way_leave_each_others_bytes_where_they_are() -> None:
    host = Host("lost byte at=1; doubled byte at=3; flipped byte at=3 bit=0")
    assert host.ask(HALT).startswith(b"ammt\r\n")


def test_a_rate_hits_its_share_and_does_not_depend_on_the_pieces() -> None:
    said = []
    for step_us in (1_000, 77_777):
        host = Host("flipped byte way=sent rate=0.02", options=PACED)
        host.say(b"recite\r")
        heard = b""
        for at in range(NOW, NOW + 10_000_000, step_us):
            heard += host.line.from_board(at)
        said.append(heard + host.line.from_board(NOW + 10_000_000))
        fired, hit = host.tally("flipped byte")
        assert hit == 0
        assert fired == pytest.approx(0.02 * len(said[-1]), rel=0.5)
    assert said[0] == said[1]


def test_a_rate_of_one_hits_every_byte() -> None:
    host = Host("doubled byte rate=1")
    assert host.ask(b"ha").startswith(b"hhaa")


def test_two_boards_of_one_seed_fail_alike_and_two_seeds_do_not() -> None:
    said = [
        Host("lost byte rate=0.1", options=Options(seed=seed, settings=60)).ask(LET)
        for seed in (1, 1, 2)
    ]
    assert said[0] == said[1] != said[2]


def test_a_damaged_write_counts_as_a_hit_and_a_read_does_not() -> None:
    host = Host(f"lost byte at=3; lost byte at={len(LET) + 3}")
    host.say(LET)
    assert b"sorry" in host.hear()
    assert host.tally("lost byte") == (1, 1)
    host.ask(RECITE)
    assert host.tally("lost byte") == (2, 1)


@pytest.mark.parametrize(("offset", "hits"), [(1, 1), (len(LET) + 9, 1), (99, 0)])
def test_a_write_is_under_way_until_the_last_byte_of_its_answer(
    offset: int, hits: int
) -> None:
    answer = len(LET) + 1 + len(b"done\r\n@ ")
    assert answer == len(LET) + 9
    host = Host(f"lost byte way=sent at={BOOT_BYTES + offset}")
    host.ask(LET)
    host.ask(b"plate\r")
    assert host.tally("lost byte") == (1, hits)


def test_a_write_on_its_way_is_hit_although_another_command_is_handled() -> None:
    host = Host("missing answer at=1", options=PACED)
    host.say(HALT + LET)
    host.hear(10_000)
    assert host.tally("missing answer") == (1, 1)


def test_a_line_that_damage_made_a_write_is_one_once_it_is_handled() -> None:
    host = Host("lost byte at=1; missing answer at=1")
    assert host.ask(b"x" + LET) == LET + b"\n"
    assert host.centre() == "1600"
    assert host.device.faults.tally() == {
        "lost byte": (1, 0),
        "missing answer": (1, 1),
    }


def test_an_overrun_board_takes_nothing_for_its_time_and_then_again() -> None:
    host = Host("input overrun at=3 for_ms=5")
    host.say(HALT)
    assert host.hear(4_999) == b"ha"
    host.say(HALT)
    assert host.hear(1) == b""
    host.say(b"lt\r")
    assert host.hear() == b"lt\r\ndone\r\n@ "
    assert host.device.dropped == 3 + 5
    assert host.device.received == 13
    assert host.tally("input overrun") == (1, 0)


def test_an_overrun_on_a_slow_wire_ends_in_mid_line() -> None:
    host = Host("input overrun at=2 for_ms=3", options=PACED)
    # a byte takes 1.04 ms: three are lost, the one that begins it among them
    assert host.ask(b"hxyzalt\r").startswith(b"halt\r\n")


def test_an_overrun_of_a_busy_board_ends_in_time_too() -> None:
    host = Host(
        "late answer at=1 by_ms=200; input overrun at=9 for_ms=3", options=PACED
    )
    host.say(HALT + b"hal" + b"xyz" + b"t\r")
    assert host.hear() == 2 * ANSWER


@pytest.mark.parametrize("options", [Options(settings=60), PACED])
@pytest.mark.parametrize("byte", [1, 3, 5])
def test_the_cable_comes_out_behind_a_received_byte(
    options: Options, byte: int
) -> None:
    host = Host(f"unplugged at={byte}", options=options)
    host.ask(HALT)
    assert not host.plugged()
    assert host.device.received == byte
    host.say(HALT)
    assert host.hear() == b""
    assert host.device.received == byte
    assert host.device.console.commands == (byte == len(HALT))
    assert host.tally("unplugged") == (1, 0)


@pytest.mark.parametrize("delay_us", [0, 16_000])
@pytest.mark.parametrize("baud", [0, 9600, 2_000_000])
@pytest.mark.parametrize("byte", [1, 5, 8, 14])
def test_exactly_the_bytes_sent_before_the_cable_comes_out_arrive(
    byte: int, baud: int, delay_us: int
) -> None:
    options = Options(settings=60, baud=baud, adapter_delay_us=delay_us)
    host = Host(f"unplugged way=sent at={BOOT_BYTES + byte}", options=options)
    assert host.ask(HALT) == ANSWER[:byte]
    assert not host.plugged()
    assert host.ask(HALT) == b""


def test_the_board_goes_on_without_its_cable_and_what_it_says_is_lost() -> None:
    host = Host("unplugged at=32 back_ms=700 path=same")
    assert host.ask(LET) == LET + b"\n"
    assert host.centre() == "1600"
    assert host.plugged()
    assert host.line.path is Path.SAME
    assert host.device.sent == BOOT_BYTES + len(LET) + 1 + len(b"done\r\n@ ")
    assert b": 1600" in host.ask(RECITE)


def test_the_cable_is_back_at_its_time() -> None:
    host = Host("unplugged at=1 back_ms=700")
    host.say(b"h")
    host.hear(699_999)
    assert not host.plugged()
    host.hear(1)
    assert host.plugged()
    assert host.line.path is Path.OTHER


def test_the_cable_comes_out_at_a_time() -> None:
    host = Host("unplugged after_ms=3")
    host.hear(2_999)
    assert host.plugged()
    host.hear(1)
    assert not host.plugged()
    assert host.line.next_us(host.now_us) is None


def test_somebody_puts_the_cable_in() -> None:
    host = Host("unplugged at=1")
    host.say(b"h")
    host.hear()
    host.line.put_in(host.now_us)
    assert host.ask(b"alt\r") == b"alt\r\ndone\r\n@ "


def test_a_board_without_a_line_is_deaf_once_its_cable_is_out() -> None:
    device = Device(Options(faults=(Unplugged(at=2),)))
    device.collect(NOW)
    device.receive(HALT, NOW)
    device.receive(HALT, NOW + 1)
    assert device.received == 2
    assert device.collect(2 * NOW) == b"ha"


def test_it_does_not_matter_how_seldom_a_faulty_board_is_asked() -> None:
    text = (
        "lost byte way=sent rate=0.01; late answer at=1 by_ms=40;"
        "input overrun at=34 for_ms=1; restart by itself at=37;"
        "unplugged way=sent at=700 back_ms=300"
    )
    said = []
    for step_us in (400, 90_001, 5_000_000):
        host = Host(text, options=PACED)
        heard = b""
        for start, line in ((NOW, LET + b"plate\r"), (4 * NOW, b"recite\r")):
            host.line.to_board(line, start)
            for at in range(start, start + 3 * NOW, step_us):
                heard += host.line.from_board(at)
        said.append(heard + host.line.from_board(7 * NOW))
        tally = host.device.faults.tally()
        fired = {name: count for name, (count, _) in tally.items()}
        assert fired.pop("lost byte") > 2
        assert set(fired.values()) == {1}
    assert said[0] == said[1] == said[2]
    assert len(said[0]) > 500


def test_healed_faults_hit_no_more_and_count_on() -> None:
    host = Host("lost byte rate=1")
    assert host.ask(b"h") == b""
    host.device.faults.heal()
    assert host.ask(HALT) == ANSWER
    assert host.tally("lost byte") == (1, 0)
    assert host.device.faults.active == ()


@pytest.mark.parametrize("console", ConsoleKind)
def test_a_fault_that_never_comes_changes_no_byte(console: ConsoleKind) -> None:
    plain = Options(console=console, settings=60, seed=3, baud=115_200)
    never = (
        *(kind(way=way, at=1 << 40) for kind in (LostByte, DoubledByte, FlippedByte)
          for way in Way),
        Unplugged(at=1 << 40, way=Way.SENT),
    )  # fmt: skip
    said = []
    for options in (plain, replace(plain, faults=never)):
        line, heard = Line(Device(options), options), []
        for number in range(40):
            line.to_board(b"plate\rshow\rAT+KEEP\r*IDN?\nkeep\rhold\r", number * 60_000)
            heard.append(line.from_board(number * 60_000 + 30_000))
        said.append((heard, line.device.aircraft.kept(), line.device.dropped))
    assert said[0] == said[1]
