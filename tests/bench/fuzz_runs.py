"""Many replays, each mutated from a session that reached something rare before."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from typing import Final, final

from tests.bench.fuzz_mutations import mutated, part_of
from tests.bench.fuzz_replay import WrongError, replay
from tests.bench.fuzz_sessions import Step, Subject, recorded
from tests.bench.fuzz_shrink import shrunk
from tests.bench.fuzz_states import Census, State, counted

AGAIN: Final = 0.5
"""How often a session is chosen that reached something rare, not a fresh one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """What must hold and did not, with the shortest session that shows it."""

    run: int
    console: str
    why: str
    steps: tuple[Step, ...]

    def __str__(self) -> str:
        steps = "".join(f"\n    {step!r}" for step in self.steps)
        return f"run {self.run}, {self.console}: {self.why}{steps}"


@final
class Replays:
    """Goes on until it has run so often; remembers what reached which state."""

    def __init__(self, subjects: Sequence[Subject], seed: int) -> None:
        self.census: Final = Census()
        self.failures: Final[list[Failure]] = []
        self._subjects: Final = {subject.name: subject for subject in subjects}
        self._seed: Final = seed
        self._reached_by: Final[dict[State, tuple[str, tuple[Step, ...]]]] = {}

    def run(self, count: int) -> None:
        """Replay so many sessions."""
        with counted(self.census):
            for number in range(count):
                # Each run has chances of its own: one may be repeated without the rest.
                self._one(number, Random(self._seed * 1_000_003 + number))  # noqa: S311

    def _one(self, number: int, chance: Random) -> None:
        self.census.of_run.clear()
        name, parent = self._parent(chance)
        subject = self._subjects[name]
        other = self._fresh(chance, self._any_name(chance))
        steps = mutated(chance, parent, subject.description, other)
        why = self._fails(number, subject, steps, self.census)
        if why and all(failure.why != why for failure in self.failures):
            short = shrunk(
                steps, lambda fewer: self._fails(number, subject, fewer, Census())
            )
            self.failures.append(
                Failure(run=number, console=name, why=why, steps=short)
            )
        for state in self.census.of_run:
            known = self._reached_by.get(state)
            if known is None or len(steps) < len(known[1]):
                self._reached_by[state] = (name, tuple(steps))

    def _parent(self, chance: Random) -> tuple[str, Sequence[Step]]:
        if self._reached_by and chance.random() < AGAIN:
            counts = self.census.counts
            some = chance.sample(sorted(self._reached_by), min(4, len(counts)))
            return self._reached_by[min(some, key=counts.__getitem__)]
        name = self._any_name(chance)
        return name, self._fresh(chance, name)

    def _any_name(self, chance: Random) -> str:
        return chance.choice(list(self._subjects))

    def _fresh(self, chance: Random, name: str) -> list[Step]:
        return part_of(chance, recorded(self._subjects[name]))

    @staticmethod
    def _fails(
        number: int, subject: Subject, steps: Sequence[Step], census: Census
    ) -> str:
        try:
            replay(Random(number), subject, steps, census)  # noqa: S311
        except WrongError as exc:
            return str(exc)
        except Exception as exc:  # noqa: BLE001 - whatever comes out is the finding
            return f"{type(exc).__name__}: {exc}"
        return ""
