"""The person at the bench: orders that need the board and what hangs on it, no port.

horn SIDE +1|-1          take the horn off, put it on so many teeth nearer to the nose
servo SIDE KEY VALUE     another servo: slope-deg-us 0.098, reversed yes, limp no ...
servos                   where both arms truly stand, and what the servos do
jig SIDE [fore|aft]      read the gauge, with a light preload to that side
jig-sigma DEG            how far the reader is off
jig-step DEG             what the reader rounds to; 0 not at all
motor SIDE KEY VALUE     swapped yes (two leads), low-first yes (its ESC)
leads SIDE               exchange two leads of its motor, once more: back
motors                   how both turn
runs                     when both last began to turn and stood still again (board's us)
plug WHAT pN|nothing     where a servo or an ESC hangs: plug tilt-left p4
swap pN pN               exchange two plugs
moved                    what moved since this was last asked, and which way
props on|off             fit the props; tells whether any motor ever span with them
tilts follow|rest        whether the arms follow the sticks at rest too
expiry kept|long|absent  how the board ends what is ordered for a time
radio on|off, arm, disarm
stick forward|back|free   hold the pitch stick, let it go; turns the transmitter on
free NAME                what was set follows the power again: free pack-volts
"""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from .demands import PITCH
from .drives import SIDES, Expiry
from .pads import PADS
from .quantities import RefusalError
from .servo import Make

if TYPE_CHECKING:
    from .device import Device

Told = dict[str, object]
_WORDS: Final = {"yes": True, "no": False}
_SIGNS: Final = {"": 0.0, "fore": 1.0, "aft": -1.0}
STICK_US: Final = {"forward": 2000, "back": 1000, "free": 1500}
"""What the radio sends for the pitch stick; full forward is nose down."""
_PAD_NAMES: Final = {f"p{pad}": pad for pad in PADS}
_SERVO_SWITCHES: Final = ("reversed", "limp")
_FIGURES: Final[dict[str, tuple[float, Callable[[Make, float], Make]]]] = {
    "slope-deg-us": (0.001, lambda make, v: replace(make, slope_deg_us=v)),
    "offset-deg": (-180.0, lambda make, v: replace(make, offset_deg=v)),
    "teeth": (1.0, lambda make, v: replace(make, teeth=int(v))),
    "play-deg": (0.0, lambda make, v: replace(make, play_deg=v)),
    "dead-us": (0.0, lambda make, v: replace(make, dead_us=v)),
    "slew-deg-s": (1.0, lambda make, v: replace(make, slew_deg_s=v)),
    "stop-aft-deg": (0.0, lambda make, v: replace(make, stop_aft_deg=v)),
    "stop-fore-deg": (0.0, lambda make, v: replace(make, stop_fore_deg=v)),
    "stall-a": (0.0, lambda make, v: replace(make, stall_a=v)),
    "most-rate-hz": (1.0, lambda make, v: replace(make, most_rate_hz=v)),
}
"""The figures of a servo: the lowest that each can be, and a servo that has it."""


def number(given: str, low: float, high: float = 1e6) -> float:
    """A number that somebody ordered. Raises `RefusalError`."""
    try:
        value = float(given)
    except ValueError:
        value = low - 1
    # `not <=` also refuses a NaN
    if not low <= value <= high:
        msg = f"'{given}' is not a number from {low:g} to {high:g}"
        raise RefusalError(msg)
    return value


def one_of(given: str, words: tuple[str, ...]) -> str:
    """One of some words. Raises `RefusalError`."""
    if given not in words:
        msg = f"'{given}' is none of {', '.join(words)}"
        raise RefusalError(msg)
    return given


def _horn(device: "Device", rest: str, now_us: int) -> Told:
    side, _, teeth = rest.partition(" ")
    servo = device.aircraft.airframe.servos[one_of(side, SIDES)]
    servo.seat(int(number(teeth, -99, 99)))
    device.aircraft.outputs.changed(now_us)
    return {"tooth": servo.tooth}


def _servo(device: "Device", rest: str, now_us: int) -> Told:
    side, key, value = _three(rest)
    servo = device.aircraft.airframe.servos[one_of(side, SIDES)]
    one_of(key, (*_SERVO_SWITCHES, *_FIGURES))
    if key in _SERVO_SWITCHES:
        switch = _WORDS[one_of(value, tuple(_WORDS))]
        servo.remake(replace(servo.make, **{key: switch}))
    else:
        least, changed = _FIGURES[key]
        servo.remake(changed(servo.make, number(value, least)))
    device.aircraft.outputs.changed(now_us)
    return {key: value}


def _servos(device: "Device", _rest: str, _now_us: int) -> Told:
    craft = device.aircraft
    return {
        side: {
            "true_deg": round(servo.angle_deg(craft.physical["pitch"]), 3),
            "doing": servo.doing.value,
            "pulse_us": servo.pulse_us,
            "rate_hz": servo.rate_hz,
            "amps": servo.amps,
            "overdriven": servo.overdriven,
            "tooth": servo.tooth,
        }
        for side, servo in craft.airframe.servos.items()
    }


def _jig(device: "Device", rest: str, now_us: int) -> Told:
    side, _, preload = rest.partition(" ")
    one_of(side, SIDES)
    sign = _SIGNS[one_of(preload.strip(), tuple(_SIGNS))]
    craft = device.aircraft
    true_deg = craft.outputs.angle_deg(side, now_us, sign)
    seen = craft.airframe.jig.read(true_deg)
    return {
        "reads": seen.words,
        "deg": seen.deg,
        "true_deg": round(true_deg, 3),
        "moving": craft.airframe.servos[side].due_us is not None,
    }


def _jig_sigma(device: "Device", rest: str, _now_us: int) -> Told:
    jig = device.aircraft.airframe.jig
    jig.sigma_deg = number(rest, 0.0, 10.0)
    return {"sigma_deg": jig.sigma_deg}


def _jig_step(device: "Device", rest: str, _now_us: int) -> Told:
    jig = device.aircraft.airframe.jig
    jig.step_deg = number(rest, 0.0, 10.0)
    return {"step_deg": jig.step_deg}


def _motor(device: "Device", rest: str, now_us: int) -> Told:
    side, key, value = _three(rest)
    motor = device.aircraft.airframe.motors[one_of(side, SIDES)]
    one_of(key, ("swapped", "low-first"))
    switch = _WORDS[one_of(value, tuple(_WORDS))]
    motor.wiring = replace(motor.wiring, **{key.replace("-", "_"): switch})
    device.aircraft.outputs.changed(now_us)
    return {key: value}


def _leads(device: "Device", rest: str, now_us: int) -> Told:
    motor = device.aircraft.airframe.motors[one_of(rest, SIDES)]
    return _motor(
        device, f"{rest} swapped {'no' if motor.wiring.swapped else 'yes'}", now_us
    )


def _motors(device: "Device", _rest: str, _now_us: int) -> Told:
    motors = device.aircraft.airframe.motors
    return {
        side: {
            "rev_min": round(motor.rev_min, 1),
            "way": motor.way if motor.rev_min else "",
            "amps": round(motor.amps, 3),
        }
        for side, motor in motors.items()
    }


def _runs(device: "Device", _rest: str, _now_us: int) -> Told:
    motors = device.aircraft.airframe.motors
    return {
        side: {"began_us": motor.began_us, "stood_us": motor.stood_us}
        for side, motor in motors.items()
    }


def _plug(device: "Device", rest: str, now_us: int) -> Told:
    what, _, where = rest.partition(" ")
    airframe = device.aircraft.airframe
    one_of(what, tuple(airframe.plugs))
    one_of(where, (*_PAD_NAMES, "nothing"))
    airframe.plug(what, _PAD_NAMES.get(where))
    device.aircraft.outputs.changed(now_us)
    return dict(airframe.plugs)


def _swap(device: "Device", rest: str, now_us: int) -> Told:
    one, _, other = rest.partition(" ")
    for pad in (one, other):
        one_of(pad, tuple(_PAD_NAMES))
    airframe = device.aircraft.airframe
    airframe.swap(_PAD_NAMES[one], _PAD_NAMES[other])
    device.aircraft.outputs.changed(now_us)
    return dict(airframe.plugs)


def _moved(device: "Device", _rest: str, _now_us: int) -> Told:
    return dict(device.aircraft.airframe.moved())


def _props(device: "Device", rest: str, now_us: int) -> Told:
    airframe = device.aircraft.airframe
    if rest:
        airframe.props = one_of(rest, ("on", "off")) == "on"
        device.aircraft.outputs.changed(now_us)
    return {
        "props": "on" if airframe.props else "off",
        "ever-span-with-props": airframe.ever_span_with_props,
    }


def _tilts(device: "Device", rest: str, _now_us: int) -> Told:
    follow = one_of(rest, ("follow", "rest")) == "follow"
    device.aircraft.outputs.tilts_follow = follow
    return {"tilts": rest}


def _expiry(device: "Device", rest: str, _now_us: int) -> Told:
    how = Expiry(one_of(rest, tuple(e.value for e in Expiry)))
    device.aircraft.drives.expiry = how
    return {"expiry": how.value}


def _radio(device: "Device", rest: str, _now_us: int) -> Told:
    device.aircraft.radio_link = one_of(rest, ("on", "off")) == "on"
    return {"radio": rest}


def _stick(device: "Device", rest: str, _now_us: int) -> Told:
    pulse_us = STICK_US[one_of(rest, tuple(STICK_US))]
    device.aircraft.radio_link = True
    device.aircraft.physical.set(f"channel-{PITCH}", str(pulse_us))
    return {"stick": rest, "channel": PITCH, "pulse_us": pulse_us}


def _arm(device: "Device", _rest: str, _now_us: int) -> Told:
    craft = device.aircraft
    reasons = craft.holding_back()
    if reasons:
        msg = f"it does not arm: {', '.join(reasons)}"
        raise RefusalError(msg)
    craft.outputs_live = True
    return {"armed": True}


def _disarm(device: "Device", _rest: str, _now_us: int) -> Told:
    device.aircraft.outputs_live = False
    return {"armed": False}


def _free(device: "Device", rest: str, _now_us: int) -> Told:
    physical = device.aircraft.physical
    physical.free(rest)
    return {rest: physical[rest]}


def _three(rest: str) -> tuple[str, str, str]:
    parts = rest.split()
    if len(parts) != 3:
        msg = "say a side, what to change, and a value: servo left play-deg 0.8"
        raise RefusalError(msg)
    return parts[0], parts[1], parts[2]


HAND_ORDERS: Final[dict[str, Callable[["Device", str, int], Told]]] = {
    "horn": _horn,
    "servo": _servo,
    "servos": _servos,
    "jig": _jig,
    "jig-sigma": _jig_sigma,
    "jig-step": _jig_step,
    "motor": _motor,
    "leads": _leads,
    "motors": _motors,
    "runs": _runs,
    "plug": _plug,
    "swap": _swap,
    "moved": _moved,
    "props": _props,
    "tilts": _tilts,
    "expiry": _expiry,
    "radio": _radio,
    "stick": _stick,
    "arm": _arm,
    "disarm": _disarm,
    "free": _free,
}
