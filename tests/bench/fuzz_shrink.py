"""A failing session made as short as it can be and still fail in the same way."""

from collections.abc import Callable, Sequence

from tests.bench.fuzz_sessions import Says, Step

Fails = Callable[[Sequence[Step]], str]
"""What goes wrong with these steps; empty where nothing does."""


def shrunk(steps: Sequence[Step], fails: Fails) -> tuple[Step, ...]:
    """The same failure with fewer steps and fewer bytes."""
    left, why = list(steps), fails(steps)
    size = len(left)
    while size:
        at = 0
        while at < len(left):
            fewer = left[:at] + left[at + size :]
            if fails(fewer) == why:
                left = fewer
            else:
                at += size
        size //= 2
    for at, step in enumerate(left):
        if isinstance(step, Says):
            left[at] = _shorter(left, at, step, lambda steps: fails(steps) == why)
    return tuple(left)


def _shorter(
    steps: list[Step], at: int, step: Says, still: Callable[[Sequence[Step]], bool]
) -> Says:
    data, size = step.data, len(step.data) // 2
    while size:
        start = 0
        while start < len(data) and len(data) > size:
            fewer = data[:start] + data[start + size :]
            if still([*steps[:at], Says(fewer), *steps[at + 1 :]]):
                data = fewer
            else:
                start += size
        size //= 2
    return Says(data)
