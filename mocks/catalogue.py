"""The settings that every board of this type has: aircraft, sensors, radio, pack."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from .quantities import Choice, Fraction, Kind, Row, Switch, Text, Whole, quoted
from .settings import Owner, Setting

FEWEST_SETTINGS: Final = 60
"""The settings that are marked `first`."""
MOST_SETTINGS: Final = 5000

SIDES: Final = ("left", "right")
AXES: Final = ("roll", "pitch", "yaw")
OUTPUTS: Final = 12
RADIO_CHANNELS: Final = 16

CELLS: Final = range(2, 7)
PACK_WARN_V: Final = {str(cells): f"{cells * 3.5:.1f}" for cells in CELLS}
"""Warning voltage that the board sets when it is told the number of cells."""
PACK_LAND_V: Final = {str(cells): f"{cells * 3.3:.1f}" for cells in CELLS}
"""Landing voltage that the board sets when it is told the number of cells."""

SIGNALS: Final = ("plain-pulse", "half-range", "fast-pulse")
DIRECTIONS: Final = ("normal", "reversed")
JOBS: Final = (
    "nothing",
    "motor-left",
    "motor-right",
    "tilt-left",
    "tilt-right",
    "elevator",
    "rudder",
    "lamp",
    "buzzer",
)
_FIRST_JOBS: Final = ("motor-left", "motor-right", "tilt-left", "tilt-right")
_PULSE: Final = Whole(low=500, high=2500)
_SPAN: Final = Whole(low=0, high=900)
_RATE: Final = Whole(low=50, high=400, limits=True)
_SWITCH: Final = Switch()


def setting(name: str, kind: Kind, factory: str) -> Setting:
    """An ordinary setting."""
    return Setting(name=name, kind=kind, factory=factory)


def fraction(low: str, high: str, step: str) -> Fraction:
    """A decimal that refuses what is out of range or finer than its step."""
    return Fraction(low=low, high=high, step=step)


def catalogue() -> Iterator[Setting]:
    """All of them, in the board's order."""
    for section in _SECTIONS:
        yield from section()


def _plate() -> Iterator[Setting]:
    made = {
        "type": quoted("wader"),
        "layout": quoted("twin-tilt"),
        "firmware": quoted("1.4.2"),
        "number": quoted("7F3A-0192"),
    }
    for name, text in made.items():
        yield _first(_made(f"board.{name}", Text(), text))
    uptime = fraction("0.000", "999999999", "0.001")
    yield _first(_made("board.uptime_s", uptime, "0.000"))
    yield _made("board.gyro_range_dps", Whole(low=250, high=2000), "2000")
    yield _made("board.accel_range_mg", Whole(low=2000, high=16000), "8000")


def _craft() -> Iterator[Setting]:
    yield _first(setting("craft.call", Text(), quoted("")))
    yield _first(setting("craft.tail_number", Text(), quoted("")))
    yield setting("craft.mass_g", Whole(low=100, high=9000), "940")
    yield setting("craft.arm_span_mm", Whole(low=100, high=2000), "620")
    yield setting("craft.remark", Text(), quoted('board "as made"; nothing fitted'))


def _tilt() -> Iterator[Setting]:
    for side in SIDES:
        at = f"tilt.{side}"
        yield _first(setting(f"{at}.centre_us", _PULSE, "1500"))
        yield _first(setting(f"{at}.aft_us", _SPAN, "350"))
        yield _first(setting(f"{at}.fore_us", _SPAN, "350"))
        yield _first(setting(f"{at}.direction", Choice(words=DIRECTIONS), "normal"))
        yield _first(setting(f"{at}.rate_hz", Whole(low=50, high=333), "50"))
        yield setting(f"{at}.slew_deg_s", Whole(low=10, high=900), "300")
        yield setting(f"{at}.aft_deg", fraction("0", "60", "0.5"), "30.0")
        yield setting(f"{at}.fore_deg", fraction("0", "95", "0.5"), "30.0")
        yield setting(f"{at}.hold_on_halt", _SWITCH, "yes")
    bend = Row(count=5, low=-100, high=100)
    yield _first(setting("tilt.bend_pct", bend, "-100,-50,0,50,100"))
    yield setting("tilt.yaw_share_pct", Whole(low=0, high=100), "60")
    yield setting("tilt.pitch_share_pct", Whole(low=0, high=100), "100")


def _motor() -> Iterator[Setting]:
    idle = Fraction(low="0", high="20", step="0.1", limits=True)
    for side, turn in zip(SIDES, DIRECTIONS, strict=True):
        at = f"motor.{side}"
        yield _first(setting(f"{at}.output", Choice(words=SIGNALS), "plain-pulse"))
        yield _first(setting(f"{at}.idle_pct", idle, "5.5"))
        yield _first(setting(f"{at}.direction", Choice(words=DIRECTIONS), turn))
        yield setting(f"{at}.low_us", _PULSE, "1000")
        yield setting(f"{at}.high_us", _PULSE, "2000")
        yield setting(f"{at}.poles", Whole(low=2, high=36), "14")
        yield setting(f"{at}.ceiling_pct", Whole(low=10, high=100), "100")
        yield setting(f"{at}.ramp_ms", Whole(low=0, high=2000), "120")


def _output() -> Iterator[Setting]:
    for number in range(1, OUTPUTS + 1):
        at = f"output.p{number}"
        fitted = number <= len(_FIRST_JOBS)
        job = _FIRST_JOBS[number - 1] if fitted else "nothing"
        head = (
            setting(f"{at}.job", Choice(words=JOBS), job),
            setting(f"{at}.rate_hz", _RATE, "50"),
        )
        yield from (map(_first, head) if fitted else head)
        yield setting(f"{at}.rest_us", Whole(low=0, high=2500), "0")
        yield setting(f"{at}.low_us", _PULSE, "900")
        yield setting(f"{at}.high_us", _PULSE, "2100")
        yield setting(f"{at}.remark", Text(), quoted(""))


def _mount() -> Iterator[Setting]:
    angle = fraction("-180", "180", "0.5")
    yaw = replace(angle, rounds=True)
    yield _first(setting("mount.yaw_deg", yaw, "0.0"))
    yield _first(setting("mount.pitch_deg", angle, "0.0"))
    yield _first(setting("mount.roll_deg", angle, "0.0"))
    yield _first(setting("mount.upside_down", _SWITCH, "no"))


def _level() -> Iterator[Setting]:
    trim = fraction("-20", "20", "0.05")
    yield _first(setting("level.roll_deg", trim, "0.00"))
    yield _first(setting("level.pitch_deg", trim, "0.00"))
    yield _first(setting("level.self_levelling", _SWITCH, "yes"))
    yield _first(setting("level.set", _SWITCH, "no"))
    yield setting("level.most_tilt_deg", Whole(low=5, high=80), "35")
    yield setting("level.strength", fraction("0", "20", "0.1"), "5.0")


def _steady() -> Iterator[Setting]:
    gain = fraction("0", "10", "0.05")
    yield _first(setting("steady.on", _SWITCH, "yes"))
    for axis in AXES:
        at = f"steady.{axis}"
        kind = replace(gain, rounds=True) if axis == "roll" else gain
        yield _first(setting(f"{at}.gain", kind, "1.20"))
        yield setting(f"{at}.hold", gain, "0.60")
        yield setting(f"{at}.damping", fraction("0", "1", "0.001"), "0.024")
        yield setting(f"{at}.most_dps", Whole(low=20, high=1200), "220")
        for phase in ("hover", "middle", "cruise"):
            yield setting(f"{at}.{phase}_pct", Whole(low=0, high=300), "100")


def _radio() -> Iterator[Setting]:
    action = Choice(words=("cut", "hold", "descend"))
    throttle = Whole(low=800, high=2200, limits=True)
    yield _first(setting("radio.failsafe.throttle_us", throttle, "950"))
    yield _first(setting("radio.failsafe.action", action, "cut"))
    yield setting("radio.failsafe.after_ms", Whole(low=50, high=5000), "400")
    for number in range(1, RADIO_CHANNELS + 1):
        at = f"radio.channel{number}"
        yield setting(f"{at}.low_us", _PULSE, "1000")
        yield setting(f"{at}.centre_us", _PULSE, "1500")
        yield setting(f"{at}.high_us", _PULSE, "2000")
        yield setting(f"{at}.dead_us", Whole(low=0, high=100), "4")
        yield setting(f"{at}.direction", Choice(words=DIRECTIONS), "normal")
        yield setting(f"{at}.name", Text(), quoted(f"channel {number}"))


def _power() -> Iterator[Setting]:
    cells = Whole(low=CELLS[0], high=CELLS[-1])
    volts = fraction("0", "30", "0.1")
    yield _first(setting("pack.cells", cells, "4"))
    yield _first(setting("pack.warn_v", volts, PACK_WARN_V["4"]))
    yield _first(setting("pack.land_v", volts, PACK_LAND_V["4"]))
    yield _first(setting("pack.capacity_mah", Whole(low=0, high=30000), "1550"))
    yield setting("pack.reserve_pct", Whole(low=0, high=90), "20")
    yield _first(setting("rail.warn_v", volts, "4.8"))
    yield setting("rail.nominal_v", volts, "5.2")


def _filter() -> Iterator[Setting]:
    cut = Fraction(low="10", high="400", step="0.5", rounds=True)
    notch = fraction("20", "400", "0.5")
    yield _first(setting("filter.gyro.cut_hz", cut, "90.0"))
    yield setting("filter.accel.cut_hz", fraction("1", "100", "0.5"), "15.0")
    yield _first(setting("filter.notch.on", _SWITCH, "no"))
    locked = setting("filter.notch.centre_hz", notch, "120.0")
    yield _first(replace(locked, needs="filter.notch.on"))
    yield setting("filter.notch.width_hz", fraction("1", "100", "0.5"), "20.0")


def _sensors() -> Iterator[Setting]:
    offset = fraction("-200", "200", "0.1")
    scale = fraction("0.9", "1.1", "0.0001")
    for axis in "xyz":
        yield _first(_calibration(f"accel.offset_{axis}_mg", offset, "0.0"))
    for axis in "xyz":
        yield _calibration(f"accel.scale_{axis}", scale, "1.0000")
    for axis in "xyz":
        bias = fraction("-20", "20", "0.001")
        yield _first(_calibration(f"gyro.bias_{axis}_dps", bias, "0.000"))
    for axis in "xyz":
        field = fraction("-900", "900", "0.1")
        yield _calibration(f"compass.offset_{axis}_mgauss", field, "0.0")
    yield _calibration("rail.scale", scale, "1.0000")


def _log() -> Iterator[Setting]:
    yield setting("log.on", _SWITCH, "yes")
    yield setting("log.rate_hz", Whole(low=1, high=1000), "100")
    yield setting("log.start", Choice(words=("power", "live", "switch")), "live")


def card() -> Iterator[Setting]:
    """What a board with a slot for a memory card has beyond all others."""
    at = "log.card"
    looked_for = setting(f"{at}.on", _SWITCH, "no")
    yield replace(looked_for, from_start=True)
    for leaf, kind, factory in (
        ("every", Whole(low=1, high=1000), "4"),
        ("file", Text(), quoted("flight")),
    ):
        yield replace(setting(f"{at}.{leaf}", kind, factory), needs=f"{at}.on")


_SECTIONS: Final = (
    _plate,
    _craft,
    _tilt,
    _motor,
    _output,
    _mount,
    _level,
    _steady,
    _radio,
    _power,
    _filter,
    _sensors,
    _log,
)


def _first(ordinary: Setting) -> Setting:
    return replace(ordinary, first=True)


def _made(name: str, kind: Kind, factory: str) -> Setting:
    return Setting(name=name, kind=kind, factory=factory, owner=Owner.MAKER)


def _calibration(name: str, kind: Kind, factory: str) -> Setting:
    return Setting(name=name, kind=kind, factory=factory, owner=Owner.CALIBRATION)
