"""The lines that move outputs, rendered within what the description declares.

Nothing here sends anything: an utterance made here has to get a permit first.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from benchlink.console.description import LiveVerb
from benchlink.console.dial import Dial
from benchlink.console.grammar import Grammar
from benchlink.core.utterance import Utterance
from benchlink.errors import Place, Problem, UsageError
from benchlink.units import Power, PulseUs, Seconds

NOWHERE: Final = Place("the description", 0)


@dataclass(frozen=True, slots=True)
class LiveGrammar:
    """The live verbs of a console."""

    grammar: Grammar

    def can(self, verb: str) -> bool:
        """Whether this console has the live verb."""
        return verb in self.grammar.description.live.verbs

    def drive(
        self, output: str, pulse: PulseUs, run_for: Seconds | None = None
    ) -> Utterance:
        """Put an output to a pulse, for so long where the line tells a time.

        Raises:
            UsageError: the console has no such verb.
            ValueError: the output is not declared, or a quantity is beyond its limits.
        """
        self._require(output, self.grammar.description.live.outputs, "output")
        return self._render("drive", {"output": output}, {"pulse": pulse}, run_for)

    def release(self, output: str) -> Utterance:
        """Let go of an output: a servo goes limp, which is not the same as a stop.

        Raises:
            UsageError: the console has no such verb.
            ValueError: the output is not declared.
        """
        self._require(output, self.grammar.description.live.outputs, "output")
        return self._render("release", {"output": output}, {}, None)

    def spin(
        self, motor: str, power: Power, run_for: Seconds | None = None
    ) -> Utterance:
        """Run one motor at a power, for so long where the line tells a time.

        Raises:
            UsageError: the console has no such verb.
            ValueError: the motor is not declared, or a quantity is beyond its limits.
        """
        self._require(motor, self.grammar.description.live.motors, "motor")
        return self._render("spin", {"motor": motor}, {"percent": power}, run_for)

    def untellable(self) -> Iterator[Problem]:
        """Live verbs that cannot be told though the description declares them."""
        for name, live in self.grammar.description.live.verbs.items():
            problem = next(self._untellable(name, live), "")
            if problem:
                place = live.verb.steps[0].line.place or NOWHERE
                yield Problem(place, f"live verb {name} {problem}")

    def _untellable(self, name: str, live: LiveVerb) -> Iterator[str]:
        declared = self.grammar.description.live
        field, things = ("output", declared.outputs)
        if name == "spin":
            field, things = ("motor", declared.motors)
        for thing in things:
            for end in ("least", "most"):
                values = {key: _end_of(dial, end) for key, dial in live.dials.items()}
                time = values.pop("time", None)
                run_for = None if time is None else Seconds(time)
                try:
                    self._render(name, {field: thing}, values, run_for)
                except ValueError as exc:
                    yield f"with {thing} at its {end}: {exc}"

    def _require(self, name: str, known: Mapping[str, object], what: str) -> None:
        if name not in known:
            names = ", ".join(known) or "none"
            msg = f"{name!r} is no {what} that the description declares ({names})"
            raise ValueError(msg)

    def _render(
        self,
        name: str,
        things: Mapping[str, str],
        values: Mapping[str, float],
        run_for: Seconds | None,
    ) -> Utterance:
        live = self._verb(name)
        if live.timed != (run_for is not None):
            told = "has to be told" if live.timed else "cannot be told"
            msg = f"this console {told} for how long to {name}"
            raise ValueError(msg)
        times = {} if run_for is None else {"time": run_for}
        fields = dict(things)
        for key, value in {**values, **times}.items():
            fields[key] = self._dialled(live, key, value)
        said = self.grammar.render(name, live.verb, fields)
        # Never repeated blindly: the second copy of a burst is a burst too many.
        commands = tuple(replace(command, changes=True) for command in said.commands)
        return replace(said, commands=commands)

    def _dialled(self, live: LiveVerb, key: str, value: float) -> str:
        try:
            return live.dials[key].of(value)
        except ValueError as exc:
            msg = f"{key}: {exc}"
            raise ValueError(msg) from exc

    def _verb(self, name: str) -> LiveVerb:
        live = self.grammar.description.live.verbs.get(name)
        if live is None:
            msg = f"the console {self.grammar.description.name!r} has no way to {name}"
            raise UsageError(
                msg, hint=f"Describe it under `live: {name}:` if the board can do it."
            )
        return live


def _end_of(dial: Dial, end: str) -> float:
    return dial.ours(dial.least if end == "least" else dial.most)
