"""`python -m tests.bench.empty_screen`: a full screen that shows one word."""

from collections.abc import Iterator

from textual.app import App
from textual.widgets import Static


class EmptyScreen(App[None]):
    """Nothing but the word by which its first paint is known."""

    def compose(self) -> Iterator[Static]:
        """One word."""
        yield Static("blank")


if __name__ == "__main__":
    EmptyScreen().run(mouse=False)
