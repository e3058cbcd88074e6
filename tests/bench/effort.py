"""How much to measure, with which chances, and where files may be left."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

STATE_FOLDER = "BENCHLINK_HOME"


class MeasureError(Exception):
    """Something could not be measured; says why in one line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What every measurement is given."""

    quick: bool
    seed: int
    runs: int = 0
    """Fuzzed sessions, where somebody said how many."""
    minutes: float = 0.0
    """How long the soak lasts, where somebody said so."""
    folder: Path
    """Empty, thrown away afterwards; the user's own state is never touched."""

    def repeats(self, full: int, quick: int) -> int:
        """How often to measure."""
        return quick if self.quick else full

    def random(self) -> Random:
        """The same chances for the same seed, whichever rows are run."""
        return Random(self.seed)  # noqa: S311 - a seeded generator is the point


@contextmanager
def effort(
    seed: int, *, quick: bool, runs: int = 0, minutes: float = 0.0
) -> Iterator[Effort]:
    """A fresh state folder, for this process and for those that it starts."""
    with TemporaryDirectory(prefix="bench-") as name:
        before = os.environ.get(STATE_FOLDER)
        os.environ[STATE_FOLDER] = f"{name}/state"
        try:
            yield Effort(
                quick=quick,
                seed=seed,
                runs=runs,
                minutes=minutes,
                folder=Path(name),
            )
        finally:
            del os.environ[STATE_FOLDER]
            if before is not None:
                os.environ[STATE_FOLDER] = before
