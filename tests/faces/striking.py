"""`benchlink spin` struck in the middle of a burst, and how long the motor then ran."""

import signal
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

from tests.faces.running import WITHIN_S, Aircraft, Workshop
from tests.faces.spinning import KEY, Bench, proofs, spinning

BURST_S: Final = 0.5
"""For how long a press orders the board to run a motor: its own end."""
LATER_S: Final = 0.05
"""How much later the motor may stand still: it has to run down."""
US: Final = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Struck:
    """One burst that was struck."""

    ran_s: float
    """From its first turn until it stood still, by the aircraft's own time."""
    struck_in_time: bool
    """Whether it was still running when whatever was struck was down."""
    span_with_props: bool

    @property
    def right(self) -> bool:
        return self.ran_s <= BURST_S + LATER_S and not self.span_with_props


def _signal(number: signal.Signals) -> Callable[[Bench], None]:
    def strike(bench: Bench) -> None:
        bench.process.send_signal(number)

    return strike


def _close_terminal(bench: Bench) -> None:
    bench.close()


def _unplug(bench: Bench) -> None:
    bench.craft.order("unplug")


BLOWS: Final[Mapping[str, Callable[[Bench], None]]] = {
    "kill -9": _signal(signal.SIGKILL),
    "SIGHUP": _signal(signal.SIGHUP),
    "SIGTERM": _signal(signal.SIGTERM),
    "closed terminal": _close_terminal,
    "frozen": _signal(signal.SIGSTOP),
    "unplug": _unplug,
}


def struck(
    workshop: Workshop, craft: Aircraft, blow: str, orders: tuple[str, ...] = ()
) -> Struck:
    """One burst of the left motor, struck as soon as it turns; `orders` just before."""
    craft.order("connect pack")
    with spinning(workshop, craft, "left", "--hand", "outboard-down") as bench:
        bench.play(proofs())
        bench.await_words(KEY)
        for order in orders:
            craft.order(order)
        before = _began_us(craft)
        bench.type(" ")
        until = time.monotonic() + WITHIN_S
        while _began_us(craft) == before:
            assert time.monotonic() < until, "the motor never turned"
        BLOWS[blow](bench)
        in_time = _stood_us(craft) is None
        while (stood_us := _stood_us(craft)) is None:
            assert time.monotonic() < until, "the motor never stood still"
        began_us = _began_us(craft)
        assert began_us is not None
        with suppress(ProcessLookupError):
            bench.process.kill()
    craft.order("replug")
    return Struck(
        ran_s=(stood_us - began_us) / US,
        struck_in_time=in_time,
        span_with_props=craft.order("props")["ever-span-with-props"] is not False,
    )


def _run(craft: Aircraft) -> dict[str, int | None]:
    run = craft.order("runs")["left"]
    assert isinstance(run, dict)
    return run


def _began_us(craft: Aircraft) -> int | None:
    return _run(craft)["began_us"]


def _stood_us(craft: Aircraft) -> int | None:
    return _run(craft)["stood_us"]
