"""A person at the bench who says yes, and may be struck at any sentence."""

from collections.abc import Callable
from typing import Final, final

from benchlink.core.advance import Advance
from benchlink.core.confirmation import AND_PROPS_OFF, HANDS_CLEAR
from benchlink.core.plan import Plan
from benchlink.units import Seconds
from tests.support.people import StillPerson


@final
class BenchPerson(StillPerson):
    """Implements `doors.Person`."""

    def __init__(self, *, at: Callable[[str], None], keeps: bool) -> None:
        self._at: Final = at
        self._keeps: Final = keeps
        """Whether what was tried shall be kept."""

    def tell(self, sentence: str) -> None:
        self._at(sentence)

    def progress(self, advance: Advance) -> None:
        self._at(advance.what)

    def show_plan(self, plan: Plan) -> None:
        pass

    def agrees(self, question: str) -> bool:
        self._at(question)
        return True

    def whispers(self, prompt: str) -> str:
        return self.types(prompt)

    def types(self, prompt: str) -> str:
        self._at(prompt)
        return AND_PROPS_OFF if AND_PROPS_OFF in prompt else HANDS_CLEAR

    def waits_for(
        self,
        word: str,  # noqa: ARG002 - the door's shape
        within: Seconds,
        prompt: Callable[[Seconds], str],
        meanwhile: Callable[[], None],
    ) -> bool:
        """A few looks at the board, then the word, or another."""
        for left in (within, Seconds(within / 2), Seconds(5.0)):
            self._at(prompt(left))
            meanwhile()
        return self._keeps
