"""What knot lists: one row a thing, with several named fields.

`tilt.left.centre_us` is the field `mid` of the thing `tilt-L`. A cell is named by both:
`tilt-L mid`.
"""

from typing import TYPE_CHECKING, Final

from .spelling import Names, Values, part, typed_as

if TYPE_CHECKING:
    from collections.abc import Mapping

    from .aircraft import Aircraft
    from .options import Options
    from .settings import Setting

VALUES: Final = Values(yes="Y", no="N", between="/", opens="<", closes=">")

_SHORT_FIELDS: Final = {"centre": "mid", "direction": "dir", "rate": "hz"}
_SHORT_SIDES: Final = {"left": "L", "right": "R"}
_OWN_CELLS: Final = {"log.rate_hz": "log-rate hz"}


def fit(settings: "tuple[Setting, ...]") -> "tuple[Setting, ...]":
    """The settings of a knot board."""
    return typed_as("knot", settings)


def names(aircraft: "Aircraft") -> Names:
    """The names of all cells."""
    return Names(aircraft.settings.values(), _spelled)


def shown(aircraft: "Aircraft", _options: "Options") -> dict[str, str]:
    """All live cells as listed; rows that a slip has made are left out."""
    return _all_listed(aircraft, aircraft.live)


def kept_shown(aircraft: "Aircraft", _options: "Options") -> dict[str, str]:
    """The same for the values after a restart."""
    return _all_listed(aircraft, aircraft.after_restart())


def rows(aircraft: "Aircraft", now_us: int) -> dict[str, str]:
    """The row of each thing, in the board's order."""
    known = names(aircraft)
    fields: dict[str, list[str]] = {}
    for setting, value in aircraft.listing(now_us):
        thing, field = known.of[setting.name].split(" ")
        cell = VALUES.spell(setting.kind, value)
        fields.setdefault(thing, []).append(f"{field} {cell}")
    return {thing: " ".join((thing, *cells)) for thing, cells in fields.items()}


def _spelled(name: str) -> str:
    if name in _OWN_CELLS:
        return _OWN_CELLS[name]
    parted = part(name)
    thing = "-".join(_SHORT_SIDES.get(word, word) for word in parted.path.split("."))
    field = _SHORT_FIELDS.get(parted.stem, parted.stem.replace("_", "-"))
    return f"{thing} {field}"


def _all_listed(aircraft: "Aircraft", values: "Mapping[str, str]") -> dict[str, str]:
    known = names(aircraft)
    return {
        known.of[name]: VALUES.spell(setting.kind, values[name])
        for name, setting in aircraft.settings.items()
    }
