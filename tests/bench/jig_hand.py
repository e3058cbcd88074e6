"""The same arm trimmed by hand, as people do without a tool: fixed steps of the pulse."""

from tests.bench.jig_servos import JigServo

COARSE_US, FINE_US = 20, 5
NEAR_DEG = 2.5
GOOD_DEG = 0.3
MOST = 60


def trimmed_by_hand(servo: JigServo, wanted: float, pulse: float) -> tuple[int, float]:
    """Readings that it took from `pulse` on, and the error that was left, in deg."""
    count = 0
    while count < MOST:
        count += 1
        servo.send(pulse, 9)
        off = servo.read() - wanted
        if abs(off) <= GOOD_DEG:
            break
        step = COARSE_US if abs(off) > NEAR_DEG else FINE_US
        upward = (off < 0) == servo.forward
        pulse += step if upward else -step
        pulse = min(servo.longest, max(servo.shortest, pulse))
    return count, servo.angle - wanted
