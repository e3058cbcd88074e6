"""Journals in memory, as a test's paper: it can tear, and it can be read afterwards."""

from collections.abc import Callable
from typing import final

from benchlink.core.journal import Mark, Step, Story, Transaction, Unfinished
from benchlink.errors import FileError


@final
class Paper:
    """One journal."""

    def __init__(self, transaction: Transaction, path: str, folder: "Folder") -> None:
        self.transaction = transaction
        self.path = path
        self.story = Story()
        self._folder = folder

    def mark(self, mark: Mark, stage: int = 1) -> None:
        self._folder.at(mark)
        self.story = self.story.then(Step(mark, stage))


@final
class Folder:
    """All journals; `at` is called before every mark and may raise."""

    def __init__(self, at: Callable[[Mark], None] = lambda _: None) -> None:
        self.papers: list[Paper] = []
        self.full = False
        self.at = at

    def open(self, transaction: Transaction) -> Paper:
        if self.full:
            msg = "no paper left"
            raise FileError(msg)
        path = f"journal/{len(self.papers) + 1}"
        self.papers.append(Paper(transaction, path, self))
        return self.papers[-1]

    def unfinished(self) -> tuple[Unfinished, ...]:
        return tuple(
            Unfinished(transaction=p.transaction, story=p.story, path=p.path)
            for p in reversed(self.papers)
            if p.story.open
        )

    def go_on(self, unfinished: Unfinished) -> Paper:
        return next(p for p in self.papers if p.path == unfinished.path)

    @property
    def state(self) -> Mark:
        return self.papers[-1].story.state
