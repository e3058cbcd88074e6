"""The list of what can be done, opened and waited for: textual fills it on its own time."""

from typing import Final

from textual.command import CommandInput, CommandList, CommandPalette

from tests.faces.screen.screen_bench import Stage

LIST: Final = "ctrl+p"
LOOKS: Final = 200
LOOK_S: Final = 0.02


async def listed(stage: Stage, typed: str = "") -> None:
    """Open it, type, and wait until it shows what was found."""
    await stage.press(LIST, *typed)
    screen = stage.app.screen
    assert isinstance(screen, CommandPalette)
    for _ in range(LOOKS):
        await stage.pilot.pause(LOOK_S)
        filled = (
            screen.has_class("-ready") and screen.query_one(CommandList).option_count
        )
        if filled and screen.query_one(CommandInput).value == typed:
            break
    else:
        raise AssertionError(stage.picture())
    # It follows what is typed in a task of its own.
    await screen.workers.wait_for_complete()
    await stage.settle()
