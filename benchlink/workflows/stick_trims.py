"""The transmitter's trims, read at the board while somebody handles the sticks."""

from dataclasses import dataclass
from typing import Final

from benchlink.console.readings import told_by
from benchlink.core.angles import Degrees, Way
from benchlink.core.bench_record import Said
from benchlink.core.cautions import REAL_STOP_OF_ARMS
from benchlink.core.doors import Person
from benchlink.core.reading_words import Heard, read_words
from benchlink.core.readings import Quantity
from benchlink.core.stick_trim import Channels, StickTrim, stick_trim
from benchlink.core.trim import Lean
from benchlink.errors import UsageError
from benchlink.units import PulseUs
from benchlink.workflows.clear_hands import still_at_rest
from benchlink.workflows.readings import look
from benchlink.workflows.session import Session

ZEROED_US: Final = 3.0
"""A channel this near to its middle counts as untrimmed: less than 0.3 deg of a throw of
36 deg at 400 us of stick (guidance)."""

REMINDER: Final = (
    "Now set the trims of the transmitter for these two sticks to zero: the aircraft"
    " has them in its centres, and would get them twice."
)

_CAUTION: Final = (
    "Power low, props off both hubs, hands clear of the tilt arms: they may follow the"
    f" sticks. {REAL_STOP_OF_ARMS}"
)
_IN_DEGREES: Final = (
    "Nothing was written. Without channels, say it in degrees: `benchlink trim drifts"
    " forward 0.5`."
)
_LET_GO: Final = "Transmitter on, trims as flown, all sticks let go; then Enter: "
_PITCH: Final = "Hold the stick that sends it forward fully over, then Enter: "
_YAW: Final = "Hold the stick that turns the nose right fully over, then Enter: "


@dataclass(frozen=True, slots=True, kw_only=True)
class StickTrims:
    """Both sticks, and the lean that takes their trims up."""

    pitch: StickTrim
    yaw: StickTrim
    lean: Lean
    said: tuple[Said, ...]

    @property
    def numbers(self) -> tuple[int, int]:
        """Which channels they are."""
        return self.pitch.channel, self.yaw.channel


def read_stick_trims(
    session: Session, person: Person, full_deg: float, middle_us: PulseUs
) -> StickTrims:
    """Ask for the sticks, read the channels, and tell what the trims do to the tilts.

    `full_deg` is the throw of the arms: what full stick tilts unless somebody knows
    better.

    Raises:
        SafetyRefusalError: the outputs are live, or may be.
        UsageError: the board tells no channels, or what was held is not understood.
    """
    still_at_rest(session)
    # Whether there are any is known before somebody fetches the transmitter.
    require_channels(session)
    person.tell(_CAUTION)
    person.types(_LET_GO)
    let_go = channels(session)
    pitch = _held(session, person, _PITCH, let_go, middle_us)
    yaw = _held(session, person, _YAW, let_go, middle_us)
    if pitch.channel == yaw.channel:
        msg = f"channel {pitch.channel} was held over both times"
        raise UsageError(msg, hint="Nothing was written. Hold one after the other.")
    forward, right = (_full_deg(person, n, full_deg) for n in ("forward", "nose right"))
    return StickTrims(
        pitch=pitch,
        yaw=yaw,
        lean=Lean(
            together_deg=pitch.tilt_deg(forward, Way.FORWARD),
            # Left forward and right aft turn the nose right.
            opposed_deg=yaw.tilt_deg(right, Way.FORWARD),
        ),
        said=(
            _said(pitch, "full stick forward", forward),
            _said(yaw, "full stick nose right", right),
        ),
    )


def channels(session: Session) -> Channels:
    """All channels that can be believed.

    Raises:
        UsageError: the board tells none now.
    """
    found = {
        reading.number: PulseUs(reading.value)
        for reading in look(session).readings
        if reading.quantity is Quantity.CHANNEL and reading.between is None
    }
    if found:
        return found
    msg = "the board tells nothing of the transmitter's channels now"
    raise UsageError(msg, hint=f"{_IN_DEGREES} Is the transmitter on and bound?")


def require_channels(session: Session) -> None:
    """Refuse a console that has no way to tell channels.

    Raises:
        UsageError: this one has none.
    """
    description = session.grammar.description
    told = {q for asking in description.readings for q in told_by(asking)}
    if Quantity.CHANNEL not in told:
        msg = f"the console {description.name!r} does not tell the channels"
        raise UsageError(msg, hint=_IN_DEGREES)


def still_trimmed(trims: StickTrims, now: Channels, middle_us: PulseUs) -> list[str]:
    """What is left of the trims on the transmitter, in sentences; none where nothing is."""
    return [
        f"Channel {number} still stands at {now[number]:.0f} us, not {middle_us:.0f}:"
        " zero its trim before it flies."
        for number in trims.numbers
        if number in now and abs(now[number] - middle_us) > ZEROED_US
    ]


def _held(
    session: Session,
    person: Person,
    prompt: str,
    let_go: Channels,
    middle_us: PulseUs,
) -> StickTrim:
    person.types(prompt)
    found = stick_trim(let_go, channels(session), middle_us)
    person.tell(f"{str(found).capitalize()}.")
    return found


def _said(stick: StickTrim, name: str, full_deg: float) -> Said:
    return Said(
        about=f"channel {stick.channel}",
        done=str(stick),
        asked=f"how far {name} tilts the arms",
        answer=f"{full_deg:g} deg",
    )


def _full_deg(person: Person, name: str, full_deg: float) -> Degrees:
    """How far full stick tilts an arm: mixes may give a stick less than the throw.

    Raises:
        UsageError: what was typed is no such size.
    """
    typed = person.types(
        f"Full stick {name} tilts the arms by how many degrees?"
        f" Enter for the whole throw, {full_deg:.1f}: "
    ).strip()
    if not typed:
        return Degrees(full_deg)
    heard = read_words(f"{typed} forward")
    size = heard.angle_deg if isinstance(heard, Heard) else 0.0
    if not 0 < size <= full_deg:
        msg = f"{typed!r} is no size up to the throw of {full_deg:.1f} deg"
        raise UsageError(msg, hint="Nothing was written. Write a number such as 28,5.")
    return Degrees(size)
