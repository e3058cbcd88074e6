"""A verb at a terminal, where a hand at the bench acts before each answer."""

from collections.abc import Callable, Sequence

from tests.faces.running import Workshop

Step = tuple[str, Callable[[], object], str]
"""What the prompt holds, what is done at the bench then, and what is typed."""


def nothing() -> None:
    """The hand rests."""


def at_terminal(
    workshop: Workshop, words: Sequence[str], steps: Sequence[Step]
) -> tuple[int, str]:
    """Run a verb; each step in its order, once its prompt stands there."""
    left = list(steps)

    def answer(heard: str) -> str | None:
        if not left or left[0][0] not in heard:
            return None
        _, act, typed = left.pop(0)
        act()
        return typed

    code, said = workshop.converse(*words, answer=answer)
    assert not left, f"never asked {left[0][0]!r}; it said {said!r}"
    return code, said
