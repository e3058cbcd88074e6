"""The settings of a board by what they are for, read and written in our units."""

from dataclasses import dataclass

from benchlink.console.description import Description
from benchlink.console.role_setting import RoleSetting
from benchlink.core.roles import Direction, Ends, Role
from benchlink.core.settings import Snapshot
from benchlink.core.values import Number, Value
from benchlink.errors import UsageError
from benchlink.units import PulseUs


@dataclass(frozen=True, slots=True)
class RoleBook:
    """What a description tells of the roles of settings.

    Everything that asks for a value raises `UsageError` where the description names no
    setting for the role.
    """

    description: Description

    @property
    def ends(self) -> Ends:
        """How the board counts the ends of the travel."""
        return self.description.roles.ends

    def setting(self, role: Role) -> str | None:
        """The name of the setting that holds it; None where nobody says."""
        held = self.description.roles.settings.get(role)
        return held.setting if held else None

    def has(self, *roles: Role) -> bool:
        """Whether all of these have a setting."""
        return all(role in self.description.roles.settings for role in roles)

    def require(self, role: Role) -> str:
        """The name of the setting that holds it.

        Raises:
            UsageError: the description does not say.
        """
        return self._held(role).setting

    def value(self, role: Role, snapshot: Snapshot) -> Value | None:
        """What the board holds there; None where this board has no such setting."""
        setting = snapshot.settings.get(self.require(role))
        return setting.value if setting else None

    def number(self, role: Role, snapshot: Snapshot) -> float | None:
        """What the board holds there, in us, deg or Hz; None as in `value`.

        An end that is counted from the centre is how far it is from there.

        Raises:
            UsageError: the description does not say, or it is no number.
        """
        value = self.value(role, snapshot)
        return None if value is None else self.number_of(role, value)

    def number_of(self, role: Role, value: Value) -> float:
        """A value of such a setting, in us, deg or Hz.

        Raises:
            UsageError: the description does not say, or it is no number.
        """
        held = self._held(role)
        if isinstance(value, Number):
            return held.ours(value.value)
        msg = f"{held.setting!r} should hold the {role.words}, but holds {value}"
        raise UsageError(msg, hint="Look at the setting, and at `roles:`.")

    def pulse(self, role: Role, snapshot: Snapshot) -> PulseUs | None:
        """What the board holds there, in us; see `number`."""
        number = self.number(role, snapshot)
        return None if number is None else PulseUs(number)

    def pulse_of(self, role: Role, value: Value) -> PulseUs:
        """A value of such a setting, in us; see `number_of`."""
        return PulseUs(self.number_of(role, value))

    def value_for(self, role: Role, number: float) -> Value:
        """What to write for so many us, deg or Hz: the nearest step of the board.

        `number_of` that value tells what it really is then.

        Raises:
            UsageError: the description does not say.
        """
        return Number(self._held(role).counted(number))

    def end_value(self, role: Role, pulse: PulseUs, centre: PulseUs) -> Value:
        """What to write for an end of the travel that stands at this pulse.

        `centre` is the pulse that the board has, or will have, as its centre.
        """
        spans = self.ends is Ends.FROM_CENTRE
        return self.value_for(role, abs(pulse - centre) if spans else pulse)

    def end_pulse(
        self, role: Role, value: Value, *, centre: PulseUs, longer: bool
    ) -> PulseUs:
        """Where an end of the travel stands.

        `longer` tells whether that way lie the longer pulses: only a reading tells.
        """
        number = self.number_of(role, value)
        if self.ends is Ends.PULSES:
            return PulseUs(number)
        return PulseUs(centre + number if longer else centre - number)

    def direction(self, role: Role, snapshot: Snapshot) -> Direction | None:
        """Which way the board holds there; None as in `value`.

        Raises:
            UsageError: the description does not say, or it is another word.
        """
        value = self.value(role, snapshot)
        if value is None:
            return None
        held = self._held(role)
        for direction, word in held.directions.items():
            if word == value:
                return direction
        words = " nor ".join(map(str, held.directions.values()))
        msg = f"{held.setting!r} holds {value}, which is neither {words}"
        raise UsageError(msg, hint=f"Mend `roles:` under `{role.value}:`.")

    def direction_value(self, role: Role, direction: Direction) -> Value:
        """What to write for a direction.

        Raises:
            UsageError: the description does not say.
        """
        return self._held(role).directions[direction]

    def _held(self, role: Role) -> RoleSetting:
        held = self.description.roles.settings.get(role)
        if held is None:
            name = self.description.name
            msg = f"the console {name!r} does not say which setting holds the"
            msg = f"{msg} {role.words}"
            raise UsageError(
                msg, hint=f"Add `{role.value}: NAME` under `roles:` of its description."
            )
        return held
