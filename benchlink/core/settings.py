"""What a board holds at one moment: its settings, by name, and their fingerprint."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from hashlib import sha256

from benchlink.core.values import Number, Series, Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One named value as the board listed it."""

    name: str
    value: Value
    raw: str
    """The value exactly as the board wrote it."""
    writable: bool = True
    board_owned: bool = False
    """Sensor calibration and the like: never carried to another board."""
    volatile: bool = False
    """Differs at every look (a clock, a counter): never compared."""
    address: Mapping[str, str] = field(default_factory=dict)
    """What a line that writes it has to name beside its name: thing, key, bank."""
    written_by: Mapping[str, str] = field(default_factory=dict)
    """Verb that writes a value, by the value's spelling; `*` for every other."""
    read_by: str = ""
    """Verb that reads it alone, where it is not the one called `read`."""
    together: str = ""
    """The thing with whose settings it is written."""
    partly: bool = False
    """Whether only those that change are written with it; else all of them are."""
    cell: str = ""
    """How it stands there: a template with its key and value."""
    between: str = " "
    """What stands between two of them in one line."""
    never_kept: bool = False
    """The board forgets it at every restart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """All settings of one listing, and every line that could not be understood."""

    settings: Mapping[str, Setting]
    not_understood: tuple[str, ...] = ()
    verbatim: bytes = field(default=b"", repr=False)
    """The listing byte for byte, as it came over the wire."""
    damage: float = field(default=0.0, compare=False)
    """Share of its settings that the wire damaged in the readings it was made of."""

    @property
    def complete(self) -> bool:
        """Whether every line of the listing is accounted for."""
        return not self.not_understood

    def fingerprint(self) -> str:
        """SHA-256 in hex over the names and meanings, whatever the order or spelling."""
        digest = sha256()
        for name in sorted(self.settings):
            setting = self.settings[name]
            if not setting.volatile:
                digest.update(f"{name}\0{meaning(setting.value)}\0".encode())
        return digest.hexdigest()


def meaning(value: Value) -> str:
    """One spelling for all values that are equal: `1.50` and `1.5` give the same."""
    match value:
        case Series(parts):
            # Each part with its length: no word can pretend to be two.
            told = map(meaning, parts)
            return "[" + "".join(f"{len(part)}:{part}" for part in told) + "]"
        case Number(number):
            return f"n{_shortest(number)}"
        case _:
            return f"{type(value).__name__}:{value}"


def _shortest(number: Decimal) -> str:
    """All digits that count, however many: `normalize` would round to 28 of them."""
    digits = f"{number:f}"
    if "." in digits:
        digits = digits.rstrip("0").rstrip(".")
    return "0" if digits == "-0" else digits


def moved(before: Snapshot, after: Snapshot) -> tuple[str, ...]:
    """Names whose meaning changed, appeared or went away; volatile cells never count."""
    names = [*before.settings, *(n for n in after.settings if n not in before.settings)]
    return tuple(
        n for n in names if _differs(before.settings.get(n), after.settings.get(n))
    )


def _differs(before: Setting | None, after: Setting | None) -> bool:
    if before is None or after is None:
        present = before or after
        return present is not None and not present.volatile
    return not after.volatile and before.value != after.value
