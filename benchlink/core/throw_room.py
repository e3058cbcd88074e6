"""Whether a centre leaves room for the throw within the pulses that the servo takes."""

from benchlink.core.angles import Side, Way
from benchlink.core.bench_steps import Refused
from benchlink.core.centring_state import Wanted
from benchlink.core.servo_fit import PulseEstimate, ServoFit
from benchlink.units import PulseUs


def ends_of(
    fit: ServoFit, wanted: Wanted, throw_deg: float
) -> dict[Way, PulseEstimate | None]:
    """Where the ends of a throw are expected, each reached from the middle.

    None for an end that no pulse reaches.
    """
    sides = {side.moving: side for side in Side}
    return {
        way: fit.pulse_for(wanted.angle_deg + way.sign * throw_deg, sides[way])
        for way in Way
    }


def missing_room(fit: ServoFit, wanted: Wanted, centre_us: PulseUs) -> Refused | None:
    """The refusal where an end surely lies beyond what the servo takes.

    An end that only may lie there is left to the throw itself, which measures it.
    """
    if wanted.throw_deg is None:
        return None
    part = fit.part
    for way, needed in ends_of(fit, wanted, wanted.throw_deg).items():
        if needed is None:
            continue
        nearest = min(part.longest_us, max(part.shortest_us, needed.pulse_us))
        if abs(nearest - needed.pulse_us) > needed.half_width_us:
            return Refused(
                reason=f"the centre would be {centre_us:.0f} us, and"
                f" {wanted.throw_deg:g} deg {way.value} then needs {needed},"
                f" where this servo takes {part.shortest_us:.0f} to"
                f" {part.longest_us:.0f} us",
                hint="Less throw, a longer servo arm, or a servo with more travel.",
            )
    return None
