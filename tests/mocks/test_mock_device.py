"""The device core in virtual time: who hears what, and when."""

from pathlib import Path

import pytest

from mocks.device import RESET_AFTER_US, Device
from mocks.options import Options
from mocks.store import FileStore, StoreError
from mocks.wader import FLASH_STALL_US

BOOT = 600_000
NOW = 1_000_000


def booted(options: Options | None = None) -> Device:
    device = Device(options or Options())
    device.collect(NOW)
    return device


def test_boot_lines_come_one_by_one_until_the_prompt() -> None:
    device, said, at = Device(Options()), [], 0
    while (due := device.next_us(at)) is not None:
        at = due
        said.append(device.collect(at))
    assert said[0] == b"\r\n"
    assert said[-1] == b"@ "
    assert len(said) == 6
    assert at == BOOT


def test_input_during_boot_is_lost() -> None:
    device = Device(Options())
    device.receive(b"halt\r", BOOT - 1)
    assert device.collect(NOW).endswith(b"waiting\r\n@ ")
    assert device.lost_in_boot == 5
    assert device.dropped == 0


def test_an_idle_board_says_nothing_and_plans_nothing() -> None:
    device = booted()
    assert device.next_us(NOW) is None
    assert device.collect(10 * NOW) == b""


def test_an_answer_takes_the_handling_time() -> None:
    device = booted(Options(handling_us=700))
    device.receive(b"halt\r", NOW)
    assert device.collect(NOW + 699) == b"halt\r\n"
    assert device.next_us(NOW + 699) == NOW + 700
    assert device.collect(NOW + 700) == b"done\r\n@ "


def test_typed_ahead_lines_are_echoed_after_the_earlier_answer() -> None:
    device = booted()
    device.receive(b"foo\rhalt\r", NOW)
    assert device.collect(NOW) == b"foo\r\n"
    assert device.collect(NOW + 1000) == (
        b"sorry: there is no word 'foo' here\r\n@ halt\r\ndone\r\n@ "
    )


def test_what_does_not_fit_into_the_buffer_is_dropped_and_counted() -> None:
    device = booted(Options(rx_buffer=8))
    device.receive(b"halt\r" + b"halt\rhalt\r", NOW)
    assert device.dropped == 2
    assert device.collect(NOW + 1000).endswith(b"@ halt\r\ndone\r\n@ hal")


def test_a_buffer_of_zero_has_no_limit() -> None:
    device = booted(Options(rx_buffer=0))
    device.receive(b"halt\r" * 500, NOW)
    assert device.collect(2 * NOW).count(b"done") == 500
    assert device.dropped == 0


def test_an_idle_board_takes_a_long_line_however_small_its_buffer() -> None:
    device = booted(Options(rx_buffer=4))
    device.receive(b"recite tilt.left.centre_us\r", NOW)
    assert b"1500" in device.collect(2 * NOW)
    assert device.dropped == 0


def test_a_keep_is_deaf_and_its_buffer_overflows() -> None:
    device = booted(Options(rx_buffer=10))
    device.receive(b"keep\r", NOW)
    during = NOW + FLASH_STALL_US // 2
    device.receive(b"halt\rhalt\rhalt\r", during)
    assert device.dropped == 5
    assert device.collect(NOW + FLASH_STALL_US) == b"keep\r\n"
    said = device.collect(2 * NOW)
    assert said.startswith(b"kept 612 settings\r\ndone\r\n@ halt\r\n")
    assert said.count(b"halt") == 2


def test_a_restart_empties_the_input_buffer() -> None:
    device = booted()
    device.receive(b"restart;keep;keep;keep\r", NOW)
    device.receive(b"halt\r", NOW + 1)
    said = device.collect(3 * NOW)
    assert b"halt" not in said
    assert said.endswith(b"radio: waiting\r\n@ ")


def test_a_restart_comes_shortly_after_its_answer() -> None:
    device = booted(Options(handling_us=100))
    device.receive(b"restart\r", NOW)
    assert device.collect(NOW + 100) == b"restart\r\ndone\r\n@ "
    assert device.next_us(NOW + 100) == NOW + 100 + RESET_AFTER_US
    assert device.boots == 1
    device.advance(NOW + 100 + RESET_AFTER_US)
    assert device.boots == 2


def test_power_off_loses_a_half_typed_line_and_what_was_not_kept() -> None:
    device = booted()
    device.receive(b"let tilt.left.centre_us be 1600\rlet tilt", NOW)
    device.collect(NOW + 1000)
    device.power_up(2 * NOW)
    device.receive(b"recite tilt.left.centre_us\r", 3 * NOW)
    assert device.collect(4 * NOW).endswith(
        b"@ recite tilt.left.centre_us\r\ntilt.left.centre_us: 1500\r\ndone\r\n@ "
    )


def test_counts_can_be_reset() -> None:
    device = booted(Options(rx_buffer=1))
    device.receive(b"halt\rhalt\r", NOW)
    device.advance(2 * NOW)
    assert (device.dropped, device.console.commands) == (4, 1)
    device.reset_counts()
    assert (device.dropped, device.console.commands) == (0, 0)


def test_it_does_not_matter_how_seldom_the_core_is_asked() -> None:
    often, seldom = booted(), booted()
    said = b""
    for device in (often, seldom):
        device.receive(b"plate;keep\rstate\rrestart\rhalt\r", NOW)
    for at in range(NOW, 3 * NOW, 777):
        said += often.collect(at)
    assert seldom.collect(3 * NOW) == said + often.collect(3 * NOW)


def test_kept_values_outlive_the_device(tmp_path: Path) -> None:
    file = tmp_path / "kept.json"
    first = Device(Options(), FileStore(file))
    first.receive(b"let tilt.left.centre_us be 1600;keep\r", NOW)
    first.advance(2 * NOW)
    second = Device(Options(), FileStore(file))
    assert second.aircraft.live["tilt.left.centre_us"] == "1600"
    assert b"store: 612 settings" in second.collect(NOW)
    assert [path.name for path in tmp_path.iterdir()] == ["kept.json"]


def test_a_store_that_cannot_be_written_refuses_the_keep(tmp_path: Path) -> None:
    device = Device(Options(), FileStore(tmp_path / "no folder" / "kept.json"))
    device.receive(b"keep\r", NOW)
    assert b"sorry: the store cannot be written\r\n@ " in device.collect(2 * NOW)


@pytest.mark.parametrize("text", ["{", "[]"])
def test_a_damaged_store_names_the_file(tmp_path: Path, text: str) -> None:
    file = tmp_path / "kept.json"
    file.write_text(text)
    with pytest.raises(StoreError, match=r"kept\.json"):
        Device(Options(), FileStore(file))
