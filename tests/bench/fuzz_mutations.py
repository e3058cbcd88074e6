"""Sessions cut to pieces, damaged, and put together anew."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random
from typing import Final

from benchlink.console.description import Description
from benchlink.console.lanes import Lane
from tests.bench.fuzz_noise import answer_to, noise, otherwise
from tests.bench.fuzz_sessions import (
    Asks,
    Hushes,
    Loses,
    Passes,
    Says,
    Session,
    Step,
)

LONGEST_CHUNK: Final = 64
MOST_BYTES: Final = 6000
MOST_STEPS: Final = 120
PAUSES: Final = (0.001, 0.019, 0.02, 0.021, 0.03, 0.1, 0.11, 0.25, 0.5, 1.0, 3.1, 11.0)

Change = Callable[[Random, list[Step], Description], None]


def part_of(chance: Random, session: Session) -> list[Step]:
    """The opening of a session and a window of the rest, small enough to be quick."""
    steps = session.steps
    first = next((n for n, s in enumerate(steps) if isinstance(s, Asks)), len(steps))
    start = chance.choice((first, chance.randrange(first, len(steps))))
    while start > first and not isinstance(steps[start], Asks):
        start -= 1
    return _cut(chance, [*steps[:first], Passes(0.03), *steps[start:]])


def _cut(chance: Random, steps: Sequence[Step]) -> list[Step]:
    """What is said in chunks of 1 to 64 bytes, some with a pause behind them."""
    pieces: list[Step] = []
    size = 0
    for step in steps:
        if size > MOST_BYTES or len(pieces) > MOST_STEPS:
            break
        if not isinstance(step, Says):
            pieces.append(step)
            continue
        data = step.data[: MOST_BYTES - size] if len(step.data) > 1 else step.data
        size += len(data)
        while data:
            upto = chance.randint(1, LONGEST_CHUNK)
            pieces.append(Says(data[:upto]))
            data = data[upto:]
            if chance.random() < 0.05:
                pieces.append(Passes(chance.choice(PAUSES[:6])))
    return pieces


def mutated(
    chance: Random, steps: Sequence[Step], description: Description, others: list[Step]
) -> list[Step]:
    """A few changes to a session; `others` is one that may be spliced in."""
    result = list(steps)
    for _ in range(chance.choice((0, 1, 1, 2, 3, 5, 9))):
        if chance.random() < 0.08 and others:
            at = chance.randrange(len(result) + 1)
            result = [*result[:at], *others[chance.randrange(len(others)) :]]
        elif result:
            chance.choice(CHANGES)(chance, result, description)
    return result[: 3 * MOST_STEPS]


def _flip(chance: Random, steps: list[Step], _: Description) -> None:
    at = chance.randrange(len(steps))
    step = steps[at]
    if isinstance(step, Says):
        data = bytearray(step.data)
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        steps[at] = Says(bytes(data))


def _drop(chance: Random, steps: list[Step], _: Description) -> None:
    at = chance.randrange(len(steps))
    step = steps[at]
    if isinstance(step, Says) and chance.random() < 0.5:
        start = chance.randrange(len(step.data))
        upto = start + chance.randint(1, 8)
        left = step.data[:start] + step.data[upto:]
        steps[at : at + 1] = [Says(left)] if left else []
    else:
        del steps[at : at + chance.randint(1, 3)]


def _double(chance: Random, steps: list[Step], _: Description) -> None:
    at = chance.randrange(len(steps))
    upto = at + chance.randint(1, 4)
    steps[upto:upto] = steps[at:upto]


def _swap(chance: Random, steps: list[Step], _: Description) -> None:
    at = chance.randrange(len(steps))
    steps[at : at + 2] = reversed(steps[at : at + 2])


def _insert(chance: Random, steps: list[Step], description: Description) -> None:
    lines = [step.command.line for step in steps if isinstance(step, Asks)]
    at = chance.randrange(len(steps) + 1)
    steps.insert(at, Says(noise(chance, description, lines)))


def _wait(chance: Random, steps: list[Step], _: Description) -> None:
    steps.insert(chance.randrange(len(steps) + 1), Passes(chance.choice(PAUSES)))


def _ask(chance: Random, steps: list[Step], _: Description) -> None:
    """Something asked earlier or later is asked here, perhaps in another lane."""
    asked = [step for step in steps if isinstance(step, Asks)]
    if asked:
        again = Asks(chance.choice(asked).command, chance.choice(list(Lane)))
        steps.insert(chance.randrange(len(steps) + 1), again)


def _ask_otherwise(chance: Random, steps: list[Step], _: Description) -> None:
    asked = [n for n, step in enumerate(steps) if isinstance(step, Asks)]
    if asked:
        at = chance.choice(asked)
        step = steps[at]
        if isinstance(step, Asks):
            steps[at] = Asks(otherwise(chance, step.command), step.lane)


def _answer(chance: Random, steps: list[Step], description: Description) -> None:
    """What was asked is answered at once, in one of the ways that it may be."""
    asked = [n for n, step in enumerate(steps) if isinstance(step, Asks)]
    if not asked:
        return
    at = chance.choice(asked)
    step = steps[at]
    if isinstance(step, Asks):
        said = answer_to(chance, step.command, description)
        steps[at + 1 : at + 1] = [Passes(0.03), *map(Says, said)]


def _happen(chance: Random, steps: list[Step], description: Description) -> None:
    """The port goes away, the link closes, or the board restarts when nobody waits."""
    at = chance.randrange(len(steps) + 1)
    asked = [step.command for step in steps if isinstance(step, Asks)]
    event = chance.choice((Hushes(), Loses(), None))
    if event is not None or not asked:
        steps.insert(at, event or Loses())
        return
    restart = replace(chance.choice(asked), restarts=True)
    said = answer_to(chance, restart, description)
    steps[at:at] = [Asks(restart, Lane.STOP), *map(Says, said)]


CHANGES: Final[tuple[Change, ...]] = (
    *(_flip, _flip, _drop, _drop, _double, _swap, _insert, _insert, _insert),
    *(_wait, _wait, _ask, _ask_otherwise, _ask_otherwise, _answer, _answer, _happen),
)
