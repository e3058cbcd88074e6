"""The other hand on the aircraft: orders on standard input, one JSON line each back.

counters            bytes, drops, commands and times since the last reset
reset-counters      count anew
live                all live values
kept [NAME]         all kept values, or one
shown, kept-shown   the same, as the console names and spells them
put NAME VALUE      change a live value as if somebody else had
outputs live|resting
set NAME NUMBER     change what the board feels: set roll 5; what is metered is pinned
tip AXIS DEGREES    hold the aircraft otherwise: tip roll 5
felt                all that it feels, and the pulses on its outputs
unplug, replug      the cable; replug gives a port with another name
power-cycle         the pack out and in
lamps               how often the lamp has blinked
about               all choices of a made-up console
received            the last lines the board acted on
bytes               how many the board has received and sent since power-up
fault TEXT          let something go wrong: lost byte way=sent at=120
faults              what can go wrong, and how often it did and hit a write
heal                nothing goes wrong any more
quit                end

Those of the person at the bench are in `hands`, those about the power in `leads`, and
those of one who only looks in `onlooker`.
"""

from collections.abc import Callable
from dataclasses import asdict
from typing import TYPE_CHECKING, Final

from .drives import SIDES
from .fault import FaultError
from .fault_orders import FAULT_ORDERS
from .hands import HAND_ORDERS
from .leads import LEAD_ORDERS
from .onlooker import LOOK_ORDERS
from .physical import AXES
from .quantities import RefusalError

if TYPE_CHECKING:
    from .bench import Bench
    from .device import Device

_Order = Callable[["Bench", str, int], dict[str, object]]
_AT_BENCH: Final = {**HAND_ORDERS, **LEAD_ORDERS, **LOOK_ORDERS}


class OrderError(Exception):
    """The order cannot be carried out; says why."""


def obey(bench: "Bench", order: str, now_us: int) -> dict[str, object]:
    """Carry out one order; a bad one answers `error`."""
    name, _, rest = order.strip().partition(" ")
    act = _ORDERS.get(name)
    if act is None:
        return {"error": f"no such order: {name!r}; known are {', '.join(_ORDERS)}"}
    bench.device.settle(now_us)
    try:
        return act(bench, rest.strip(), now_us)
    except (OrderError, RefusalError, FaultError) as problem:
        return {"error": str(problem)}
    finally:
        bench.device.settle(now_us)


def tell_hands(device: "Device", order: str, now_us: int) -> dict[str, object]:
    """Let the person at the bench do something, without a port or a process.

    Raises:
        KeyError: There is no such order.
        RefusalError: It cannot be carried out.
    """
    name, _, rest = order.strip().partition(" ")
    device.settle(now_us)
    told = _AT_BENCH[name](device, rest.strip(), now_us)
    device.settle(now_us)
    return told


def _by_hand(act: "Callable[[Device, str, int], dict[str, object]]") -> "_Order":
    return lambda bench, rest, now_us: act(bench.device, rest, now_us)


def _counters(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    device = bench.device
    return {
        **asdict(bench.counters),
        "dropped": device.dropped,
        "lost_in_boot": device.lost_in_boot,
        "commands": device.console.commands,
    }


def _reset_counters(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    bench.reset_counters()
    return {"counters": "reset"}


def _live(bench: "Bench", _rest: str, now_us: int) -> dict[str, object]:
    listing = bench.device.aircraft.listing(now_us)
    return {setting.name: value for setting, value in listing}


def _kept(bench: "Bench", rest: str, _now_us: int) -> dict[str, object]:
    kept = bench.device.aircraft.kept()
    if not rest:
        return dict(kept)
    if rest not in kept:
        msg = f"nothing is kept under '{rest}'"
        raise OrderError(msg)
    return {rest: kept[rest]}


def _shown(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    return dict(bench.device.shown())


def _kept_shown(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    return dict(bench.device.kept_shown())


def _about(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    about = bench.device.about()
    if about is None:
        msg = "only a made-up console can be asked about: --console generated"
        raise OrderError(msg)
    return about


def _put(bench: "Bench", rest: str, now_us: int) -> dict[str, object]:
    name, _, value = rest.partition(" ")
    aircraft = bench.device.aircraft
    aircraft.put(name, value.strip())
    return {name: aircraft.value(name, now_us)}


def _outputs(bench: "Bench", rest: str, _now_us: int) -> dict[str, object]:
    if rest not in {"live", "resting"}:
        msg = "say it as: outputs live, or outputs resting"
        raise OrderError(msg)
    aircraft = bench.device.aircraft
    aircraft.outputs_live = aircraft.radio_link = rest == "live"
    return {"outputs": rest}


def _set(bench: "Bench", rest: str, _now_us: int) -> dict[str, object]:
    name, _, value = rest.partition(" ")
    physical = bench.device.aircraft.physical
    physical.set(name, value.strip())
    return {name: physical[name]}


def _tip(bench: "Bench", rest: str, now_us: int) -> dict[str, object]:
    if rest.partition(" ")[0] not in AXES:
        msg = "say it as: tip roll 5"
        raise OrderError(msg)
    return _set(bench, rest, now_us)


def _felt(bench: "Bench", _rest: str, now_us: int) -> dict[str, object]:
    aircraft = bench.device.aircraft
    pulses = enumerate(aircraft.pulses_us(now_us), start=1)
    return {
        **aircraft.physical.all(),
        **{f"output-{number}": pulse for number, pulse in pulses},
        **{f"spin-{side}": aircraft.drives.power(side, now_us) for side in SIDES},
    }


def _unplug(bench: "Bench", _rest: str, now_us: int) -> dict[str, object]:
    bench.unplug(now_us)
    bench.device.aircraft.airframe.power.usb_in = False
    bench.device.feed(now_us)
    return {"cable": "out"}


def _replug(bench: "Bench", _rest: str, now_us: int) -> dict[str, object]:
    bench.replug(now_us)
    bench.device.aircraft.airframe.power.usb_in = True
    bench.device.feed(now_us)
    return {"cable": "in", "port": bench.port.name}


def _power_cycle(bench: "Bench", _rest: str, now_us: int) -> dict[str, object]:
    bench.device.power_up(now_us)
    return {"power": "cycled"}


def _lamps(bench: "Bench", _rest: str, now_us: int) -> dict[str, object]:
    return {"blinks": bench.device.aircraft.lamp.blinks(now_us)}


def _received(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    return {"received": list(bench.device.console.received)}


def _quit(bench: "Bench", _rest: str, _now_us: int) -> dict[str, object]:
    bench.ending = True
    return {"quit": True}


_ORDERS: Final[dict[str, _Order]] = {
    "counters": _counters,
    "reset-counters": _reset_counters,
    "live": _live,
    "kept": _kept,
    "shown": _shown,
    "kept-shown": _kept_shown,
    "about": _about,
    "put": _put,
    "outputs": _outputs,
    "set": _set,
    "tip": _tip,
    "felt": _felt,
    "unplug": _unplug,
    "replug": _replug,
    "power-cycle": _power_cycle,
    "lamps": _lamps,
    "received": _received,
    "quit": _quit,
    **FAULT_ORDERS,
    **{name: _by_hand(act) for name, act in _AT_BENCH.items()},
}
