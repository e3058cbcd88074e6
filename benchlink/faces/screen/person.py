"""The person as a workflow on the work thread sees them."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, final

from benchlink.faces.screen.news import Progressed, Told
from benchlink.units import Seconds

if TYPE_CHECKING:
    from benchlink.core.plan import Plan
    from benchlink.faces.screen.work import Post

SHOW_EVERY: Final = Seconds(0.05)
"""Twenty times a second is as fast as anyone reads, and cheap over a slow line."""


@final
class ScreenPerson:
    """Turns what a workflow says into news; agrees to nothing."""

    def __init__(self, post: "Post", clock: Callable[[], Seconds]) -> None:
        self._post: Final = post
        self._clock: Final = clock
        self._shown = Seconds(float("-inf"))

    def tell(self, sentence: str) -> None:
        """Say it on the screen."""
        self._post(Told(sentence=sentence))

    def progress(self, what: str, done: int, total: int) -> None:
        """Show it, unless the last one is still fresh."""
        now = self._clock()
        if now - self._shown >= SHOW_EVERY:
            self._shown = now
            self._post(Progressed(what=what, done=done, total=total))

    def show_plan(self, plan: "Plan") -> None:
        """Nothing is written from this screen, so there is no plan to show."""

    def agrees(self, question: str) -> bool:  # noqa: ARG002 - the door's shape
        """Nothing is written from this screen."""
        return False

    def whispers(self, prompt: str) -> str:  # noqa: ARG002 - the door's shape
        """Nobody can type a secret here."""
        return ""

    def waits_for(
        self,
        word: str,  # noqa: ARG002 - the door's shape
        within: Seconds,  # noqa: ARG002 - the door's shape
        prompt: Callable[[Seconds], str],  # noqa: ARG002 - the door's shape
        meanwhile: Callable[[], None],  # noqa: ARG002 - the door's shape
    ) -> bool:
        """Nothing is tried out from this screen."""
        return False

    def types(self, prompt: str) -> str:  # noqa: ARG002 - the door's shape
        """Nothing is confirmed on this screen."""
        return ""
