"""Other words than were asked for: told, asked about again, and never believed."""

from collections.abc import Iterator, Sequence
from typing import final

import pytest

from benchlink.core.slips import to_the_letter, yes_or_no

SENTENCE = "props off LW-03"


@final
class Typist:
    """Types one thing after the other, and remembers what was asked."""

    def __init__(self, typed: Sequence[str]) -> None:
        self._typed: Iterator[str] = iter(typed)
        self.asked: list[str] = []

    def __call__(self, prompt: str) -> str:
        self.asked.append(prompt)
        return next(self._typed)


@pytest.mark.parametrize(
    ("typed", "gives", "asked"),
    [
        ((SENTENCE,), SENTENCE, 1),
        (("props off LW-02", SENTENCE), SENTENCE, 2),
        (("Props off LW-03", f"{SENTENCE} ", SENTENCE), SENTENCE, 3),
        (("yes", "yes", "yes", SENTENCE), "yes", 3),
        (("",), "", 1),
        (("prosp off", ""), "", 2),
        (("No",), "No", 1),
        (("prosp off", "n"), "n", 2),
    ],
)
def test_only_the_same_words_count_and_enter_or_no_ends_it(
    typed: tuple[str, ...], gives: str, asked: int
) -> None:
    typist = Typist(typed)
    assert to_the_letter(typist, "Type it: ", SENTENCE) == gives
    assert len(typist.asked) == asked
    again = [f"Not '{t}': type '{SENTENCE}', or Enter to stop: " for t in typed]
    assert typist.asked[1:] == again[: asked - 1]


@pytest.mark.parametrize(
    ("typed", "agreed", "asked"),
    [
        (("yes",), True, 1),
        ((" Y ",), True, 1),
        (("no",), False, 1),
        (("",), False, 1),
        ((" ",), False, 1),
        (("yse", "yes"), True, 2),
        (("yes please", "sure", "y"), True, 3),
        (("ok", "ok", "ok", "yes"), False, 3),
    ],
)
def test_yes_and_no_decide_and_other_words_are_asked_again(
    typed: tuple[str, ...], *, agreed: bool, asked: int
) -> None:
    typist = Typist(typed)
    assert yes_or_no(typist, "Go on? [yes/no] ") is agreed
    again = [f"Not '{t}': Go on? [yes/no] " for t in typed]
    assert typist.asked == ["Go on? [yes/no] ", *again[: asked - 1]]
