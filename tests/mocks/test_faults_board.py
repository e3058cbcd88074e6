"""Faults of answers, resets and restarts: when told, exactly there, and counted."""

from random import Random

import pytest

from mocks.console import Said
from mocks.fault_answers import ChatterInAnswer, line_end, oddly
from mocks.generated_plan import Chatter, draw
from mocks.options import ConsoleKind, Options
from tests.mocks.fault_bench import BOOT_BYTES, LET, NOW, RECITE, Host

HALT = b"halt\r"
ANSWER = b"halt\r\ndone\r\n@ "
BOOT = b"\r\nwader boot 3\r\n"
AFTER_STORE = b"accel ok, gyro ok\r\nradio: waiting\r\n@ "
KEEP = b"keep\r"
RESTART = b"restart\r"


def test_a_late_answer_comes_as_much_later_and_the_board_is_deaf_meanwhile() -> None:
    host = Host("late answer at=2 by_ms=300")
    assert host.ask(HALT) == ANSWER
    host.say(HALT)
    host.say(HALT)
    assert host.hear(300_099) == b"halt\r\n"
    assert host.hear(1) == b"done\r\n@ halt\r\n"
    assert host.hear() == b"done\r\n@ "
    assert host.tally("late answer") == (1, 0)


def test_a_missing_answer_leaves_the_echo_and_the_deed() -> None:
    host = Host("missing answer at=2")
    assert host.ask(HALT) == ANSWER
    assert host.ask(LET) == LET + b"\n"
    assert host.centre() == "1600"
    assert host.ask(HALT) == ANSWER
    assert host.tally("missing answer") == (1, 1)


def test_a_doubled_answer_is_said_twice_and_done_once() -> None:
    host = Host("doubled answer at=1")
    assert host.ask(HALT) == b"halt\r\ndone\r\n@ done\r\n@ "
    assert host.device.console.commands == 1
    assert host.tally("doubled answer") == (1, 0)


def test_chatter_stands_between_lines() -> None:
    host = Host("chatter in an answer at=2 text='battery at 15.9 V'")
    assert host.ask(HALT) == ANSWER
    said = host.ask(b"plate\r")
    assert said.count(b"\r\nbattery at 15.9 V\r\n") == 1
    assert said.replace(b"battery at 15.9 V\r\n", b"") == host.ask(b"plate\r")
    assert host.tally("chatter in an answer") == (1, 0)


def test_chatter_stands_in_mid_line() -> None:
    host = Host("chatter in an answer rate=1 inside=yes")
    for line in (b"plate\r", HALT, LET):
        said = host.ask(line)
        assert said.count(b"radio waiting\r\n") == 1
        assert b"\nradio waiting" not in said
    assert host.tally("chatter in an answer") == (3, 1)


@pytest.mark.parametrize("seed", range(20))
def test_chatter_finds_a_line_with_a_middle(seed: int) -> None:
    chatter, said = ChatterInAnswer(at=1, inside=True), Said(data=b".\nab\n.\n> ")
    random = Random(seed)  # noqa: S311  a seeded generator is the point
    spoiled = chatter.spoil(said, random)
    assert spoiled is not None
    assert spoiled.data in (
        b".\naradio waiting\nb\n.\n> ",
        b".\nab\n.\n>radio waiting\n ",
    )
    assert chatter.spoil(Said(data=b".\n"), random) is None


def test_where_nothing_is_answered_nothing_can_be_missing() -> None:
    options = Options(console=ConsoleKind.SCOTER, settings=60)
    host = Host("missing answer at=1", options=options)
    host.ask(b"OUTP:HALT\n")
    assert host.tally("missing answer") == (0, 0)
    assert host.ask(b"*IDN?\n") == b""
    assert host.tally("missing answer") == (1, 0)


@pytest.mark.parametrize("end", [b"\r\n", b"\n", b"\r"])
def test_odd_words_take_the_place_of_all_lines_but_the_prompt(end: bytes) -> None:
    answer = end.join((b"kept 5", b"ok", b"> "))
    assert line_end(answer) == end
    assert oddly(answer, "no luck") == b"no luck" + end + b"> "


@pytest.mark.parametrize(("baud", "echoed"), [(0, b"hal"), (9600, b"h")])
def test_a_board_restarts_behind_a_received_byte(baud: int, echoed: bytes) -> None:
    host = Host("restart by itself at=3", options=Options(settings=60, baud=baud))
    assert host.ask(HALT) == echoed + host.booted
    assert host.device.boots == 2
    assert host.device.lost_in_boot == 2
    assert host.tally("restart by itself") == (1, 0)


@pytest.mark.parametrize("baud", [0, 9600])
@pytest.mark.parametrize("byte", [1, 6, 10])
def test_a_board_restarts_behind_a_sent_byte(byte: int, baud: int) -> None:
    host = Host(
        f"restart by itself way=sent at={BOOT_BYTES + byte}",
        options=Options(settings=60, baud=baud),
    )
    assert host.ask(HALT).startswith(ANSWER[:byte] + BOOT)
    assert host.device.boots == 2


def test_a_board_restarts_after_a_time_and_forgets_what_was_not_kept() -> None:
    host = Host("restart by itself after_ms=3000")
    host.ask(LET)
    assert host.centre() == "1600"
    assert host.ask(HALT).startswith(ANSWER + BOOT)
    assert host.centre() == "1500"


def test_a_restart_in_mid_answer_counts_the_write_it_hit() -> None:
    sent = BOOT_BYTES + len(LET) + 1 + 3
    host = Host(f"restart by itself way=sent at={sent}")
    assert host.ask(LET).startswith(LET + b"\ndon" + BOOT)
    assert host.tally("restart by itself") == (1, 1)


@pytest.mark.parametrize(("atomic", "kept"), [("no", 1), ("yes", 0)])
def test_a_brown_out_in_a_keep_leaves_a_part_of_it(atomic: str, kept: int) -> None:
    host = Host(f"brown-out at_keep=2 part=0.5 atomic={atomic}")
    before = host.device.aircraft.live.copy()
    lines = b"".join(
        b"let %s be 1510\r" % name
        for name in (b"tilt.left.centre_us", b"tilt.right.centre_us")
    )
    host.ask(KEEP)
    host.ask(lines)
    assert host.ask(KEEP).startswith(b"keep\r\n" + BOOT)
    kept_now = host.device.aircraft.kept()
    moved = [name for name, value in kept_now.items() if value != before[name]]
    assert len(moved) == kept
    assert host.device.boots == 2
    assert host.tally("brown-out") == (1, 0)


def test_a_brown_out_at_a_byte_tears_a_keep_under_way() -> None:
    host = Host(f"brown-out at={len(LET + KEEP) + 1} part=0")
    host.ask(LET)
    host.say(KEEP)
    host.hear(5_000)
    assert host.kept_centre() == "1600"
    host.say(b"x")
    assert host.hear().startswith(BOOT)
    assert host.kept_centre() is None
    assert host.centre() == "1500"


def test_a_brown_out_after_a_keep_leaves_it_whole() -> None:
    host = Host(f"brown-out at={len(LET + KEEP) + 1} part=0")
    host.ask(LET)
    host.ask(KEEP)
    assert host.ask(b"x") == b"x" + BOOT + b"store: 60 settings\r\n" + AFTER_STORE
    assert host.centre() == host.kept_centre() == "1600"


def test_a_board_that_does_not_return_is_silent_until_the_pack_is_in_anew() -> None:
    host = Host("no return at=2")
    assert host.ask(RESTART).endswith(host.booted)
    assert host.ask(RESTART) == b"restart\r\ndone\r\n@ "
    assert host.ask(HALT) == b""
    assert host.device.dead
    assert host.line.next_us(host.now_us) is None
    assert host.tally("no return") == (1, 0)
    host.device.power_up(host.now_us)
    assert host.hear() == host.booted
    assert host.ask(HALT) == ANSWER


def test_a_dead_board_with_something_to_say_unasked_says_nothing() -> None:
    seed = next(s for s in range(99) if draw(s).chatter is Chatter.LOG)
    options = Options(console=ConsoleKind.GENERATED, settings=60, seed=seed)
    host = Host("no return at=1", options=options)
    assert host.hear() != b""
    host.device.power_up(host.now_us)
    assert host.hear(60 * NOW) == b""
    assert host.line.next_us(host.now_us) is None


@pytest.mark.parametrize(("fresh", "centre"), [("no", b": 1600"), ("yes", b": 1500")])
def test_another_board_has_another_number(fresh: str, centre: bytes) -> None:
    host = Host(f"another board at=1 fresh={fresh}")
    host.ask(LET)
    host.ask(KEEP)
    first = host.ask(b"plate\r")
    host.ask(RESTART)
    second = host.ask(b"plate\r")
    assert first.splitlines()[:4] == second.splitlines()[:4]
    assert first.splitlines()[4] != second.splitlines()[4]
    assert centre in host.ask(RECITE)
    host.ask(RESTART)
    assert host.ask(b"plate\r") == second
    assert host.tally("another board") == (1, 0)


def test_a_fresh_board_has_its_own_calibration() -> None:
    host = Host("another board at=1 fresh=yes")
    calibrated = [n for n in host.device.aircraft.live if "bias" in n]
    before = {n: host.device.aircraft.live[n] for n in calibrated}
    host.ask(RESTART)
    after = {n: host.device.aircraft.live[n] for n in calibrated}
    assert before
    assert before != after


def test_a_restart_brings_another_path() -> None:
    host = Host("another path at=1")
    host.say(RESTART)
    assert host.hear(340_000) == b"restart\r\ndone\r\n@ "
    assert not host.plugged()
    assert host.hear().endswith(b"radio: waiting\r\n@ ")
    assert host.plugged()
    assert host.line.pulls == 1
    assert host.tally("another path") == (1, 0)


def test_the_first_power_up_is_no_restart() -> None:
    assert Host("no return rate=1; another path rate=1").ask(HALT) == ANSWER
