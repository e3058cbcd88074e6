"""A slip of the fingers: other words than were asked for are told and asked about again.

A wrong word must not throw away what was measured or written before it. What counts is
never weakened by that: the same words, to the letter, or a yes; Enter and a clear no end
it at once.
"""

from collections.abc import Callable
from typing import Final

SLIPS: Final = 2
"""How often other words are asked about before they count as no."""

YES: Final = frozenset({"y", "yes"})
NO: Final = frozenset({"n", "no"})

Ask = Callable[[str], str]
"""Puts a prompt and gives what was typed; empty where nobody can type."""


def to_the_letter(ask: Ask, prompt: str, wanted: str) -> str:
    """What was typed in the end where just one thing goes on: it, or what ends it."""
    typed = ask(prompt)
    for _ in range(SLIPS):
        if typed in {"", wanted} or typed.strip().lower() in NO:
            break
        typed = ask(f"Not '{typed}': type '{wanted}', or Enter to stop: ")
    return typed


def yes_or_no(ask: Ask, prompt: str) -> bool:
    """Whether a yes was typed; the prompt names both words."""
    typed = ask(prompt)
    for _ in range(SLIPS):
        if not typed.strip() or decided(typed) is not None:
            break
        typed = ask(f"Not '{typed.strip()}': {prompt}")
    return decided(typed) is True


def decided(typed: str) -> bool | None:
    """Yes or no; None where it is neither."""
    word = typed.strip().lower()
    if word in YES:
        return True
    return False if word in NO else None
