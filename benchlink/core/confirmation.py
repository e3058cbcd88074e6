"""What a person confirmed with their own hands on the keyboard, and how long it counts.

`HandsClear` lets settings be written that may move something, until the board starts
anew. `PropsOff` is the one key to a motor. Nothing but the typed sentence makes one: no flag,
no file, no environment variable, no default. It guards against accident, not malice.
"""

from dataclasses import dataclass, field
from typing import Final

from benchlink.errors import MisuseError, SafetyRefusalError
from benchlink.units import Seconds

LASTS: Final = Seconds(600.0)
"""How long a confirmation counts: ten minutes is one round at the bench."""

HANDS_CLEAR: Final = "hands clear"
"""What a person types before settings are written that can move something."""

AND_PROPS_OFF: Final = "hands clear, props off"
"""The same where a motor may spin: a new output map or idle value turns it at once."""

_SEAL: Final = object()


@dataclass(frozen=True, slots=True, kw_only=True)
class HandsClear:
    """Somebody typed that hands are clear of arms and discs; counts in one epoch."""

    epoch: int
    props_off: bool = False
    """Whether that the props are off was typed as well."""
    pack_volts: float | None = None
    """Of the pack right after that was typed; None where the board does not tell."""
    seal: object = field(repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse to exist without the typed words."""
        if self.seal is not _SEAL:
            msg = "hands clear is confirmed by typing alone"
            raise MisuseError(msg)


def words_before(*, motors: bool) -> str:
    """What is to be typed before something may move, to the letter."""
    return AND_PROPS_OFF if motors else HANDS_CLEAR


def confirm_hands_clear(
    typed: str, epoch: int, *, motors: bool = False, pack_volts: float | None = None
) -> HandsClear:
    """Make the confirmation from what a person typed at a terminal.

    `motors` says that a motor may spin, so that the props have to be off too;
    `pack_volts` is what the board told of its pack then.

    Raises:
        SafetyRefusalError: anything else was typed.
    """
    wanted = words_before(motors=motors)
    if typed != wanted:
        msg = "nobody confirmed that hands are clear"
        if motors:
            msg = f"{msg} and the props off"
        if typed:
            msg = f"{msg}: {typed!r} was typed, not '{wanted}'"
        raise SafetyRefusalError(msg)
    return HandsClear(epoch=epoch, props_off=motors, pack_volts=pack_volts, seal=_SEAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is to be confirmed: the props of which aircraft, by whom, in which epoch."""

    aircraft: str
    operator: str
    epoch: int

    @property
    def sentence(self) -> str:
        """What has to be typed, to the letter."""
        return f"props off {self.aircraft}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PropsOff:
    """Somebody looked at the hubs and typed that no propeller is on them."""

    asked: Asked
    at: Seconds
    seal: object = field(repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse to exist without a typed sentence."""
        if self.seal is not _SEAL:
            msg = "a props-off confirmation is made by typing alone"
            raise MisuseError(msg)

    @property
    def until(self) -> Seconds:
        """When it expires."""
        return Seconds(self.at + LASTS)


def confirm_props_off(asked: Asked, typed: str, now: Seconds) -> PropsOff:
    """Make the confirmation from what a person typed at a terminal.

    Raises:
        SafetyRefusalError: anything else was typed, or nobody said who they are.
    """
    if not asked.operator.strip() or not asked.aircraft.strip():
        msg = "props off is confirmed by a named person for a named aircraft"
        raise SafetyRefusalError(msg, hint="Nothing moves. Say who you are and what.")
    if typed != asked.sentence:
        msg = f"props off was not confirmed for {asked.aircraft}"
        raise SafetyRefusalError(
            msg,
            hint=f"Nothing moves. Look at both hubs, then type `{asked.sentence}` at the"
            " terminal; no flag or file can say it.",
        )
    return PropsOff(asked=asked, at=now, seal=_SEAL)
