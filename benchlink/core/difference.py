"""Live settings against what a profile wants: one finding per setting."""

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import Enum
from typing import Final

from benchlink.core.intent import Intent, Owner, Waiver, Wanted
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Value, as_kind_of, within
from benchlink.errors import Place


class State(Enum):
    """How a setting stands to what is wanted, the ones to look at first."""

    DIFFERS = "differs"
    MISSING = "missing"
    """The profile wants it, the board does not have it."""
    REFUSED = "refused"
    """The board said no when the wanted value was written."""
    IMPOSSIBLE = "impossible"
    """The wanted value cannot be written there: wrong kind, or read-only."""
    NEVER_KEPT = "never kept"
    """Not as wanted, and the board forgets it at every restart: nothing lasting helps."""
    WAIVED = "waived"
    """Not as wanted, and somebody accepted that with a reason."""
    AS_INTENDED = "as intended"
    LEFT_ALONE = "left alone"
    """No profile speaks of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One setting: what it is, what it should be, and why."""

    name: str
    state: State
    owner: Owner
    now: Value | None = None
    wanted: Value | None = None
    reason: str = ""
    group: str = ""
    trouble: str = ""
    """Why the wanted value is impossible, refused or waived."""
    place: Place | None = None
    """Where the profile asks for it."""
    bank: str = ""
    """The bank of settings that it stands in, where the board has banks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """All findings, in the order of the profile, then of the board."""

    findings: tuple[Finding, ...]

    def of(self, *states: State) -> tuple[Finding, ...]:
        """The findings in any of these states."""
        return tuple(f for f in self.findings if f.state in states)

    @property
    def counts(self) -> Mapping[State, int]:
        """How many settings are in each state, every state named."""
        tally = Counter(f.state for f in self.findings)
        return {state: tally[state] for state in State}

    @property
    def same(self) -> bool:
        """Whether nothing is left to do: a waived difference is accepted.

        What the board never keeps does not count: it cannot be brought about to stay.
        """
        return not self.of(*OPEN)

    def only(
        self, owners: Collection[Owner] = (), states: Collection[State] = ()
    ) -> "Difference":
        """The findings of these owners in these states; an empty list means all."""
        return Difference(
            findings=tuple(
                f
                for f in self.findings
                if (not owners or f.owner in owners)
                and (not states or f.state in states)
            )
        )


OPEN: Final = (State.DIFFERS, State.MISSING, State.REFUSED, State.IMPOSSIBLE)
"""States in which something is left to do."""

OFF: Final = (State.DIFFERS, State.NEVER_KEPT)
"""States that a write can end, for good or until the next restart."""

FORGOTTEN: Final = "the board never keeps it: it is lost at every restart"


def compare(snapshot: Snapshot, intent: Intent) -> Difference:
    """Hold the board's settings against the profile's."""
    asked = [_judge(snapshot, w, intent) for w in intent.wanted.values()]
    others = [
        Finding(
            name=setting.name,
            state=State.LEFT_ALONE,
            owner=Owner.BOARD if setting.board_owned else intent.owner_of(setting.name),
            now=setting.value,
            bank=_bank(setting),
        )
        for setting in snapshot.settings.values()
        if setting.name not in intent.wanted
    ]
    return Difference(findings=(*asked, *others))


def _judge(snapshot: Snapshot, wanted: Wanted, intent: Intent) -> Finding:
    setting = snapshot.settings.get(wanted.name)
    waiver = intent.waivers.get(wanted.name)
    if setting is None:
        return _absent(wanted, waiver, snapshot)
    try:
        value = as_kind_of(setting.value, wanted.given)
    except ValueError as exc:
        # A mistake in the profile: no waiver hides it.
        return _finding(wanted, State.IMPOSSIBLE, setting, trouble=str(exc))
    if within(setting.value, value, wanted.tolerance):
        return _finding(wanted, State.AS_INTENDED, setting, value)
    state, trouble = _off(setting, waiver)
    return _finding(wanted, state, setting, value, trouble=trouble)


def _off(setting: Setting, waiver: Waiver | None) -> tuple[State, str]:
    """How a setting stands that is not as wanted, and what there is to say of it."""
    if waiver is not None:
        return State.WAIVED, waiver.reason
    if not setting.writable:
        return State.IMPOSSIBLE, "read-only"
    return (State.NEVER_KEPT, FORGOTTEN) if setting.never_kept else (State.DIFFERS, "")


def _absent(wanted: Wanted, waiver: Waiver | None, snapshot: Snapshot) -> Finding:
    if waiver is not None:
        return _finding(wanted, State.WAIVED, None, trouble=waiver.reason)
    close = get_close_matches(wanted.name, snapshot.settings, n=1)
    meant = f"; is {close[0]} meant?" if close else ""
    trouble = f"the board has no such setting{meant}"
    return _finding(wanted, State.MISSING, None, trouble=trouble)


def _finding(
    wanted: Wanted,
    state: State,
    setting: Setting | None,
    value: Value | None = None,
    *,
    trouble: str = "",
) -> Finding:
    return Finding(
        name=wanted.name,
        state=state,
        owner=wanted.owner,
        now=setting.value if setting else None,
        wanted=value,
        reason=wanted.reason,
        group=wanted.group,
        trouble=trouble,
        place=wanted.place,
        bank=_bank(setting) if setting else "",
    )


def _bank(setting: Setting) -> str:
    return setting.address.get("bank", "")
