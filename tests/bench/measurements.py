"""All measurements by the name under which they are asked for."""

from collections.abc import Callable, Mapping
from typing import Final

from tests.bench import (
    backup_rows,
    centring_rows,
    compare_rows,
    console_rows,
    fault_damage_rows,
    fault_real_rows,
    fault_rows,
    fault_soak_rows,
    fuzz_rows,
    help_rows,
    key_rows,
    motion_rows,
    paint_rows,
    parse_rows,
    round_trip_rows,
    screen_rows,
    station_rows,
    stop_rows,
    writes_rows,
)
from tests.bench.effort import Effort
from tests.bench.rows import Row

Measure = Callable[[Effort], list[Row]]

MEASUREMENTS: Final[Mapping[str, Measure]] = {
    "backup": backup_rows.measure,
    "writes": writes_rows.measure,
    "round-trip": round_trip_rows.measure,
    "help": help_rows.measure,
    "compare": compare_rows.measure,
    "consoles": console_rows.measure,
    "parse": parse_rows.measure,
    "fuzz": fuzz_rows.measure,
    "faults": fault_rows.measure,
    "faults-damage": fault_damage_rows.measure,
    "faults-real": fault_real_rows.measure,
    "soak": fault_soak_rows.measure,
    "stop": stop_rows.measure,
    "paint": paint_rows.measure,
    "screen": screen_rows.measure,
    "key": key_rows.measure,
    "stations": station_rows.measure,
    "centring": centring_rows.measure,
    "motion": motion_rows.measure,
}
