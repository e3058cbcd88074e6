"""The report of the measurements, on invented rows."""

from math import nan

from tests.bench.report import exit_code, summary, table
from tests.bench.rows import MS, SHARE, Verdict, at_least, at_most, not_measured, shown
from tests.bench.spread import spread
from tests.bench.tap import Seen
from tests.bench.wire_log import leaving_s, on_wire, started_s

HIT = at_least("wire share", 0.99, 0.98, SHARE)
MISS = at_most("key to wire", 7.5, 5.0, MS)
BESIDE = shown("a bare loop", "0.10 ms")


def test_a_value_on_the_line_is_met_from_both_sides() -> None:
    assert at_least("floor", 0.98, 0.98, SHARE).verdict is Verdict.MET
    assert at_most("ceiling", 5.0, 5.0, MS).verdict is Verdict.MET


def test_a_value_beyond_the_line_is_missed_from_both_sides() -> None:
    assert at_least("floor", 0.979, 0.98, SHARE).verdict is Verdict.MISSED
    assert at_most("ceiling", 5.001, 5.0, MS).verdict is Verdict.MISSED


def test_no_number_is_a_miss_from_both_sides() -> None:
    assert at_least("floor", nan, 0.98, SHARE).verdict is Verdict.MISSED
    assert at_most("ceiling", nan, 5.0, MS).verdict is Verdict.MISSED


def test_only_hits_and_rows_without_target_end_well() -> None:
    assert exit_code([HIT, BESIDE]) == 0


def test_one_miss_among_hits_ends_with_1() -> None:
    assert exit_code([HIT, MISS, BESIDE]) == 1


def test_what_could_not_be_measured_ends_with_1() -> None:
    assert exit_code([HIT, not_measured("stop", "the port is gone")]) == 1


def test_the_table_says_what_was_measured_against_what_in_words() -> None:
    heading, ruler, *lines = table([HIT, MISS, BESIDE]).splitlines()

    assert heading.split() == ["what", "measured", "target", "verdict"]
    assert set(ruler) == {"-", " "}
    assert lines[0].split("  ")[0] == "wire share"
    assert lines[0].endswith("met")
    assert "7.50 ms" in lines[1]
    assert "<= 5.00 ms" in lines[1]
    assert lines[1].endswith("MISSED")
    assert lines[2].endswith("shown")


def test_the_summary_counts_only_rows_with_a_target() -> None:
    assert summary([HIT, MISS, BESIDE]) == "1 of 2 targets met."


def test_percentiles_are_values_that_were_measured() -> None:
    hundred = spread([float(n) for n in range(100, 0, -1)])

    assert (hundred.count, hundred.p50, hundred.p99, hundred.worst) == (
        100,
        50.5,
        99.0,
        100.0,
    )


def test_a_line_waits_on_the_wire_until_the_one_before_has_left() -> None:
    a_millisecond = b"x" * 10 + b"\r"  # 11 bytes at 115,200 baud: 0.955 ms
    both = [Seen(1.0, a_millisecond * 2)]
    first, second = on_wire(both, both)

    assert first.first_s == 1.0
    assert second.first_s == first.end_s
    now_s = 1.0005
    assert leaving_s([first, second], now_s) == first.end_s - now_s
    assert started_s([first, second], now_s) == second.end_s - now_s
