"""`benchlink` with no verb: the full screen."""

from collections.abc import Sequence
from typing import Final, final

from benchlink.core.doors import Person
from benchlink.core.intent import Intent
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import choice_of
from benchlink.faces.screen.entrance import Place
from benchlink.faces.simulated import SimulatedAircraft
from benchlink.faces.wiring import (
    Bench,
    Choice,
    fitting_profile,
    open_bench,
    ports,
    simulated_folder,
)


def run(given: Given) -> int:
    """Open the screen on the port that was named, or on the list of ports."""
    return _show(WiredEntrance(choice_of(given), given.profile))


def rehearse(given: Given, arguments: Sequence[str]) -> int:
    """Open the screen on a simulated aircraft started for it."""
    choice = Choice()
    entrance = WiredEntrance(choice, given.profile, arguments, at_once=True)
    return _show(entrance)


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
        choice: Choice,
        profile: str | None,
        aircraft_arguments: Sequence[str] = (),
        *,
        at_once: bool = False,
    ) -> None:
        self._choice: Final = choice
        self._profile: Final = profile
        self._aircraft_arguments: Final = aircraft_arguments
        self._aircraft: SimulatedAircraft | None = None
        self.chosen = (
            Place(title=choice.port, detail="", url=choice.port)
            if choice.port
            else None
        )
        self.rehearse_at_once = at_once

    def places(self) -> tuple[Place, ...]:
        """The ports there are now."""
        return tuple(
            Place(
                title=port.product or port.url,
                detail=" ".join(filter(None, (port.url, port.serial))),
                url=port.url,
            )
            for port in ports()
        )

    def open(self, place: Place, person: Person) -> Bench:
        """Open a board; blocks."""
        choice = Choice(
            port=place.url, console=self._choice.console, speed=self._choice.speed
        )
        return open_bench(choice, person)

    def rehearse(self, person: Person) -> Bench:
        """Start a simulated aircraft and open it; blocks."""
        self.close()
        self._aircraft = SimulatedAircraft(self._aircraft_arguments, simulated_folder())
        return open_bench(Choice(port=self._aircraft.port), person)

    def intent(self, bench: Bench) -> Intent | None:
        """The profile to hold the board against."""
        return fitting_profile(self._profile, bench)

    def close(self) -> None:
        """Switch a simulated aircraft off again."""
        if self._aircraft:
            self._aircraft.close()
            self._aircraft = None
