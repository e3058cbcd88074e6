"""The person at the bench and the power: what is connected to what.

connect pack [VOLTS [CELLS]]  the flight pack, with its volts at rest
connect rail [VOLTS [AMPS]]   a bench supply on the servo rail, and what it can give
connect usb
disconnect pack|rail|usb      without pack and USB the board is off
bec VOLTS AMPS                another BEC on the pack
power                         what is connected, and the true volts and amperes
"""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from .hands import Told, number, one_of
from .power import Feed

if TYPE_CHECKING:
    from .device import Device
    from .power import Power

_SUPPLY: Final = Feed(volts=5.0, most_a=5.0)
_MOST_V: Final = 30.0
_LEADS: Final = ("pack", "rail", "usb")


def _connect(device: "Device", rest: str, now_us: int) -> Told:
    what, *given = rest.split() or [""]
    one_of(what, _LEADS)
    power = device.aircraft.airframe.power
    volts = number(given[0], 0.1, _MOST_V) if given else None
    if what == "pack":
        _put_pack_in(power, volts, given[1:])
    elif what == "rail":
        most_a = number(given[1], 0.0) if given[1:] else _SUPPLY.most_a
        power.supply = Feed(volts=volts or _SUPPLY.volts, most_a=most_a)
    else:
        power.usb_in = True
    return _after(device, now_us)


def _put_pack_in(power: "Power", volts: float | None, cells: list[str]) -> None:
    if volts is not None:
        power.pack = replace(power.pack, rest_v=volts)
    if cells:
        power.pack = replace(power.pack, cells=int(number(cells[0], 1, 12)))
    power.pack_in = True


def _disconnect(device: "Device", rest: str, now_us: int) -> Told:
    power = device.aircraft.airframe.power
    what = one_of(rest, _LEADS)
    if what == "pack":
        power.pack_in = False
    elif what == "rail":
        power.supply = None
    else:
        power.usb_in = False
    return _after(device, now_us)


def _bec(device: "Device", rest: str, now_us: int) -> Told:
    volts, _, amps = rest.partition(" ")
    power = device.aircraft.airframe.power
    power.bec = Feed(volts=number(volts, 0.1, _MOST_V), most_a=number(amps, 0.01))
    return _after(device, now_us)


def _power(device: "Device", _rest: str, _now_us: int) -> Told:
    power, load = device.aircraft.airframe.power, device.aircraft.airframe.load
    return {
        "pack": power.pack_in,
        "cells": power.pack.cells,
        "rail": "supply" if power.supply else "bec" if power.pack_in else "nothing",
        "usb": power.usb_in,
        "board": device.powered,
        "board-volts": round(power.board_v(load), 3),
        "servo-amps": round(load.servos, 3),
        "motor-amps": round(load.motors, 3),
        "brown-outs": power.collapses,
        **{name: round(v, 3) for name, v in power.readings(load).items()},
    }


def _after(device: "Device", now_us: int) -> Told:
    device.feed(now_us)
    return _power(device, "", now_us)


LEAD_ORDERS: Final[dict[str, Callable[["Device", str, int], Told]]] = {
    "connect": _connect,
    "disconnect": _disconnect,
    "bec": _bec,
    "power": _power,
}
