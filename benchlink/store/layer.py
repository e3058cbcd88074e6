"""One profile file: what it says by itself, before it is built on others.

benchlink-profile: 1        the version of this format, always the first key
title: Lapwing baseline
layer: baseline             baseline, kit or fitted: who owns the values below
aircraft-type: twin-motor tilt-rotor
fits: {boards: [wader], firmware: ["1.4*"]}     patterns with `*` and `?`
uses: [other.yaml]          built on; beside this file, else a shipped name
belongs-to-aircraft: ["tilt.*.centre_us"]       patterns of names that a
belongs-to-board: ["accel.*"]                   baseline leaves alone
settings:
  tilt.left.rate_hz: 50
  pack.warn_v: {value: 14.4, reason: ..., tolerance: 0.05, group: pack}
waivers:
  log.rate_hz: why this difference is accepted
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final

from benchlink.core.document import (
    Entry,
    Items,
    Node,
    Problems,
    Scalar,
    Table,
    TableReader,
    kind_of,
)
from benchlink.core.intent import (
    NO_TOLERANCE,
    Fits,
    Owner,
    Waiver,
    Wanted,
    matches_any,
)
from benchlink.core.values import decimal_or_none
from benchlink.errors import Place

VERSION_KEY: Final = "benchlink-profile"
VERSION: Final = "1"

LAYERS: Final = {
    "baseline": Owner.BASELINE,
    "kit": Owner.KIT,
    "fitted": Owner.FITTED,
}
"""Words for `layer:`, the least specific first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One profile file as written."""

    title: str
    owner: Owner
    place: Place
    aircraft_type: str = ""
    fits: Fits = field(default_factory=Fits)
    uses: tuple[Scalar, ...] = ()
    fitted_names: tuple[str, ...] = ()
    board_names: tuple[str, ...] = ()
    wanted: Mapping[str, Wanted] = field(default_factory=dict)
    waivers: Mapping[str, Waiver] = field(default_factory=dict)


def read_layer(root: Node, problems: Problems) -> Layer | None:
    """Check one profile file; every mistake goes to `problems`.

    None when the file is no profile of this version: nothing else in it can be judged.
    """
    if not _right_version(root, problems):
        return None
    reader = TableReader(root, problems, "a profile")
    reader.take(VERSION_KEY)
    title = reader.need_text("title")
    owner = _owner(reader)
    layer = Layer(
        title=title,
        owner=owner,
        place=root.place,
        aircraft_type=reader.text("aircraft-type"),
        fits=_fits(reader),
        uses=reader.texts("uses"),
        fitted_names=_patterns(reader, "belongs-to-aircraft"),
        board_names=_patterns(reader, "belongs-to-board"),
        wanted=_settings(reader, owner),
        waivers=_waivers(reader),
    )
    reader.finish()
    _leave_others_alone(layer, problems)
    return layer


def _right_version(root: Node, problems: Problems) -> bool:
    if not isinstance(root, Table) or not root.entries:
        problems.add(root.place, f"a profile is a table of keys, not {kind_of(root)}")
        return False
    first = root.entries[0]
    if first.key.text != VERSION_KEY:
        problems.add(first.key.place, f"a profile begins with `{VERSION_KEY}: 1`")
        return False
    if not isinstance(first.value, Scalar) or first.value.text != VERSION:
        problems.add(
            first.value.place,
            f"this benchlink reads profiles of version {VERSION}, "
            f"not {kind_of(first.value)}",
        )
        return False
    return True


def _owner(reader: TableReader) -> Owner:
    node = reader.need("layer")
    if node is None:
        return Owner.UNMANAGED
    text = node.text if isinstance(node, Scalar) else ""
    if text not in LAYERS:
        allowed = ", ".join(LAYERS)
        reader.problems.add(
            node.place, f"`layer:` must be one of {allowed}, not {kind_of(node)}"
        )
    return LAYERS.get(text, Owner.UNMANAGED)


def _fits(reader: TableReader) -> Fits:
    table = reader.table("fits", "`fits:`")
    if table is None:
        return Fits()
    fits = Fits(
        board_types=_patterns(table, "boards"), firmware=_patterns(table, "firmware")
    )
    table.finish()
    return fits


def _patterns(reader: TableReader, key: str) -> tuple[str, ...]:
    scalars = reader.texts(key)
    for scalar in scalars:
        if not scalar.text:
            reader.problems.add(scalar.place, f"an empty pattern in `{key}:`")
        elif "[" in scalar.text:
            reader.problems.add(
                scalar.place, f"{scalar.text!r}: patterns know only `*` and `?`"
            )
    return tuple(scalar.text for scalar in scalars)


def _settings(reader: TableReader, owner: Owner) -> dict[str, Wanted]:
    table = reader.table("settings", "`settings:`")
    if table is None:
        return {}
    wanted: dict[str, Wanted] = {}
    for entry in table.entries():
        name = _name(entry, table.problems)
        found = _wanted(entry, owner, table.problems)
        if name and found is not None:
            wanted[name] = found
    return wanted


def _name(entry: Entry, problems: Problems) -> str:
    name = entry.key.text
    if name and name.isprintable() and name == name.strip():
        return name
    problems.add(
        entry.key.place,
        f"{name!r} cannot name a setting: only visible characters, "
        "no blanks at the ends",
    )
    return ""


def _wanted(entry: Entry, owner: Owner, problems: Problems) -> Wanted | None:
    name, value = entry.key.text, entry.value
    reason, group, tolerance = "", "", NO_TOLERANCE
    given: Node | None = value
    if isinstance(value, Table):
        table = TableReader(value, problems, f"`{name}:`")
        given = table.need("value")
        reason, group = table.text("reason"), table.text("group")
        tolerance = _tolerance(table)
        table.finish()
    if given is None or not _is_value(given, name, problems):
        return None
    return Wanted(
        name=name,
        given=given,
        owner=owner,
        place=entry.key.place,
        reason=reason,
        group=group,
        tolerance=tolerance,
    )


def _is_value(node: Node, name: str, problems: Problems) -> bool:
    match node:
        case Scalar():
            if node.text or node.quoted:
                return True
            problems.add(node.place, f'`{name}:` has no value (empty text is `""`)')
            return False
        case Items():
            # Every item is looked at, so that every mistake is named.
            good = [_is_value(item, name, problems) for item in node.items]
            return all(good)
        case Table():
            problems.add(node.place, f"`{name}:` must be one value or a list of them")
            return False


def _tolerance(table: TableReader) -> Decimal:
    node = table.take("tolerance")
    if node is None:
        return NO_TOLERANCE
    number = decimal_or_none(node.text) if isinstance(node, Scalar) else None
    if number is None or number < 0:
        table.problems.add(
            node.place,
            f"`tolerance:` must be a number of 0 or more, not {kind_of(node)}",
        )
        return NO_TOLERANCE
    return number


def _waivers(reader: TableReader) -> dict[str, Waiver]:
    table = reader.table("waivers", "`waivers:`")
    if table is None:
        return {}
    waivers: dict[str, Waiver] = {}
    for entry in table.entries():
        name, value = _name(entry, table.problems), entry.value
        if not isinstance(value, Scalar) or not value.text.strip():
            table.problems.add(
                value.place, f"the waiver of `{entry.key.text}` needs a reason as text"
            )
        elif name:
            waivers[name] = Waiver(name=name, reason=value.text, place=entry.key.place)
    return waivers


def _leave_others_alone(layer: Layer, problems: Problems) -> None:
    if layer.owner is not Owner.BASELINE:
        return
    for wanted in layer.wanted.values():
        for whose, patterns in (
            ("the single aircraft", layer.fitted_names),
            ("the circuit board", layer.board_names),
        ):
            if matches_any(patterns, wanted.name):
                problems.add(
                    wanted.place,
                    f"`{wanted.name}` belongs to {whose}: a baseline leaves it alone",
                )
