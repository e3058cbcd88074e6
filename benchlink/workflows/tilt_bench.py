"""The bench for tilt work: which arm is moved how, and one procedure carried through."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Final

from benchlink.console.description import Kept
from benchlink.console.roles import RoleBook
from benchlink.core.cautions import OWN_SIDES
from benchlink.core.doors import Journals, Person
from benchlink.core.jobs import Job
from benchlink.core.outputs import NAMES
from benchlink.core.readings import Quantity
from benchlink.core.restart_leave import RAIL_DEAD_VOLTS
from benchlink.core.roles import TILT_ROLES, OwnSide, Role
from benchlink.core.settings import Snapshot
from benchlink.core.slips import to_the_letter
from benchlink.core.values import Switch, Value
from benchlink.errors import RigError, SafetyRefusalError, UsageError
from benchlink.workflows.backup import Stamp
from benchlink.workflows.bench_states import Asked, bench_states
from benchlink.workflows.mover import Mover
from benchlink.workflows.notebook import Notebook
from benchlink.workflows.readings import one_look
from benchlink.workflows.tilts import DrivenTilt, Pause, Tilt, WrittenTilt

TILT_JOBS: Final[Mapping[OwnSide, Job]] = {
    OwnSide.LEFT: Job.TILT_LEFT,
    OwnSide.RIGHT: Job.TILT_RIGHT,
}
STEADYING: Final = (Role.SELF_LEVELLING, Role.STABILISATION)
"""What tilts the arms by itself when the aircraft is not level."""
STAYS_DRIVEN: Final = "stays driven"
BY_WRITING: Final = (
    "This console cannot drive an output: the arm is moved by writing its centre setting."
    " That goes only within the window, and is put back at the end."
)
BY_STICK: Final = (
    "The arm is held at each end with the stick, while the setting of that end is"
    " written; the old values are put back at the end. Transmitter on, sticks centred."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TiltBench:
    """A board on the bench, its arms on jigs."""

    mover: Mover
    person: Person
    pause: Pause
    snapshot: Snapshot
    """All settings, read until they agreed."""
    epoch: int
    """In which they were read."""
    notes: Notebook = field(default_factory=Notebook)
    """What was read and seen so far."""

    @property
    def book(self) -> RoleBook:
        """The settings by what they are for."""
        return RoleBook(self.mover.session.grammar.description)

    @property
    def drives(self) -> bool:
        """Whether this console can drive an output."""
        return "drive" in self.mover.session.grammar.description.live.verbs

    def tilt(self, side: OwnSide) -> Tilt:
        """The arm of one side.

        Raises:
            UsageError: no output is that servo's, or nobody says where its centre is.
        """
        if not self.drives:
            return WrittenTilt(self.mover, side, self.snapshot)
        output = self.output(side)
        self.mover.known({output: TILT_JOBS[side]}, self.epoch)
        return DrivenTilt(self.mover, output)

    def output(self, side: OwnSide) -> str:
        """The one output that drives the servo of a side.

        Raises:
            UsageError: none does, or several do.
        """
        job = TILT_JOBS[side]
        live = self.mover.session.grammar.description.live.outputs
        fixed = [name for name, drives in live.items() if drives is job]
        pads = self.mover.session.grammar.description.pads
        if not fixed and pads is not None:
            fixed = [o.pad for o in pads.map(self.snapshot).doing(job)]
        if len(fixed) != 1:
            found = f"{len(fixed)} outputs are" if fixed else "no output is"
            msg = f"{found} set to {NAMES[job]}"
            raise UsageError(
                msg,
                details=tuple(fixed),
                hint="Nothing moved. `benchlink outputs` shows them all.",
            )
        return fixed[0]

    @contextmanager
    def ready(
        self,
        sides: tuple[OwnSide, ...],
        journals: Journals,
        stamp: Stamp,
        *,
        by_stick: bool = False,
    ) -> Iterator[None]:
        """Everything confirmed and held that moving these arms needs, until the end.

        Raises:
            SafetyRefusalError: somebody did not confirm, or the outputs are live.
        """
        person, mover = self.person, self.mover
        person.tell(OWN_SIDES)
        self.require_powered()
        what = tuple(f"the {side.value} tilt arm moves, and may jump" for side in sides)
        mover.require_safe_to_tilt(what)
        if self.drives and not by_stick:
            self._require_known_end()
            try:
                yield
            finally:
                mover.close()
            return
        person.tell(BY_STICK if by_stick else BY_WRITING)
        asked = self._held_values(sides, by_stick=by_stick)
        self._tell_wear(asked.roams)
        with bench_states(mover.session, person, journals, stamp, asked):
            yield

    def _require_known_end(self) -> None:
        """A board that never ends what is driven: that is typed, or it is not driven.

        Raises:
            SafetyRefusalError: nobody typed it.
        """
        if not self.mover.drives_for_good:
            return
        prompt = (
            "This board never ends by itself what is driven: if this program dies, the arm"
            f" stays driven until its plug is pulled. Type `{STAYS_DRIVEN}` to go on: "
        )
        typed = to_the_letter(
            lambda asked: self.person.types(asked).strip(), prompt, STAYS_DRIVEN
        )
        if typed != STAYS_DRIVEN:
            msg = "nobody agreed to an arm that stays driven"
            raise SafetyRefusalError(msg, hint="Nothing moved.")

    def require_powered(self) -> None:
        """Refuse to look for arms that move without power: USB alone feeds no servo.

        Raises:
            RigError: the board tells that its servo rail has no volts.
        """
        volts = self.rail_volts()
        if volts is not None and volts < RAIL_DEAD_VOLTS:
            msg = (
                f"the servo rail has no power ({volts:.1f} V by the board's own meter)"
            )
            raise RigError(
                msg,
                hint="USB alone feeds no servo. Connect a bench supply to the rail, at"
                " the volts that the servo's maker prints, the flight pack out.",
            )

    def rail_volts(self) -> float | None:
        """What feeds the servos now, by the board's own meter; None where it has none.

        Raises:
            LinkError: the board does not answer any more.
        """
        return one_look(self.mover.session, Quantity.RAIL_VOLTS)

    def _tell_wear(self, names: Iterable[str]) -> None:
        """Say it where every nudge is kept at once."""
        grammar = self.mover.session.grammar
        if any(grammar.kept(name) is Kept.AT_ONCE for name in names):
            self.person.tell(
                "This board keeps each of these writes at once, which wears its store:"
                " few steps, and none for the look of it."
            )

    def _held_values(self, sides: tuple[OwnSide, ...], *, by_stick: bool) -> Asked:
        book = self.book
        values: dict[str, Value] = {}
        tilts = [TILT_ROLES[side] for side in sides]
        written = [
            role
            for tilt in tilts
            for role in ((tilt.fore, tilt.aft) if by_stick else (tilt.centre,))
        ]
        for role in written:
            now = book.value(role, self.snapshot)
            if now is None:
                msg = f"the board has no setting for the {role.words}"
                raise UsageError(msg, hint="Nothing moved.")
            values[book.require(role)] = now
        roams = frozenset(values)
        return Asked(
            values=values | steadying_off(book, self.snapshot),
            why=f"{' and '.join(side.value for side in sides)} on the jig",
            roams=roams,
        )


def steadying_off(book: RoleBook, snapshot: Snapshot) -> dict[str, Value]:
    """Self-levelling and stabilisation as they have to be while an arm is measured."""
    return {
        book.require(role): Switch(on=False)
        for role in STEADYING
        if book.has(role) and book.value(role, snapshot) == Switch(on=True)
    }


def require_side(word: str) -> tuple[OwnSide, ...]:
    """`left`, `right` or `both`.

    Raises:
        UsageError: another word.
    """
    if word == "both":
        return tuple(OwnSide)
    try:
        return (OwnSide(word),)
    except ValueError as exc:
        msg = f"{word!r} is neither left nor right nor both"
        raise UsageError(msg, hint="Nothing was sent.") from exc
