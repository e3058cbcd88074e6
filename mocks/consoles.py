"""The consoles that can stand in front of an aircraft."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from . import (
    avocet_spelling,
    dunlin_sheet,
    generated,
    knot_rows,
    scoter_spelling,
    turnstone_table,
)
from .avocet import Avocet
from .dunlin import Dunlin
from .generated import Generated
from .generated_description import description_data
from .knot import Knot
from .options import ConsoleKind
from .scoter import Scoter
from .spelling import typed_as
from .turnstone import Turnstone
from .wader import Wader

if TYPE_CHECKING:
    from .aircraft import Aircraft
    from .console import Console
    from .options import Options
    from .settings import Setting


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """How one kind of console is made, and how it spells an aircraft."""

    make: Callable[["Aircraft", "Options"], "Console"]
    shown: Callable[["Aircraft", "Options"], dict[str, str]]
    """The live settings, named and spelled as this console lists them."""
    kept_shown: Callable[["Aircraft", "Options"], dict[str, str]]
    """The same for what a restart brings; a value never kept is a factory value."""
    fit: Callable[[tuple["Setting", ...]], tuple["Setting", ...]] | None = None
    """The settings of this board, made from those of the fleet."""
    about: Callable[["Options"], dict[str, object]] | None = None
    """All choices of a made-up console as plain data."""


FRONTS: Final[dict[ConsoleKind, Front]] = {
    ConsoleKind.WADER: Front(
        make=lambda aircraft, _options: Wader(aircraft),
        shown=lambda aircraft, _options: dict(aircraft.live),
        kept_shown=lambda aircraft, _options: aircraft.after_restart(),
    ),
    ConsoleKind.DUNLIN: Front(
        make=lambda aircraft, _options: Dunlin(aircraft),
        shown=dunlin_sheet.shown,
        kept_shown=dunlin_sheet.kept_shown,
        fit=dunlin_sheet.fit,
    ),
    ConsoleKind.KNOT: Front(
        make=lambda aircraft, options: Knot(aircraft, weak_store=options.weak_store),
        shown=knot_rows.shown,
        kept_shown=knot_rows.kept_shown,
        fit=knot_rows.fit,
    ),
    ConsoleKind.TURNSTONE: Front(
        make=lambda aircraft, _options: Turnstone(aircraft),
        shown=turnstone_table.shown,
        kept_shown=turnstone_table.kept_shown,
        fit=turnstone_table.fit,
    ),
    ConsoleKind.SCOTER: Front(
        make=lambda aircraft, _options: Scoter(aircraft),
        shown=lambda aircraft, _options: scoter_spelling.shown(aircraft),
        kept_shown=lambda aircraft, _options: scoter_spelling.kept_shown(aircraft),
        fit=lambda settings: typed_as("scoter", settings),
    ),
    ConsoleKind.AVOCET: Front(
        make=lambda aircraft, options: Avocet(aircraft, chatter=options.chatter),
        shown=lambda aircraft, _options: avocet_spelling.shown(aircraft),
        kept_shown=lambda aircraft, _options: avocet_spelling.kept_shown(aircraft),
        fit=lambda settings: typed_as("avocet", settings),
    ),
    ConsoleKind.GENERATED: Front(
        make=lambda aircraft, options: Generated(aircraft, options.seed),
        shown=lambda aircraft, options: generated.shown(aircraft, options.seed),
        kept_shown=lambda aircraft, options: generated.kept_shown(
            aircraft, options.seed
        ),
        fit=lambda settings: typed_as("generated", settings),
        about=lambda options: description_data(options.seed),
    ),
}
