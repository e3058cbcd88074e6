"""Orders about faults, for `control`."""

from typing import TYPE_CHECKING, Final

from .fault import FaultError
from .fault_text import read_faults, spell_fault

if TYPE_CHECKING:
    from collections.abc import Callable

    from .bench import Bench


def _bytes(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    device = bench.device
    return {"received": device.received, "sent": device.sent}


def _faults(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    faults = bench.device.faults
    return {
        "active": [spell_fault(fault) for fault in faults.active],
        "tally": {name: list(counts) for name, counts in faults.tally().items()},
    }


def _fault(bench: "Bench", rest: str, now_us: int) -> dict[str, object]:
    asked = read_faults(rest)
    if not asked:
        msg = "say it as: fault NAME KEY=VALUE ...; more behind a semicolon"
        raise FaultError(msg)
    for fault in asked:
        bench.device.faults.add(fault, now_us)
    return _faults(bench, "", now_us)


def _heal(bench: "Bench", _rest: str, now_us: int) -> dict[str, object]:
    bench.device.faults.heal()
    return _faults(bench, "", now_us)


FAULT_ORDERS: "Final[dict[str, Callable[[Bench, str, int], dict[str, object]]]]" = {
    "bytes": _bytes,
    "faults": _faults,
    "fault": _fault,
    "heal": _heal,
}
