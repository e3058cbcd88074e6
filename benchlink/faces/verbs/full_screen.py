"""`benchlink` with no verb: the full screen.

What opens ports and reads files is imported where it is used, on the work thread, while
the screen already paints (measured: 70 ms of the time to the first picture).
"""

import contextlib
import gc
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, final

from benchlink.errors import BenchError, RigError
from benchlink.faces.arguments import Given
from benchlink.faces.screen.steady import GC_THRESHOLDS

if TYPE_CHECKING:
    from benchlink.core.doors import Person
    from benchlink.faces.hands import Hands
    from benchlink.faces.screen.threads.entrance import Place
    from benchlink.faces.screen.threads.home_facts import HomeFacts, Volts
    from benchlink.faces.screen.threads.person import ScreenPerson
    from benchlink.faces.screen.threads.values_facts import ValuesFacts
    from benchlink.faces.simulated import SimulatedAircraft
    from benchlink.faces.wiring import Bench


def run(given: Given) -> int:
    """Open the screen on the port that was named, or on the list of ports."""
    return _show(WiredEntrance(given))


def rehearse(given: Given, arguments: Sequence[str]) -> int:
    """Open the screen on a simulated aircraft started for it."""
    return _show(WiredEntrance(given, arguments, at_once=True))


def _show(entrance: "WiredEntrance") -> int:
    # What is imported here stays: collecting through it took 13 ms of the time to the
    # first picture.
    gc.set_threshold(*GC_THRESHOLDS)
    from benchlink.faces.screen.program import run_screen  # noqa: PLC0415 - textual
    from benchlink.faces.screen.way_out import SIGNALLED  # noqa: PLC0415

    gc.freeze()
    try:
        code = run_screen(entrance)
        if code < SIGNALLED:
            entrance.say_what_was_hidden()
        return code
    finally:
        entrance.close()


@final
class WiredEntrance:
    """Real ports and real boards for the screen."""

    def __init__(
        self,
        given: Given,
        aircraft_arguments: Sequence[str] = (),
        *,
        at_once: bool = False,
    ) -> None:
        self._given: Final = given
        self._aircraft_arguments: Final = aircraft_arguments
        self._aircraft: SimulatedAircraft | None = None
        named = None if at_once else given.port
        self.chosen = _place_of(named) if named else None
        self.rehearse_at_once = at_once
        self._benches = 0
        self._in_hand = False
        """Whether the board that is open is that of the simulated aircraft."""

    @property
    def hands(self) -> "Hands | None":
        """The simulated aircraft, while its board is the one that is open."""
        return self._aircraft if self._in_hand else None

    def places(self) -> "tuple[Place, ...]":
        """The ports there are now."""
        from benchlink.faces.screen.threads.entrance import Place  # noqa: PLC0415 - see above
        from benchlink.faces.wiring import ports  # noqa: PLC0415 - see above

        return tuple(
            Place(
                title=port.product or port.url,
                detail=" ".join(filter(None, (port.url, port.serial))),
                url=port.url,
            )
            for port in ports()
        )

    def open(self, place: "Place", person: "Person") -> "Bench":
        """Open a board; blocks."""
        from benchlink.faces.wiring import Choice, open_bench  # noqa: PLC0415

        given = self._given
        aircraft = self._aircraft
        self._in_hand = aircraft is not None and place.url == aircraft.port
        choice = Choice(
            port=place.url,
            console=given.console,
            speed=given.baud,
            record=self._next_recording(),
        )
        return self._opened(open_bench(choice, person))

    def rehearse(self, person: "Person") -> "Bench":
        """Start a simulated aircraft and open it; blocks."""
        from benchlink.faces.hidden_faults import ARGUMENTS  # noqa: PLC0415
        from benchlink.faces.simulated import SimulatedAircraft  # noqa: PLC0415
        from benchlink.faces.wiring import (  # noqa: PLC0415
            Choice,
            open_bench,
            simulated_folder,
        )

        self.close()
        arguments = (*ARGUMENTS, *self._aircraft_arguments)
        self._aircraft = SimulatedAircraft(arguments, simulated_folder())
        self._in_hand = True
        choice = Choice(port=self._aircraft.port, record=self._next_recording())
        return self._opened(open_bench(choice, person))

    def job(self, bench: "Bench", person: "ScreenPerson") -> "HomeFacts":
        """How the job stands; blocks."""
        from benchlink.faces.arguments import defaults  # noqa: PLC0415 - see above
        from benchlink.faces.at_board import at_opened  # noqa: PLC0415
        from benchlink.faces.screen.threads import errands  # noqa: PLC0415

        given = defaults("job")
        given.aircraft = self._given.aircraft
        return errands.home(at_opened(bench, person, given), self._given.profile)

    def values(self, bench: "Bench", person: "ScreenPerson") -> "ValuesFacts":
        """What the board holds, beside what it should hold; blocks."""
        from benchlink.faces.arguments import defaults  # noqa: PLC0415 - see above
        from benchlink.faces.at_board import at_opened  # noqa: PLC0415
        from benchlink.faces.screen.threads import errands  # noqa: PLC0415

        given = defaults("compare")
        given.aircraft = self._given.aircraft
        at = at_opened(bench, person, given)
        return errands.values(at, lambda: errands.standard_of(at, self._given.profile))

    def volts(self, bench: "Bench") -> "Volts":
        """What feeds the board; blocks."""
        from benchlink.faces.screen.threads import errands  # noqa: PLC0415 - see above

        bench.props.look()
        return errands.volts(bench.session)

    def station(
        self, bench: "Bench", person: "ScreenPerson", words: tuple[str, ...]
    ) -> int:
        """Do a verb's work on the open board; blocks."""
        from importlib import import_module  # noqa: PLC0415 - see above

        from benchlink.faces.arguments import defaults  # noqa: PLC0415
        from benchlink.faces.at_board import at_opened  # noqa: PLC0415

        given = defaults(*words)
        given.aircraft = self._given.aircraft
        verb = import_module(f"benchlink.faces.verbs.{words[0]}")
        code: int = verb.at_work(at_opened(bench, person, given), given)
        return code

    def talk(self, bench: "Bench") -> None:
        """Talk to the open board until the person leaves."""
        from benchlink.faces.arguments import defaults  # noqa: PLC0415 - see above
        from benchlink.faces.at_board import at_opened  # noqa: PLC0415
        from benchlink.faces.plain_person import PlainPerson  # noqa: PLC0415
        from benchlink.faces.verbs.talk import at_work  # noqa: PLC0415
        from benchlink.faces.wording import error_lines  # noqa: PLC0415

        given = defaults("talk")
        given.aircraft = self._given.aircraft
        person = PlainPerson()
        bench.props.drop("the board was talked to")
        person.tell(
            f"A talk with the board at {bench.session.board.port}: a moment ..."
        )
        try:
            at_work(at_opened(bench, person, given), given)
        except BenchError as error:
            for line in error_lines(error):
                person.tell(line)
        person.types("Enter goes back to the steps: ")

    def left_open(self, bench: "Bench", person: "Person") -> tuple[str, ...]:
        """What was left unfinished on this board, a sentence each."""
        from benchlink.faces.left_open import found_on, sentence_of  # noqa: PLC0415

        found = found_on(bench.session.identity, person)
        recorded = bench.recorded is not None
        return tuple(sentence_of(one, recorded=recorded) for one in found)

    def _next_recording(self) -> "str | None":
        """Each board that is opened has a recording of its own: FILE, FILE-2 ..."""
        from pathlib import Path  # noqa: PLC0415 - first paint

        named = self._given.record
        if named is None or not self._benches:
            return named
        path = Path(named)
        return str(path.with_stem(f"{path.stem}-{self._benches + 1}"))

    def _opened(self, bench: "Bench") -> "Bench":
        self._benches += 1
        return bench

    def say_what_was_hidden(self) -> None:
        """Tell at the end of a rehearsal what was wrong with its aircraft."""
        from benchlink.faces.hidden_faults import reveal  # noqa: PLC0415
        from benchlink.faces.plain_person import PlainPerson  # noqa: PLC0415

        # An aircraft that is gone tells nothing, and nobody waits for it.
        with contextlib.suppress(RigError):
            for sentence in reveal(self._aircraft) if self._aircraft else ():
                PlainPerson().tell(sentence)

    def close(self) -> None:
        """Switch a simulated aircraft off again."""
        if self._aircraft:
            self._aircraft.close()
            self._aircraft = None
            self._in_hand = False


def _place_of(named: str) -> "Place":
    from benchlink.faces.screen.threads.entrance import Place  # noqa: PLC0415 - first paint

    return Place(title=named, detail="", url=named)
