"""A simulated aircraft as a process of its own, and what its side of the wire counted."""

import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Self, final

from tests.bench.effort import MeasureError

CHECKOUT: Final = Path(__file__).resolve().parents[2]
BAUD: Final = 115_200
BITS_A_BYTE: Final = 10
LONGEST_END_S: Final = 5.0


def wire_s(count: int) -> float:
    """What the wire needs for so many bytes one way."""
    return count * BITS_A_BYTE / BAUD


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Bytes that the aircraft saw since the last reset."""

    received: int
    sent: int
    dropped: int

    def __sub__(self, earlier: "Counted") -> "Counted":
        return Counted(
            received=self.received - earlier.received,
            sent=self.sent - earlier.sent,
            dropped=self.dropped - earlier.dropped,
        )

    @property
    def busiest_s(self) -> float:
        """Wire time of the direction that carried more: nothing can be faster."""
        return wire_s(max(self.received, self.sent))


@final
class Aircraft:
    """Runs from `with` to its end; orders go in by its standard input."""

    def __init__(self, *flags: str, **options: int | str) -> None:
        named = [(f"--{key.replace('_', '-')}", str(v)) for key, v in options.items()]
        self._process: Final = subprocess.Popen(
            [sys.executable, "-m", "mocks", "--until-eof", *flags, *sum(named, ())],
            cwd=CHECKOUT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.port: Final = self._line()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe:
                pipe.close()
        try:
            self._process.wait(LONGEST_END_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()

    def reset(self) -> None:
        """Count anew."""
        self.order("reset-counters")

    def counted(self) -> Counted:
        """Since the last reset."""
        told = self.order("counters")
        return Counted(
            received=_whole(told, "received"),
            sent=_whole(told, "sent"),
            dropped=_whole(told, "dropped"),
        )

    def order(self, order: str) -> dict[str, object]:
        """Tell it something, as a hand at the bench would, and give its answer."""
        if self._process.stdin:
            self._process.stdin.write(f"{order}\n")
            self._process.stdin.flush()
        told: object = json.loads(self._line())
        if not isinstance(told, dict):
            msg = f"the simulated aircraft said {told!r} to {order!r}"
            raise MeasureError(msg)
        return told

    def _line(self) -> str:
        line = self._process.stdout.readline().strip() if self._process.stdout else ""
        if not line:
            msg = "the simulated aircraft ended by itself"
            raise MeasureError(msg)
        return line


def _whole(told: dict[str, object], name: str) -> int:
    value = told.get(name)
    if not isinstance(value, int):
        msg = f"the simulated aircraft counted {value!r} as {name}"
        raise MeasureError(msg)
    return value
