"""What turnstone lists: a wide table of settings, and the pads.

A name has blanks inside (`tilt left centre`), the unit stands in a column of its own.
Pulses in us are padded to four digits in the table, and only there.
"""

from random import Random
from typing import TYPE_CHECKING, Final

from .aircraft import UPTIME
from .quantities import Fraction, Text, Whole
from .settings import Owner
from .spelling import Names, Values, part, typed_as

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from .aircraft import Aircraft
    from .options import Options
    from .settings import Setting

VALUES: Final = Values(yes="on", no="off", between=":", unset="-")
ALIASES: Final = {"tilt left mid": "tilt left centre"}
"""Second names of cells; each has a row of its own."""
FREE: Final = "free"

_MARKS: Final = {Owner.BUILDER: "w", Owner.MAKER: "", Owner.CALIBRATION: "wc"}
_HEADS: Final = ("name", "value", "unit", "least", "most", "marks")
_WIDTHS: Final = (30, 42, 6, 10, 10, 5)
_US_DIGITS: Final = 4


def fit(settings: "tuple[Setting, ...]") -> "tuple[Setting, ...]":
    """The settings of a turnstone board."""
    return typed_as("turnstone", settings)


def names(aircraft: "Aircraft") -> Names:
    """The names of all settings; a pad's job is named after its pad: `p3`."""
    return Names(aircraft.settings.values(), _spelled)


def pads(aircraft: "Aircraft") -> dict[str, str]:
    """The settings that hold a pad's job, by pad."""
    return {_spelled(name): name for name in aircraft.settings if _is_job(name)}


def listed(setting: "Setting", value: str) -> str:
    """A value as the table (or, for a job, the list of pads) shows it."""
    if _is_job(setting.name):
        return FREE if value == "nothing" else value
    if isinstance(setting.kind, Whole) and part(setting.name).unit == "us":
        return _padded(value)
    return VALUES.spell(setting.kind, value)


def shown(aircraft: "Aircraft", _options: "Options") -> dict[str, str]:
    """All live settings as listed, second names left out."""
    return _all_listed(aircraft, aircraft.live)


def kept_shown(aircraft: "Aircraft", _options: "Options") -> dict[str, str]:
    """The same for the values after a restart."""
    return _all_listed(aircraft, aircraft.after_restart())


def row_count(aircraft: "Aircraft") -> int:
    """Rows of the table, second names included."""
    return len(aircraft.settings) - len(pads(aircraft)) + len(ALIASES)


def table(aircraft: "Aircraft", *, order: int, now_us: int) -> list[str]:
    """The table's lines. Groups and rows stand as `order` shuffles them."""
    groups: dict[str, list[str]] = {}
    known = names(aircraft)
    values = {setting.name: value for setting, value in aircraft.listing(now_us)}
    rows = {n: c for n, c in known.canonical.items() if not _is_job(c)}
    rows |= {alias: known.canonical[name] for alias, name in ALIASES.items()}
    for name, canonical in rows.items():
        row = _row(name, aircraft.settings[canonical], values[canonical])
        groups.setdefault(canonical.partition(".")[0], []).append(row)
    lines = [_line(_HEADS), " ".join("-" * width for width in _WIDTHS)]
    for group in _shuffled(groups, order):
        lines += [f"== {group} ==", *_shuffled(groups[group], order)]
    return [*lines, f"{len(rows)} rows"]


def _is_job(name: str) -> bool:
    return name.startswith("output.") and name.endswith(".job")


def _spelled(name: str) -> str:
    if _is_job(name):
        return name.split(".")[1]
    parted = part(name)
    return f"{parted.path}.{parted.stem}".replace(".", " ").replace("_", " ")


def _all_listed(aircraft: "Aircraft", values: "Mapping[str, str]") -> dict[str, str]:
    known = names(aircraft)
    return {
        known.of[name]: listed(setting, values[name])
        for name, setting in aircraft.settings.items()
    }


def _row(name: str, setting: "Setting", value: str) -> str:
    least = most = ""
    if isinstance(setting.kind, Whole | Fraction) and setting.name != UPTIME:
        least, most = str(setting.kind.low), str(setting.kind.high)
        if part(setting.name).unit == "us":
            least, most = _padded(least), _padded(most)
    cell = listed(setting, value)
    if isinstance(setting.kind, Whole | Fraction):
        cell = cell.rjust(_WIDTHS[1])
    unit = "" if isinstance(setting.kind, Text) else part(setting.name).unit
    ends = (least.rjust(_WIDTHS[3]), most.rjust(_WIDTHS[4]))
    return _line((name, cell, unit, *ends, _MARKS[setting.owner]))


def _padded(value: str) -> str:
    sign = "-" if value.startswith("-") else ""
    return sign + value.removeprefix("-").zfill(_US_DIGITS)


def _line(cells: "tuple[str, ...]") -> str:
    return " ".join(c.ljust(w) for c, w in zip(cells, _WIDTHS, strict=True))


def _shuffled(items: "Iterable[str]", order: int) -> list[str]:
    shuffled = list(items)
    Random(order).shuffle(shuffled)
    return shuffled
