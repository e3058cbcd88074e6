"""Reading which setting has which role, its unit, its steps and its words."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Final

from benchlink.console.dial import PULSE_UNITS
from benchlink.console.role_setting import Roles, RoleSetting
from benchlink.core.document import Entry, Scalar, TableReader, kind_of, nearest
from benchlink.core.roles import Direction, Ends, Measure, Role
from benchlink.core.values import Unset, Value, Word, as_kind_of, decimal_or_none

ROLES: Final = {role.value: role for role in Role}
ENDS: Final = {ends.value: ends for ends in Ends}
UNITS: Final[Mapping[Measure, Mapping[str, Decimal]]] = {
    Measure.PULSE: PULSE_UNITS,
    Measure.END: PULSE_UNITS,
    Measure.ANGLE: {"deg": Decimal(1)},
    Measure.RATE: {"Hz": Decimal(1)},
}
"""The units of what is counted."""


def roles_of(reader: TableReader, aliases: Mapping[str, str]) -> Roles:
    """All roles; none where the file has no `roles:`."""
    table = reader.table("roles", "`roles:`")
    if table is None:
        return Roles()
    has_ends = table.has("ends")
    ends = table.choice("ends", ENDS, Ends.FROM_CENTRE)
    found: dict[Role, RoleSetting] = {}
    for entry in table.entries():
        role = _role(table, entry)
        held = _held(table, entry, role) if role else None
        if role is None or held is None:
            continue
        _check_setting(table, entry, held.setting, aliases)
        for other, known in found.items():
            if known.setting == held.setting:
                table.problems.add(
                    entry.value.place,
                    f"{held.setting!r} cannot be the {role.words} as well: it is the"
                    f" {other.words}",
                )
        found[role] = held
    counted = [role for role in found if role.measure is Measure.END]
    if counted and not has_ends:
        table.problems.add(
            table.place,
            f"`{counted[0].value}:` needs `ends:`, how the ends are counted:"
            f" {', '.join(ENDS)}",
        )
    return Roles(settings=found, ends=ends)


def _role(table: TableReader, entry: Entry) -> Role | None:
    word = entry.key.text
    role = ROLES.get(word)
    if role is None:
        near = nearest(word, ROLES)
        meant = f"; write `{near}:`" if near else ""
        table.problems.add(
            entry.key.place,
            f"there is no role {word!r}{meant} (there are {', '.join(ROLES)})",
        )
    return role


def _held(table: TableReader, entry: Entry, role: Role) -> RoleSetting | None:
    if isinstance(entry.value, Scalar):
        if not entry.value.text:
            table.problems.add(entry.value.place, f"`{role.value}:` names no setting")
            return None
        return RoleSetting(setting=entry.value.text, directions=_words_of(role))
    row = TableReader(entry.value, table.problems, f"the role {role.value}")
    setting = row.need_text("setting")
    held = (
        RoleSetting(
            setting=setting,
            unit=row.choice("unit", UNITS[role.measure], Decimal(1)),
            scale=_above_zero(row, "scale"),
            step=_above_zero(row, "step"),
        )
        if role.measure in UNITS
        else RoleSetting(setting=setting, directions=_words_of(role, row))
    )
    row.finish()
    return held if setting else None


def _words_of(role: Role, row: TableReader | None = None) -> dict[Direction, Value]:
    """What stands for each direction: our own words where nobody says."""
    if role.measure is not Measure.DIRECTION:
        return {}
    words: dict[Direction, Value] = {d: Word(d.value) for d in Direction}
    for direction in Direction:
        node = row.take(direction.value) if row else None
        if isinstance(node, Scalar):
            words[direction] = as_kind_of(Unset(), node)
        elif row and node is not None:
            row.problems.add(
                node.place, f"`{direction.value}:` is one word, not {kind_of(node)}"
            )
    if row and words[Direction.NORMAL] == words[Direction.REVERSED]:
        row.problems.add(row.place, f"{row.what} has one word for both directions")
    return words


def _above_zero(row: TableReader, key: str) -> Decimal:
    node = row.take(key)
    if node is None:
        return Decimal(1)
    number = decimal_or_none(node.text) if isinstance(node, Scalar) else None
    if number is None or number <= 0:
        row.problems.add(node.place, f"`{key}:` must be a number above 0")
        return Decimal(1)
    return number


def _check_setting(
    table: TableReader, entry: Entry, setting: str, aliases: Mapping[str, str]
) -> None:
    if setting in aliases:
        table.problems.add(
            entry.value.place,
            f"{setting!r} is a second name; write {aliases[setting]!r}",
        )
