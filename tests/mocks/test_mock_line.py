"""The wire in virtual time: speed, drops, and the adapter's delay."""

from dataclasses import replace
from itertools import pairwise

import pytest

from mocks.device import TX_BUFFER, Device
from mocks.options import Options
from mocks.pace import PacedStream
from mocks.uart import Line

NOW = 1_000_000
WIRE = Options(baud=115_200)


def booted(options: Options) -> Line:
    line = Line(Device(options), options)
    line.from_board(NOW)
    return line


def listen(line: Line, start_us: int) -> list[tuple[int, bytes]]:
    """All that comes by itself after `start_us`, with its times."""
    heard: list[tuple[int, bytes]] = []
    now = start_us
    while (due := line.next_us(now)) is not None:
        assert due > now or not heard, "the same time again: a busy loop"
        now = due
        data = line.from_board(now)
        if data:
            heard.append((now, data))
    return heard


def wire_us(count: int, baud: int = 115_200) -> float:
    return count * 10 * 1e6 / baud


def test_a_long_listing_takes_exactly_its_time() -> None:
    line = booted(replace(WIRE, settings=900))
    line.to_board(b"recite\r", NOW)
    heard = listen(line, NOW)
    size = sum(len(data) for _, data in heard)
    assert size > 24_000
    assert (heard[-1][0] - NOW) / wire_us(size) == pytest.approx(1, abs=0.0005)


def test_pacing_does_not_drift_however_it_is_polled() -> None:
    line = booted(WIRE)
    line.to_board(b"recite\r", NOW)
    size, at = 0, NOW
    while size < 16_000:
        at += 331
        size += len(line.from_board(at))
    first_byte_echoed_us = NOW + wire_us(1)
    late_us = at - first_byte_echoed_us - wire_us(size)
    assert 0 <= late_us <= 331 + wire_us(1)


def test_typed_bytes_reach_the_board_at_the_speed_of_the_wire() -> None:
    line = booted(replace(WIRE, baud=9600, handling_us=0))
    line.to_board(b"halt\r", NOW)
    first_echoed_us = NOW + int(wire_us(2, 9600)) + 2
    assert line.from_board(first_echoed_us) == b"h"
    heard = listen(line, first_echoed_us)
    assert heard[-1][0] == pytest.approx(NOW + wire_us(5 + 10, 9600), abs=8)
    assert b"".join(data for _, data in heard) == b"alt\r\ndone\r\n@ "


def test_an_unpaced_line_answers_after_the_handling_time() -> None:
    line = booted(Options())
    line.to_board(b"halt\r", NOW)
    assert listen(line, NOW) == [(NOW, b"halt\r\n"), (NOW + 100, b"done\r\n@ ")]


def test_a_paste_overflows_while_the_board_prints() -> None:
    line = booted(WIRE)
    line.to_board(b"recite tilt.left.centre_us\r" * 100, NOW)
    heard = b"".join(data for _, data in listen(line, NOW))
    assert line.device.dropped > 0
    assert heard.count(b"done") < 100


def test_a_window_below_the_buffer_loses_nothing() -> None:
    line, now = booted(WIRE), NOW
    command, answers = b"let tilt.left.centre_us be 1501\r", 0
    line.to_board(command * 6, now)
    for _ in range(200):
        while True:
            due = line.next_us(now)
            assert due is not None
            now = due
            done = line.from_board(now).count(b"@")
            if done:
                break
        answers += done
        line.to_board(command * done, now)
    assert line.device.dropped == 0
    assert answers >= 200


def test_the_keep_stall_drops_what_the_wire_brings_meanwhile() -> None:
    line = booted(replace(WIRE, baud=230_400, rx_buffer=64))
    line.to_board(b"keep\r", NOW)
    line.to_board(b"x" * 200, NOW + 1000)
    line.advance(NOW + 19_000)
    assert line.device.dropped == 200 - 64


@pytest.mark.parametrize("step", [50, 100_000])
def test_drops_do_not_depend_on_how_often_the_line_is_asked(step: int) -> None:
    line = booted(WIRE)
    line.to_board(b"state\r" * 100 + b"keep\r" + b"halt\r" * 100, NOW)
    for at in range(NOW, 2 * NOW, step):
        line.from_board(at)
    line.from_board(2 * NOW)
    coarse = booted(WIRE)
    coarse.to_board(b"state\r" * 100 + b"keep\r" + b"halt\r" * 100, NOW)
    coarse.from_board(2 * NOW)
    assert line.device.dropped == coarse.device.dropped > 0
    assert line.device.console.commands == coarse.device.console.commands


def test_the_adapter_hands_over_what_has_come_when_its_delay_is_over() -> None:
    options = replace(WIRE, adapter_delay_us=16_000, handling_us=0)
    line = booted(options)
    line.to_board(b"halt\r", NOW)
    ((at, data),) = listen(line, NOW)
    first_byte_us = NOW + wire_us(2)
    assert at == pytest.approx(first_byte_us + 16_000, abs=2)
    assert data == b"halt\r\ndone\r\n@ "


def test_the_adapter_delay_does_not_slow_a_listing() -> None:
    line = booted(replace(WIRE, adapter_delay_us=16_000))
    line.to_board(b"recite\r", NOW)
    heard = listen(line, NOW)
    size = sum(len(data) for _, data in heard)
    assert heard[-1][0] - NOW <= wire_us(size) + 16_000 + 1000
    gaps = [after - before for (before, _), (after, _) in pairwise(heard)]
    assert min(gaps[:-1]) >= 16_000


def test_unplugging_loses_what_is_on_the_way() -> None:
    line = booted(WIRE)
    line.to_board(b"halt\r", NOW)
    line.unplug(NOW)
    assert line.on_the_way == 0
    assert line.next_us(NOW) is None
    assert line.from_board(2 * NOW) == b""


def test_the_board_talks_on_while_the_cable_is_out() -> None:
    line = booted(replace(WIRE, adapter_delay_us=5000))
    line.to_board(b"recite\r", NOW)
    line.unplug(NOW + 4000)
    heard = b"".join(data for _, data in listen(line, NOW + 4000))
    assert not heard.startswith(b"recite")
    assert heard.endswith(b"done\r\n@ ")


def test_boot_lines_said_before_connecting_are_not_lost() -> None:
    line = Line(Device(WIRE), WIRE)
    assert line.from_board(NOW).startswith(b"\r\nwader boot 3\r\n")


def test_a_print_blocks_the_board_until_little_is_left_to_send() -> None:
    line = booted(WIRE)
    line.to_board(b"recite\r", NOW)
    line.advance(NOW + 2000)
    left = line.device.free_us - NOW - 2000
    whole = sum(len(data) for _, data in listen(line, NOW + 2000))
    assert left == pytest.approx(wire_us(whole - TX_BUFFER), abs=3 * wire_us(16))


def test_a_stream_keeps_exact_times_over_a_million_bytes() -> None:
    stream = PacedStream(115_200)
    for _ in range(1000):
        stream.push(b"x" * 1000, 0)
    assert stream.end_us == 86_805_556
    assert len(stream.take(43_402_778)) == 500_000


def test_a_byte_is_there_when_it_was_said_to_be_due() -> None:
    stream = PacedStream(115_200)
    stream.push(b"abc", 5)
    due = stream.due_us(2)
    assert due is not None
    assert stream.take(due - 1) == b"a"
    assert stream.take(due) == b"b"


def test_a_gap_starts_a_new_run() -> None:
    stream = PacedStream(9600)
    stream.push(b"a", 0)
    stream.push(b"b", 10_000)
    stream.push(b"", 10_000)
    assert stream.due_us(9) == 1042
    assert stream.take(9_999) == b"a"
    assert stream.take(20_000) == b"b"
    assert stream.due_us(1) is None


def test_a_cut_loses_only_what_has_not_passed() -> None:
    stream = PacedStream(9600)
    stream.push(b"abc", 0)
    stream.push(b"later", 10_000)
    stream.cut(2_100)
    assert stream.take(20_000) == b"ab"
