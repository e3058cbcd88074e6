"""A stage with the opening page, and one with a board open."""

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest

from benchlink.faces.screen.steps import home
from benchlink.faces.screen.values import values
from tests.faces.screen.screen_bench import SMALL, FakeEntrance, Stage, Stages, lw03

Begin = Callable[..., AbstractAsyncContextManager[Stage]]

NEVER_S = 3600.0
"""Longer than any test: what a page asks by the clock, a test asks for by itself."""


@pytest.fixture
def begin(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Begin:
    """Starts a screen on an entrance, in a folder without copies of any board."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(values, "CHECK_EVERY_S", NEVER_S)
    monkeypatch.setattr(home, "WATCH_EVERY_S", NEVER_S)
    for name in ("NO_COLOR", "TEXTUAL_THEME"):
        monkeypatch.delenv(name, raising=False)

    @asynccontextmanager
    async def started(
        entrance: FakeEntrance | None = None, size: tuple[int, int] = SMALL
    ) -> AsyncIterator[Stage]:
        stages = Stages(entrance or FakeEntrance())
        app, work = stages.app()
        async with app.run_test(size=size) as pilot:
            stage = Stage(app, stages.entrance, work, pilot)
            await stage.settle()
            yield stage

    return started


@pytest.fixture
def at_board(begin: Begin) -> Begin:
    """Starts a screen and opens the first port, held against LW-03."""

    @asynccontextmanager
    async def started(
        entrance: FakeEntrance | None = None,
        size: tuple[int, int] = SMALL,
        *,
        profile: bool = True,
    ) -> AsyncIterator[Stage]:
        entrance = entrance or FakeEntrance()
        if profile and entrance.wants is None:
            entrance.wants = lw03()
        async with begin(entrance, size) as stage:
            await stage.press("enter", "v")
            yield stage

    return started
