"""Which hold-ups of the event loop count for which thing done, on invented times."""

from tests.bench.loop_rows import longest_ms

LATE = [(10.02, 0.02), (11.0, 0.03), (12.5, 0.06)]
"""When the loop was woken, and how much too late (s)."""


def test_the_longest_within_a_span_counts() -> None:
    assert longest_ms(LATE, 9.0, 11.5) == 30.0


def test_one_that_began_before_and_reaches_into_the_span_counts() -> None:
    assert longest_ms(LATE, 12.49, 13.0) == 60.0
    assert longest_ms(LATE, 12.0, 12.45) == 60.0


def test_nothing_late_is_nothing() -> None:
    assert longest_ms(LATE, 13.0, 14.0) == 0.0
