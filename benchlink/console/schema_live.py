"""Reading the verbs that move outputs: their lines, units and limits."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Final

from benchlink.console.description import Live, LiveVerb
from benchlink.console.dial import (
    MOST_PLACES,
    POWER_UNITS,
    PULSE_UNITS,
    TIME_UNITS,
    Dial,
)
from benchlink.console.schema_verbs import verb_of
from benchlink.core.document import Scalar, TableReader, kind_of, nearest
from benchlink.core.exchange import AnswerForm
from benchlink.core.jobs import MOTORS, Job
from benchlink.core.plan import Moves
from benchlink.core.values import decimal_or_none
from benchlink.units import PULSE_MAX, PULSE_MIN, Seconds

NEEDED: Final[Mapping[str, frozenset[str]]] = {
    "drive": frozenset({"output", "pulse"}),
    "release": frozenset({"output"}),
    "spin": frozenset({"motor", "percent"}),
}
"""The verbs, and the fields that the lines of each must have."""
TIMED: Final = frozenset({"drive", "spin"})
"""Verbs whose lines may have `{time}`."""
UNITS: Final[Mapping[str, Mapping[str, Decimal]]] = {
    "pulse": PULSE_UNITS,
    "percent": POWER_UNITS,
    "time": TIME_UNITS,
}
"""The fields that are counted, and the units of each."""
MS: Final = 1000


def live_of(reader: TableReader, base: AnswerForm, *, stops: bool) -> Live:
    """All live verbs; none where the file has no `live:`."""
    table = reader.table("live", "live")
    if table is None:
        return Live()
    outputs = _named(table, "outputs", tuple(Job))
    motors = _named(table, "motors", MOTORS)
    verbs: dict[str, LiveVerb] = {}
    for name in NEEDED:
        row = table.table(name, f"live verb {name}")
        if row is None:
            continue
        verbs[name] = _verb_of(name, row, base)
        where = "motors" if name == "spin" else "outputs"
        if not (motors if name == "spin" else outputs):
            table.problems.add(row.place, f"live verb {name} needs `{where}:`")
    table.finish()
    if not stops:
        table.problems.add(
            table.place,
            "`live:` needs `stop:` under `verbs:`: whatever moves must stop",
        )
    # A servo goes limp when it is let go of; an ESC without a pulse stops.
    drives = _worst(outputs.values())
    moves = {"drive": drives, "release": Moves.SERVO, "spin": Moves.MOTOR}
    return Live(
        verbs={
            name: replace(live, verb=replace(live.verb, moves=moves[name]))
            for name, live in verbs.items()
        },
        outputs=outputs,
        motors=motors,
    )


def _worst(jobs: Iterable[Job]) -> Moves:
    found = {job.moves for job in jobs}
    return Moves.MOTOR if Moves.MOTOR in found else Moves.SERVO


def _verb_of(name: str, row: TableReader, base: AnswerForm) -> LiveVerb:
    if row.has("moves"):
        row.problems.add(
            row.place, f"{row.what} needs no `moves:`: what it drives tells it"
        )
    tables = {field: row.table(field, f"`{field}:` of {row.what}") for field in UNITS}
    expires = row.number("expires-ms", 0.0 + MS) if row.has("expires-ms") else None
    timed = frozenset({"time"}) if name in TIMED else frozenset()
    verb = verb_of(row, base, NEEDED[name] | timed, alone=False)
    fields = {field for step in verb.steps for field in step.line.fields}
    for field in sorted(NEEDED[name] - fields) if verb.steps else ():
        row.problems.add(row.place, f"{row.what} needs {{{field}}} in its line")
    dials: dict[str, Dial] = {}
    for field, table in tables.items():
        dial = _dial(row, table, field, told=field in fields)
        if dial is not None:
            dials[field] = dial
    if "time" in fields and expires is not None:
        row.problems.add(
            row.place, f"{row.what} has `expires-ms:` or {{time}} in its line, not both"
        )
    return LiveVerb(
        verb=verb, dials=dials, expires=Seconds(expires / MS) if expires else None
    )


def _dial(
    row: TableReader, table: TableReader | None, field: str, *, told: bool
) -> Dial | None:
    if table is None:
        if told:
            row.problems.add(
                row.place,
                f"{row.what} needs `{field}:`, the unit and the limits of {{{field}}}",
            )
        return None
    if not told:
        row.problems.add(
            table.place, f"{table.what}: there is no {{{field}}} in its line"
        )
    units = UNITS[field]
    if not table.has("unit"):
        table.problems.add(
            table.place, f"{table.what} needs `unit:`: {', '.join(units)}"
        )
    unit = table.choice("unit", units, Decimal(1))
    scale = _decimal(table, "scale", Decimal(1))
    least = _decimal(table, "least", Decimal(0), needed=field == "pulse")
    most = _decimal(table, "most", None, needed=True)
    places = table.whole("places", 0)
    table.finish()
    if scale is None or least is None or most is None:
        return None
    dial = Dial(
        unit=unit,
        scale=scale,
        least=least,
        most=most,
        places=min(places, MOST_PLACES),
        down=field != "pulse",
    )
    _check_limits(table, field, dial)
    return dial


def _decimal(
    table: TableReader, key: str, default: Decimal | None, *, needed: bool = False
) -> Decimal | None:
    """A number of 0 or more, exactly as written; None where it is a mistake."""
    node = table.need(key) if needed else table.take(key)
    if node is None:
        return None if needed else default
    number = decimal_or_none(node.text) if isinstance(node, Scalar) else None
    if number is None or number < 0 or (key == "scale" and not number):
        least = "above 0" if key == "scale" else "of 0 or more"
        table.problems.add(node.place, f"`{key}:` must be a number {least}")
        return None
    return number


def _check_limits(table: TableReader, field: str, dial: Dial) -> None:
    """A slip in unit or scale shows in the limits."""
    least, most = dial.ours(dial.least), dial.ours(dial.most)
    told = ""
    if least > most:
        told = "`least:` is above `most:`"
    elif field == "pulse" and not PULSE_MIN <= least <= most <= PULSE_MAX:
        told = (
            f"these limits are {least:g} to {most:g} us; servos take"
            f" {PULSE_MIN:g} to {PULSE_MAX:g}"
        )
    elif field == "percent" and most > 1:
        told = f"`most:` is {most * 100:g} % of full power"
    if told:
        table.problems.add(table.place, f"{table.what}: {told}")


def _named(table: TableReader, key: str, jobs: tuple[Job, ...]) -> Mapping[str, Job]:
    by_word = {job.value: job for job in jobs}
    rows = table.table(key, f"`{key}:`")
    named: dict[str, Job] = {}
    for entry in rows.entries() if rows else ():
        word = entry.value.text if isinstance(entry.value, Scalar) else ""
        job = by_word.get(word)
        if job is not None:
            named[entry.key.text] = job
            continue
        near = nearest(word, by_word)
        meant = f"; write {near}" if near else ""
        table.problems.add(
            entry.value.place,
            f"`{key}:` says what each drives: {', '.join(by_word)}, not"
            f" {word or kind_of(entry.value)!r}{meant}",
        )
    return named
