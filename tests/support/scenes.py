"""Scenes of a tilt arm and of a motor, as their procedures would tell them."""

from benchlink.core.aiming import Mark
from benchlink.core.angles import Degrees, Estimate, Side, Way
from benchlink.core.approach import Window
from benchlink.core.moving import Arm
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState, SceneKey, SpinScene, TiltScene
from benchlink.core.servo_fit import Reading, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw_ends import End, Stops
from benchlink.core.tilt_scene import Moment, Sought, tilt_scene
from benchlink.units import Power, PulseUs, Seconds

UPRIGHT = Sought(mark=Mark(angle_deg=Degrees(0.0), side=Side.FROM_AFT))
FULL_AFT = Sought(
    mark=Mark(angle_deg=Degrees(-36.0), side=Side.FROM_FORWARD),
    stops=Stops(forward_deg=40.0, aft_deg=41.0),
    ends=(
        End(
            way=Way.FORWARD,
            pulse_us=PulseUs(1868.0),
            angle=Estimate(mean_deg=Degrees(36.1), sd_deg=0.1),
            readings=3,
        ),
    ),
)
READY = (
    SceneKey("SPACE", "runs 0.5 s"),
    SceneKey("up down", "power"),
    SceneKey("h", "hold to run"),
    SceneKey("enter", "seen enough"),
    SceneKey("escape", "leave"),
)


def read(pulse: float, angle: float) -> Reading:
    return Reading(pulse_us=PulseUs(pulse), rising=True, angle_deg=Degrees(angle))


def arm_of(
    *readings: Reading,
    turns: Turns = Turns.FORWARD,
    low: float = 1300.0,
    high: float = 1700.0,
) -> Arm:
    fit = new_fit(ServoPart(turns=turns)).watched(turns)
    for reading in readings:
        fit = fit.with_reading(reading)
    window = Window(low_us=PulseUs(low), high_us=PulseUs(high))
    return Arm(fit=fit, window=window)


def tilt(
    *readings: Reading,
    asks: str = "Read the jig",
    at: float | None = 1464.0,
    goal: float | None = None,
    sought: Sought = UPRIGHT,
    arm: Arm | None = None,
    horn_off: bool = False,
    keys: tuple[SceneKey, ...] = (),
) -> TiltScene:
    moment = Moment(
        asks=asks,
        pulse_us=None if at is None else PulseUs(at),
        goal_us=None if goal is None else PulseUs(goal),
        read=readings[-1] if readings else None,
        horn_off=horn_off,
        keys=keys,
    )
    return tilt_scene(OwnSide.LEFT, arm or arm_of(*readings), sought, moment)


def spin(state: MotorState = MotorState.STOPPED) -> SpinScene:
    running = state is not MotorState.STOPPED
    return SpinScene(
        side=OwnSide.LEFT,
        asks="Any key but space stops it" if running else "Space runs the left motor",
        state=state,
        power=Power(0.08),
        ceiling=Power(0.10),
        run_for=Seconds(0.5),
        left=Seconds(0.5 if running else 0.0),
        confirmed_for=Seconds(552.0),
        keys=(SceneKey("ANY KEY BUT SPACE", "stops"),) if running else READY,
    )
