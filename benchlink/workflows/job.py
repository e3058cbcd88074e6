"""What the board at the bench holds now, as far as the steps of the job ask."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from benchlink.console.description import Description
from benchlink.console.roles import RoleBook
from benchlink.core.angles import Way
from benchlink.core.bench_record import Held
from benchlink.core.difference import OPEN, compare
from benchlink.core.intent import Intent
from benchlink.core.job_facts import Against, BoardNow, TiltNow
from benchlink.core.job_steps import Step
from benchlink.core.output_findings import findings
from benchlink.core.outputs import OutputMap
from benchlink.core.roles import MOTOR_DIRECTIONS, TILT_ROLES, Ends, OwnSide, Role
from benchlink.core.settings import Snapshot
from benchlink.errors import UsageError
from benchlink.units import PulseUs
from benchlink.workflows.compare import misfit
from benchlink.workflows.output_map import map_of
from benchlink.workflows.session import Session

SITS: Final = (
    Role.MOUNT_YAW,
    Role.MOUNT_PITCH,
    Role.MOUNT_ROLL,
    Role.MOUNT_UPSIDE_DOWN,
)
TILT_WAYS: Final = (Role.LEFT_DIRECTION, Role.RIGHT_DIRECTION)
MOTOR_WAYS: Final = tuple(MOTOR_DIRECTIONS.values())

RESTS_ON: Final[Mapping[Step, tuple[Role, ...]]] = {
    Step.MOUNTING: SITS,
    Step.WIGGLE: TILT_WAYS,
    Step.CENTRE: TILT_WAYS,
    Step.THROW: TILT_WAYS,
    Step.LEVEL: (*SITS, Role.LEVEL_ROLL, Role.LEVEL_PITCH, Role.LEVEL_SET),
    Step.SPIN: MOTOR_WAYS,
    Step.CORRECTIONS: (*SITS, *TILT_WAYS, *MOTOR_WAYS),
}
"""The settings by whose change a step counts no more."""

_WRITTEN: Final[Mapping[Step, tuple[Role, ...]]] = {
    Step.CENTRE: (Role.LEFT_CENTRE, Role.RIGHT_CENTRE),
    Step.THROW: (Role.LEFT_AFT, Role.LEFT_FORE, Role.RIGHT_AFT, Role.RIGHT_FORE),
}
"""The settings without which a station cannot do its step."""

ON_THE_MAP: Final = frozenset({Step.WIGGLE, Step.SPIN, Step.CORRECTIONS})
"""Steps that rest on which output drives what as well."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the board should hold, and how that is named to `apply`."""

    intent: Intent
    profile: str = ""
    """Empty where the aircraft's own layers are meant."""


def board_now(session: Session, snapshot: Snapshot, wishes: Wishes | None) -> BoardNow:
    """The board by settings that were read until they agreed; nothing is sent."""
    description = session.grammar.description
    book = RoleBook(description)
    wrong, unmapped = _map(session, snapshot)
    unfit = misfit(wishes.intent, session.identity) if wishes else ""
    return BoardNow(
        board=session.identity,
        settings=snapshot.fingerprint(),
        values={name: str(s.value) for name, s in snapshot.settings.items()},
        tilts={side: _tilt(book, side, snapshot) for side in OwnSide},
        cannot={**unmapped, **_without_roles(book)},
        wrong_outputs=wrong,
        against=_against(snapshot, wishes) if wishes and not unfit else None,
        misfit=unfit,
    )


def rests_on(
    step: Step, description: Description, snapshot: Snapshot
) -> tuple[Held, ...]:
    """What the board holds now of all that a step rests on."""
    names = dict.fromkeys(_names(step, description, snapshot))
    return tuple(
        Held(name, str(snapshot.settings[name].value))
        for name in names
        if name in snapshot.settings
    )


def _names(step: Step, description: Description, snapshot: Snapshot) -> Iterator[str]:
    book = RoleBook(description)
    for role in RESTS_ON.get(step, ()):
        name = book.setting(role)
        if name is not None:
            yield name
    if step in ON_THE_MAP and description.pads is not None:
        outputs = description.pads.map(snapshot).outputs
        yield from (o.setting for o in outputs if o.setting)


def _against(snapshot: Snapshot, wishes: Wishes) -> Against:
    off = compare(snapshot, wishes.intent).of(*OPEN)
    return Against(
        title=wishes.intent.title,
        asked=len(wishes.intent.wanted),
        off=tuple(finding.name for finding in off),
        profile=wishes.profile,
    )


def _map(
    session: Session, snapshot: Snapshot
) -> tuple[tuple[str, ...], dict[Step, str]]:
    """What is wrong with the map of the outputs, or why there is none."""
    try:
        declared = map_of(session, snapshot)
    except UsageError as error:
        return (), dict.fromkeys((Step.OUTPUTS, Step.WIGGLE), str(error))
    if "drive" not in session.grammar.description.live.verbs:
        why = "its console has no way to drive an output"
        return _sentences(declared), {Step.WIGGLE: why}
    return _sentences(declared), {}


def _sentences(declared: OutputMap) -> tuple[str, ...]:
    return tuple(finding.sentence for finding in findings(declared))


def _without_roles(book: RoleBook) -> dict[Step, str]:
    """Tilt work needs to know where a centre and the ends are written."""
    found: dict[Step, str] = {}
    for step, roles in _WRITTEN.items():
        lacking = [role for role in roles if not book.has(role)]
        if lacking:
            found[step] = (
                "the description of its console does not say which setting holds the"
                f" {lacking[0].words}"
            )
    return found


def _tilt(book: RoleBook, side: OwnSide, snapshot: Snapshot) -> TiltNow:
    """One tilt, as far as its settings are there and hold numbers."""
    roles = TILT_ROLES[side]
    centre = _number(book, roles.centre, snapshot)
    spans: dict[Way, float] = {}
    for way in Way:
        end = _number(book, roles.end(way), snapshot)
        if end is not None and book.ends is Ends.FROM_CENTRE:
            spans[way] = abs(end)
        elif end is not None and centre is not None:
            spans[way] = abs(end - centre)
    return TiltNow(
        centre_us=None if centre is None else PulseUs(centre), spans_us=spans
    )


def _number(book: RoleBook, role: Role, snapshot: Snapshot) -> float | None:
    try:
        return book.number(role, snapshot) if book.has(role) else None
    except UsageError:
        return None
