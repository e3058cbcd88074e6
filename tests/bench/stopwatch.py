"""Elapsed time of a block."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import final


@final
class Took:
    """Filled when the block ends."""

    elapsed_s = float("nan")


@contextmanager
def stopwatch() -> Iterator[Took]:
    """Measure a block; the result is there after it."""
    took = Took()
    started = time.monotonic()
    yield took
    took.elapsed_s = time.monotonic() - started
