"""Tabs before a text indent it; behind it each is a character that stays visible."""

import pytest

from benchlink.console.terminal import render
from benchlink.core.stray import strays

TAB = strays(b"\t")


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        (b"\tcentre: 5", " " * 8 + "centre: 5"),
        (b"\t\tcentre", " " * 16 + "centre"),
        (b"  \tcentre", " " * 8 + "centre"),
        (b"note: a\tb", f"note: a{TAB}b"),
        (b"\ta\tb", " " * 8 + f"a{TAB}b"),
    ],
)
def test_a_tab_indents_only_before_any_text(raw: bytes, text: str) -> None:
    assert render(raw) == text
