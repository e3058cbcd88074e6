"""What was learned of a servo, from a record's text back to a fit, digit by digit."""

from typing import Final

from benchlink.core.belief import Belief
from benchlink.core.document import Items, Node, Problems, TableReader
from benchlink.core.servo_fit import Reading, ServoFit
from benchlink.core.servo_part import UNKNOWN_SERVO, ServoPart
from benchlink.store.bench_record_text import PULSES, TURNS
from benchlink.store.record_fields import angle, numbers, pulse, real, word

UNKNOWNS: Final = 4
"""Angle, slope, bend and play."""

_NOTHING: Final = Belief.independent((0.0, 1.0, 0.0, 0.0), (0.0,) * UNKNOWNS)


def fit_of(reader: TableReader) -> ServoFit | None:
    """The fit, where one stands there."""
    table = reader.table("fit", "`fit:`")
    if table is None:
        return None
    fit = ServoFit(
        part=_part(table),
        reader_sd_deg=real(table, "reader_sd_deg"),
        log_odds=real(table, "log_odds"),
        ways=(_belief(table, "forward"), _belief(table, "aft")),
        readings=tuple(map(_reading, table.tables("readings", "a reading"))),
    )
    table.finish()
    return fit


def reading_of(table: TableReader) -> Reading:
    """The pulse, how it was reached, and what the jig showed."""
    return Reading(
        pulse_us=pulse(table, "pulse_us"),
        rising=word(table, "pulse", PULSES),
        angle_deg=angle(table, "deg"),
    )


def _reading(table: TableReader) -> Reading:
    reading = reading_of(table)
    table.finish()
    return reading


def _part(reader: TableReader) -> ServoPart:
    node = reader.need("part")
    if node is None:
        return UNKNOWN_SERVO
    table = TableReader(node, reader.problems, "`part:`")
    part = ServoPart(
        neutral_us=pulse(table, "neutral_us"),
        shortest_us=pulse(table, "shortest_us"),
        longest_us=pulse(table, "longest_us"),
        us_per_deg=real(table, "us_per_deg"),
        slope_share=real(table, "slope_share"),
        bend_deg=real(table, "bend_deg"),
        dead_band_us=real(table, "dead_band_us"),
        play_deg=real(table, "play_deg"),
        play_spread_deg=real(table, "play_spread_deg"),
        teeth=table.whole("teeth", 1, least=1),
        arms=table.whole("arms", 1, least=1),
        s_per_60_deg=real(table, "s_per_60_deg"),
        turns=word(table, "turns", TURNS),
    )
    table.finish()
    return part


def _belief(reader: TableReader, key: str) -> Belief:
    node = reader.need(key)
    if node is None:
        return _NOTHING
    table = TableReader(node, reader.problems, f"`{key}:`")
    mean = numbers(table.need("mean"), "mean", UNKNOWNS, reader.problems)
    covariance = _rows(table.need("covariance"), reader.problems)
    table.finish()
    if mean[1] == 0:
        reader.problems.add(table.place, f"`{key}:` has no slope: the arm never tilts")
    if any(row[place] < 0 for place, row in enumerate(covariance)):
        reader.problems.add(table.place, f"`{key}:` has a variance below 0")
    return Belief(mean=mean, covariance=covariance)


def _rows(node: Node | None, problems: Problems) -> tuple[tuple[float, ...], ...]:
    if isinstance(node, Items) and len(node.items) == UNKNOWNS:
        rows = node.items
        return tuple(numbers(row, "covariance", UNKNOWNS, problems) for row in rows)
    if node is not None:
        problems.add(node.place, f"`covariance:` must be a list of {UNKNOWNS} lists")
    return _NOTHING.covariance
