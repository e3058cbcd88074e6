"""Left beside right."""

from benchlink.core.angles import Degrees, Estimate, Way
from benchlink.core.servo_fit import ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw_ends import End, Thrown
from benchlink.core.throw_pair import Facing, SideThrow, paired
from benchlink.units import PulseUs


def fit_of(turns: Turns, us_per_deg: float = 10.0) -> ServoFit:
    return new_fit(ServoPart(turns=turns, us_per_deg=us_per_deg))


def side(fit: ServoFit, forward: float = 36.0, aft: float = -36.0) -> SideThrow:
    ends = tuple(
        End(
            way=way,
            pulse_us=PulseUs(1500 + angle * fit.us_per_deg),
            angle=Estimate(mean_deg=Degrees(angle), sd_deg=0.15),
            readings=3,
        )
        for way, angle in ((Way.FORWARD, forward), (Way.AFT, aft))
    )
    thrown = Thrown(ends=ends, fit=fit, back=())
    return SideThrow(centre_us=PulseUs(1500.0), thrown=thrown)


FORWARD, AFT = fit_of(Turns.FORWARD), fit_of(Turns.AFT)


def test_servos_that_face_each_other_need_mirrored_pulses() -> None:
    assert paired(side(FORWARD), side(AFT)).facing is Facing.MIRRORED
    assert paired(side(FORWARD), side(FORWARD)).facing is Facing.SAME
    assert paired(side(AFT), side(AFT)).findings == ()


def test_ends_that_differ_are_told_with_both_angles() -> None:
    pair = paired(side(FORWARD), side(AFT, forward=35.0))

    assert pair.apart_deg == {Way.FORWARD: 1.0, Way.AFT: 0.0}
    assert pair.findings == (
        "forward, left reaches 36.0 deg forward and right 35.0 deg forward",
    )


def test_servos_of_different_slopes_are_worth_a_look() -> None:
    steep = fit_of(Turns.AFT, 8.0)

    assert paired(side(FORWARD), side(steep)).findings == (
        "one servo turns 25% more for the same pulse than the other",
    )
