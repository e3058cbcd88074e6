"""What dunlin lists: a tree of headings, option flags, banks, and a note.

A board of this kind has three banks of flight gains. Bank 1 are the fleet's own
`steady.*` settings, banks 2 and 3 are copies (`bank2.steady.roll.gain`). It also has
a note of several lines, `craft.note`. Each listed name is a path: `tilt/left/centre`,
`options/steady-on`, `bank 2/steady/roll/gain`, `note`.
"""

import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from .quantities import RefusalError, Taken
from .settings import Owner, Setting
from .spelling import Names, Values, part, typed_as

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from .aircraft import Aircraft
    from .options import Options

VALUES: Final = Values(
    yes="true", no="false", between=" ", hyphen="_", opens="|", closes="|"
)
BANKS: Final = (1, 2, 3)
NOTE: Final = "craft.note"
NOTE_MOST_LINES: Final = 6
NOTE_LONGEST: Final = 60
"""Characters in a line of the note."""
FLAGS: Final = frozenset(
    {
        "steady.on",
        "level.self_levelling",
        "mount.upside_down",
        "filter.notch.on",
        "tilt.left.hold_on_halt",
        "tilt.right.hold_on_halt",
        "log.on",
    }
)
"""Switches that are listed as options."""

_WORN: Final = {"yes": "+", "no": "-"}
_BANKED: Final = "steady."


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Text of several lines; its canonical form is a JSON string."""

    def take(self, given: str) -> Taken:
        """Read a note."""
        lines = note_lines(given)
        if len(lines) > NOTE_MOST_LINES:
            msg = f"a note of {len(lines)} lines is longer than {NOTE_MOST_LINES}"
            raise RefusalError(msg)
        if any(len(line) > NOTE_LONGEST for line in lines):
            msg = f"a line of the note is longer than {NOTE_LONGEST}"
            raise RefusalError(msg)
        return Taken(text=note_value(lines))


def note_value(lines: "Iterable[str]") -> str:
    """The canonical form of a note."""
    return json.dumps("\n".join(lines))


def note_lines(value: str) -> list[str]:
    """The lines of a note in canonical form. Raises `RefusalError`."""
    try:
        note: object = json.loads(value)
    except ValueError:
        note = None
    if not isinstance(note, str):
        msg = "a note stands in double quotes"
        raise RefusalError(msg)
    return note.split("\n") if note else []


def fit(settings: "tuple[Setting, ...]") -> "tuple[Setting, ...]":
    """The settings of a dunlin board: with the further banks and the note."""
    banked = [s for s in settings if bank_of(s.name) is not None]
    copies = (
        replace(s, name=f"bank{bank}.{s.name}") for bank in BANKS[1:] for s in banked
    )
    note = Setting(name=NOTE, kind=Note(), factory=note_value(()))
    return (*typed_as("dunlin", settings), *copies, note)


def bank_of(name: str) -> int | None:
    """The bank that a canonical name belongs to."""
    if name.startswith("bank"):
        return int(name.removeprefix("bank").partition(".")[0])
    return BANKS[0] if name.startswith(_BANKED) and name not in FLAGS else None


def names(aircraft: "Aircraft") -> Names:
    """The names of all settings."""
    return Names(aircraft.settings.values(), _spelled)


def common(aircraft: "Aircraft") -> list[str]:
    """Canonical names of what is kept as soon as it is written."""
    return [
        s.name
        for s in aircraft.settings.values()
        if bank_of(s.name) is None and s.name != NOTE and s.owner is not Owner.MAKER
    ]


def listed(setting: Setting, value: str) -> str:
    """A value as it is listed; the lines of a note are parted by LF."""
    if setting.name == NOTE:
        return "\n".join(note_lines(value))
    if setting.name in FLAGS:
        return _WORN[value]
    return VALUES.spell(setting.kind, value)


def shown(aircraft: "Aircraft", _options: "Options") -> dict[str, str]:
    """All live settings as listed, every bank's."""
    return _all_listed(aircraft, aircraft.live)


def kept_shown(aircraft: "Aircraft", _options: "Options") -> dict[str, str]:
    """The same for the values after a restart."""
    return _all_listed(aircraft, aircraft.after_restart())


def sheet(aircraft: "Aircraft", *, bank: int, defaults: bool, now_us: int) -> list[str]:
    """The listing's lines: common settings, options, note, one bank."""
    plain: list[tuple[str, str]] = []
    gains: list[tuple[str, str]] = []
    flags: list[str] = []
    for setting, value in aircraft.listing(now_us):
        cell = listed(setting, value)
        if setting.name in FLAGS:
            flags.append(cell + flag(setting.name))
            continue
        if defaults and setting.name != NOTE:
            cell += f" (made {listed(setting, setting.factory)})"
        if bank_of(setting.name) == bank:
            gains.append((_in_bank(setting.name), cell))
        elif bank_of(setting.name) is None and setting.name != NOTE:
            plain.append((_spelled(setting.name), cell))
    return [
        *_tree(plain),
        f"options: {' '.join(flags)}",
        *note_block(aircraft),
        f"bank {bank} of {len(BANKS)}",
        *_tree(gains),
    ]


def note_block(aircraft: "Aircraft") -> list[str]:
    """The note as it is listed."""
    return ["note <<", *note_lines(aircraft.live[NOTE]), ">>"]


def flag(name: str) -> str:
    """The word of an option."""
    return name.replace(".", "-").replace("_", "-")


def _in_bank(name: str) -> str:
    parted = part(name)
    path = f"{parted.path}.{parted.stem}".replace(".", "/").replace("_", "-")
    return path if name.startswith(_BANKED) else path.partition("/")[2]


def _spelled(name: str) -> str:
    if name == NOTE:
        return "note"
    if name in FLAGS:
        return f"options/{flag(name)}"
    bank = bank_of(name)
    if bank is not None:
        return f"bank {bank}/{_in_bank(name)}"
    parted = part(name)
    return f"{parted.path}.{parted.stem}".replace(".", "/").replace("_", "-")


def _all_listed(aircraft: "Aircraft", values: "Mapping[str, str]") -> dict[str, str]:
    known = names(aircraft)
    return {
        known.of[name]: listed(setting, values[name])
        for name, setting in aircraft.settings.items()
    }


def _tree(cells: "Iterable[tuple[str, str]]") -> list[str]:
    lines: list[str] = []
    open_heads: list[str] = []
    for path, cell in cells:
        *heads, last = path.split("/")
        same = 0
        while (
            same < min(len(heads), len(open_heads)) and heads[same] == open_heads[same]
        ):
            same += 1
        lines += [f"{'  ' * n}{heads[n]}:" for n in range(same, len(heads))]
        lines.append(f"{'  ' * len(heads)}{last} {cell}")
        open_heads = heads
    return lines
