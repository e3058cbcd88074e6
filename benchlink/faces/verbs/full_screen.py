"""`benchlink` with no verb: the full screen.

What opens ports and reads files is imported where it is used, on the work thread, while
the screen already paints (measured: 70 ms of the time to the first picture).
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, final

from benchlink.faces.arguments import Given
from benchlink.faces.screen.entrance import Place

if TYPE_CHECKING:
    from benchlink.core.doors import Person
    from benchlink.core.intent import Intent
    from benchlink.faces.simulated import SimulatedAircraft
    from benchlink.faces.wiring import Bench


def run(given: Given) -> int:
    """Open the screen on the port that was named, or on the list of ports."""
    return _show(WiredEntrance(given))


def rehearse(given: Given, arguments: Sequence[str]) -> int:
    """Open the screen on a simulated aircraft started for it."""
    return _show(WiredEntrance(given, arguments, at_once=True))


def _show(entrance: "WiredEntrance") -> int:
    from benchlink.faces.screen.app import run_screen  # noqa: PLC0415 - imports textual

    try:
        return run_screen(entrance)
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
        self.chosen = Place(title=named, detail="", url=named) if named else None
        self.rehearse_at_once = at_once
        self._benches = 0

    def places(self) -> tuple[Place, ...]:
        """The ports there are now."""
        from benchlink.faces.wiring import ports  # noqa: PLC0415 - see above

        return tuple(
            Place(
                title=port.product or port.url,
                detail=" ".join(filter(None, (port.url, port.serial))),
                url=port.url,
            )
            for port in ports()
        )

    def open(self, place: Place, person: "Person") -> "Bench":
        """Open a board; blocks."""
        from benchlink.faces.wiring import Choice, open_bench  # noqa: PLC0415

        given = self._given
        choice = Choice(
            port=place.url,
            console=given.console,
            speed=given.baud,
            record=self._next_recording(),
        )
        return self._opened(open_bench(choice, person))

    def rehearse(self, person: "Person") -> "Bench":
        """Start a simulated aircraft and open it; blocks."""
        from benchlink.faces.simulated import SimulatedAircraft  # noqa: PLC0415
        from benchlink.faces.wiring import (  # noqa: PLC0415
            Choice,
            open_bench,
            simulated_folder,
        )

        self.close()
        self._aircraft = SimulatedAircraft(self._aircraft_arguments, simulated_folder())
        choice = Choice(port=self._aircraft.port, record=self._next_recording())
        return self._opened(open_bench(choice, person))

    def intent(self, bench: "Bench") -> "Intent | None":
        """The profile to hold the board against."""
        from benchlink.faces.named_files import fitting_profile  # noqa: PLC0415

        return fitting_profile(self._given.profile, bench)

    def left_open(self, bench: "Bench", person: "Person") -> tuple[str, ...]:
        """What was left unfinished on this board, a sentence each."""
        from benchlink.faces.left_open import found_on, sentence_of  # noqa: PLC0415

        found = found_on(bench.session.identity, person)
        return tuple(sentence_of(one) for one in found)

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

    def close(self) -> None:
        """Switch a simulated aircraft off again."""
        if self._aircraft:
            self._aircraft.close()
            self._aircraft = None
