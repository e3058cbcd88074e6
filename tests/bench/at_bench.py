"""A board opened as the product opens it, with nobody to be asked."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import final

from benchlink.core.advance import Advance
from benchlink.core.plan import Plan
from benchlink.faces.wiring import Bench, Choice, open_bench
from benchlink.units import Seconds
from tests.support.people import StillPerson

CONSOLE = "wader"


@final
class Nobody(StillPerson):
    """Hears everything, says no."""

    def tell(self, sentence: str) -> None:
        """Not shown."""

    def progress(self, advance: Advance) -> None:
        """Not shown."""

    def show_plan(self, plan: Plan) -> None:
        """Not shown."""

    def agrees(self, question: str) -> bool:  # noqa: ARG002 - the door's shape
        """No."""
        return False

    def whispers(self, prompt: str) -> str:  # noqa: ARG002 - the door's shape
        """Nothing."""
        return ""

    def types(self, prompt: str) -> str:  # noqa: ARG002 - the door's shape
        """Nothing."""
        return ""

    def waits_for(
        self,
        word: str,  # noqa: ARG002 - the door's shape
        within: Seconds,  # noqa: ARG002 - the door's shape
        prompt: Callable[[Seconds], str],  # noqa: ARG002 - the door's shape
        meanwhile: Callable[[], None],  # noqa: ARG002 - the door's shape
    ) -> bool:
        """No."""
        return False


@contextmanager
def at_bench(port: str) -> Iterator[Bench]:
    """Open, meet, and let go."""
    bench = open_bench(Choice(port=port, console=CONSOLE), Nobody())
    try:
        yield bench
    finally:
        bench.close()
