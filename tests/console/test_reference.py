"""The reference and the schema know the same keys."""

import re
from pathlib import Path
from typing import Final

import pytest

from benchlink.console.schema import describe
from benchlink.core.document import TableReader
from tests.console.talking import node
from tests.console.whole_console import WHOLE

REFERENCE: Final = Path(__file__).parents[2] / "DEVELOPERS.md"
CHAPTER: Final = "## A console description"
KEY: Final = re.compile(r"`([a-z][a-z0-9-]*)(?::[^`]*)?`")
VERBS: Final = ("write-", "read-more")
"""How verbs begin whose names the description makes up."""
EXAMPLES: Final = frozenset({"tilt"})
"""What stands there as the text of a board, not as a key."""


def told() -> set[str]:
    """Every key that the reference names."""
    text = REFERENCE.read_text(encoding="utf-8")
    chapter = text.partition(CHAPTER)[2].partition("\n## ")[0]
    return set(KEY.findall(chapter)) - EXAMPLES


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Every key that anybody asks a table for."""
    asked: set[str] = set()
    take, has = TableReader.take, TableReader.has

    def taking(self: TableReader, key: str) -> object:
        asked.add(key)
        return take(self, key)

    def having(self: TableReader, key: str) -> bool:
        asked.add(key)
        return has(self, key)

    monkeypatch.setattr(TableReader, "take", taking)
    monkeypatch.setattr(TableReader, "has", having)
    return asked


def test_every_key_of_the_reference_is_read_and_no_other(read: set[str]) -> None:
    describe(node(WHOLE))
    known = {key for key in read if not key.startswith(VERBS)}
    assert told() == known
