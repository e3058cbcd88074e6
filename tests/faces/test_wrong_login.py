"""A wrong word at a login: what a person at a terminal reads."""

from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import Workshop, aircraft

BOARD: Final = ("--console", "dunlin", "--settings", "60")
ASKED: Final = ("User of the board: ", "Word of that user: ")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def logged_in(workshop: Workshop, *typed: str) -> tuple[int, str]:
    answers = dict(zip(ASKED, typed, strict=True))
    return workshop.at_terminal("backup", answers=answers)


def test_a_wrong_word_is_told_with_what_is_safe_and_what_next(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *BOARD) as craft:
        before = craft.live()
        code, said = logged_in(workshop, "bench", "sedge")
        assert code == 2
        assert "does not let you in: what you typed was sent once" in said
        assert "? not let in user:`" in said
        assert "Nothing was changed" in said
        assert "type it anew" in said
        assert "sedge" not in said
        assert "Another console" not in said
        assert craft.live() == before


def test_it_is_told_the_same_way_at_a_board_that_takes_a_pause(
    workshop: Workshop,
) -> None:
    """The third wrong answer makes this board wait, and print more than usual."""
    with aircraft(workshop, *BOARD) as craft:
        for _ in range(3):
            code, said = logged_in(workshop, "nobody", "reed")
            assert code == 2
            assert "does not let you in" in said
        craft.order("power-cycle")
        code, said = logged_in(workshop, "bench", "reed")
        assert code == 0, said
