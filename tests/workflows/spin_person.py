"""A spin check in virtual time: a person with a script, and keys with their gaps."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import final

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.core.doors import Keys
from benchlink.core.scene import Scene
from benchlink.units import Seconds
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.mover import Mover
from benchlink.workflows.session import meet
from benchlink.workflows.spin_bench import SpinBench
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import FEW, wader
from tests.support.virtual_board import VirtualBoard

SENTENCE = "props off LW-03"
Key = tuple[float, str]
"""Seconds since the key before, and the key; `a+b` came together."""


def held(count: int, first: float = 0.4, period: float = 0.033) -> list[Key]:
    """Space, held."""
    return [(0.7, "space"), (first, "space"), *[(period, "space")] * (count - 2)]


@final
class Keyboard:
    """Keys that come by themselves, in virtual time."""

    def __init__(self, board: VirtualBoard, keys: Sequence[Key]) -> None:
        self.board = board
        self.left = list(keys)
        self.at: Callable[[str], None] = lambda _: None
        self.waits: Callable[[], None] = lambda: None
        """Called when no key came in time."""

    def show(self, text: str) -> None:
        """Nobody looks."""

    def pressed(self, within: Seconds) -> tuple[str, ...]:
        if not self.left:
            assert within < 5, "somebody waits for a key that never comes"
            self.board.idle(within)
            self.at("")
            return ()
        gap, key = self.left[0]
        if gap > within:
            self.left[0] = (gap - within, key)
            self.board.idle(within)
            self.waits()
            return ()
        self.board.idle(gap)
        del self.left[0]
        self.at(key)
        return tuple(key.split("+"))


@final
class SpinPerson:
    """Answers by what stands in the prompt; hands are told to the aircraft."""

    def __init__(
        self, board: VirtualBoard, answers: dict[str, str], keys: Sequence[Key]
    ) -> None:
        self.board = board
        self.answers = {
            "Type `out`": "out",
            "Type `in`": "in",
            SENTENCE: SENTENCE,
            "by the build sheet": "?",
            "What turned": "left",
            "Which way": "clockwise",
            **answers,
        }
        self.keyboard = Keyboard(board, keys)
        self.told: list[str] = []
        self.prompts: list[str] = []
        self.scenes: list[Scene] = []
        self.says_yes = True
        self.pulls = True
        """Whether the pack comes out where it is asked to."""
        self.before: Callable[[str], None] = lambda _: None
        self._scripted = ScriptedPerson()
        self.progress = self._scripted.progress
        self.done = self._scripted.done
        self.show_plan = self._scripted.show_plan
        self.whispers = self._scripted.whispers
        self.waits_for = self._scripted.waits_for
        self.reads = self._scripted.reads

    def tell(self, sentence: str) -> None:
        self.told.append(sentence)

    def show_scene(self, scene: Scene | None) -> None:
        if scene is not None:
            self.scenes.append(scene)

    def agrees(self, question: str) -> bool:
        self.prompts.append(question)
        return self.says_yes

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        meanwhile()
        return self.types(prompt)

    def types(self, prompt: str) -> str:
        self.prompts.append(prompt)
        self.before(prompt)
        if "Type `out`" in prompt and self.pulls:
            self.hands("disconnect pack")
        if "Type `in`" in prompt:
            self.hands("connect pack")
        return next((v for k, v in self.answers.items() if k in prompt), "")

    @contextmanager
    def keys(self, prompt: str) -> Iterator[Keys]:
        self.prompts.append(prompt)
        yield self.keyboard

    def hands(self, order: str) -> dict[str, object]:
        return tell_hands(self.board.device, order, self.board.now_us)

    def confirmations(self) -> int:
        return sum(SENTENCE in prompt for prompt in self.prompts)


def at_the_bench(
    *keys: Key,
    description: Description | None = None,
    answers: dict[str, str] | None = None,
    pack: bool = True,
) -> tuple[SpinBench, SpinPerson]:
    board = VirtualBoard(description or wader(), FEW)
    person = SpinPerson(board, answers or {}, keys)
    person.hands("props off")
    person.hands("connect pack" if pack else "disconnect pack")
    session = meet(board, Grammar(board.description))
    who = Who(aircraft="LW-03", operator="builder")
    mover = Mover(session, person, lambda: board.now, who)
    return SpinBench(mover=mover, person=person, pause=board.idle), person


def ordered(person: SpinPerson) -> list[str]:
    """What the motors were told, and the stops."""
    lines = [data.decode().strip() for data in person.board.written]
    return [line for line in lines if line.startswith(("whirl", "halt"))]


def runs(person: SpinPerson) -> list[str]:
    """What the motors were told after the proofs."""
    whirls = [line for line in ordered(person) if line.startswith("whirl")]
    return [line for line in whirls if " at 5.0 " not in line]


def span(person: SpinPerson) -> dict[str, object]:
    """What a person saw turn since this was last asked."""
    return person.hands("moved")
