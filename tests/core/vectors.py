"""Worked figures of the trade, each computed twice: by its formula and by hand."""

import json
from pathlib import Path

_ALL: dict[str, list[float]] = json.loads(
    Path(__file__).with_name("vectors.json").read_text(encoding="utf-8")
)


def vector(name: str) -> list[float]:
    """The figures under a name, angles in deg and pulses in us."""
    return _ALL[name]
