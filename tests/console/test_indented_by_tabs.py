"""Tabs before a text indent it; behind it they stay visible."""

import pytest

from benchlink.console.terminal import render


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        (b"\tcentre: 5", " " * 8 + "centre: 5"),
        (b"\t\tcentre", " " * 16 + "centre"),
        (b"  \tcentre", " " * 8 + "centre"),
        (b"note: a\tb", "note: a\\x09b"),
        (b"\ta\tb", " " * 8 + "a\\x09b"),
    ],
)
def test_a_tab_indents_only_before_any_text(raw: bytes, text: str) -> None:
    assert render(raw) == text
