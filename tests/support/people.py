"""A person at the bench who answers by a script and remembers all that was said."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import final

from benchlink.core.advance import Advance
from benchlink.core.confirmation import AND_PROPS_OFF, HANDS_CLEAR
from benchlink.core.doors import Keys
from benchlink.core.plan import Plan
from benchlink.core.scene import Scene
from benchlink.faces.plain_keys import NoKeys
from benchlink.units import Seconds


class StillPerson:
    """Whoever works on settings: nothing is held or nudged, and no scene is watched."""

    def show_scene(self, scene: Scene | None) -> None:
        """Nobody looks."""

    def done(self) -> None:
        """Nothing was drawn."""

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        raise NotImplementedError

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        raise NotImplementedError

    @contextmanager
    def keys(self, prompt: str) -> Iterator[Keys]:  # noqa: ARG002 - the door's shape
        yield NoKeys()


@final
class ScriptedPerson(StillPerson):
    def __init__(
        self,
        *,
        says_yes: bool = True,
        typed: str = HANDS_CLEAR,
        at: Callable[[str], None] = lambda _: None,
    ) -> None:
        self.told: list[str] = []
        self.asked: list[str] = []
        self.plans: list[Plan] = []
        self.advances: list[Advance] = []
        self._says_yes = says_yes
        self.typed = typed
        """What is typed at any question; a test may change it on the way."""
        self._at = at
        """Called with what is said, asked or progressing: lets a test step in."""

    def tell(self, sentence: str) -> None:
        self.told.append(sentence)
        self._at(sentence)

    def progress(self, advance: Advance) -> None:
        self.advances.append(advance)
        self._at(advance.what)

    def show_plan(self, plan: Plan) -> None:
        self.plans.append(plan)

    def agrees(self, question: str) -> bool:
        self.asked.append(question)
        self._at(question)
        return self._says_yes

    def waits_for(
        self,
        word: str,
        within: Seconds,
        prompt: Callable[[Seconds], str],
        meanwhile: Callable[[], None],
    ) -> bool:
        self.asked.append(prompt(within))
        self._at(prompt(within))
        meanwhile()
        return self.typed == word

    def whispers(self, prompt: str) -> str:
        return self.types(prompt)

    def types(self, prompt: str) -> str:
        self.asked.append(prompt)
        self._at(prompt)
        if self.typed == HANDS_CLEAR and AND_PROPS_OFF in prompt:
            return AND_PROPS_OFF
        return self.typed

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        meanwhile()
        return self.types(prompt)

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        meanwhile()
        return self.types(prompt)
