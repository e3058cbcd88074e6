"""Finishing or undoing what was interrupted.

The journal says what was meant, the board says what is.
Nothing is done before it is certain that this is the board of the journal. Where the
board does not say which one it is, its settings have to be those of the journal, and the
person has to say so.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.confirmation import HandsClear
from benchlink.core.doors import Journals, Person, Records
from benchlink.core.identity import Grade, Identity
from benchlink.core.journal import Entry, Kind, Mark, Transaction, Unfinished
from benchlink.core.may_move import MayMove
from benchlink.core.plan import Change, Plan
from benchlink.core.settings import Snapshot
from benchlink.core.values import Value
from benchlink.errors import (
    DeclinedError,
    MismatchError,
    SafetyRefusalError,
    WrongBoardError,
)
from benchlink.workflows.agreement import get_agreement
from benchlink.workflows.backup import Stamp, keep
from benchlink.workflows.carrying import Carried, Course, carry
from benchlink.workflows.clear_hands import (
    asks_about_restart,
    still_at_rest,
    what_may_move,
)
from benchlink.workflows.read import read_settled
from benchlink.workflows.roll_back import Back, undo
from benchlink.workflows.run import Run, as_before, ends_in_restart
from benchlink.workflows.session import Session, require_at_rest
from benchlink.workflows.sound_wire import require_sound_wire
from benchlink.workflows.stale import refuse_stale
from benchlink.workflows.unwritten import NOTHING_MORE, unwritten

FEW: Final = 12
"""Settings that are told by name before the rest is counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """An unfinished change that is, or may be, about the board at hand."""

    unfinished: Unfinished
    certain: bool


def of_this_board(identity: Identity, all_open: Iterable[Unfinished]) -> list[Found]:
    """The unfinished changes of a board, the newest first."""
    return [
        Found(unfinished=one, certain=one.transaction.identity.surely_same(identity))
        for one in all_open
        if one.transaction.identity.surely_same(identity)
        or (
            identity.grade is not Grade.UNIQUE
            and one.transaction.identity.same_board(identity)
        )
    ]


def require_finished(found: list[Found]) -> None:
    """Refuse to begin a change on top of an unfinished one.

    Raises:
        SafetyRefusalError: there is one.
    """
    if not found:
        return
    first = found[0].unfinished
    finishes = "`benchlink resume` finishes it, "
    if first.transaction.kind is Kind.BENCH:
        finishes = ""
    msg = f"something was left unfinished on this board: {first}"
    raise SafetyRefusalError(
        msg,
        hint=f"Nothing was written. {finishes}`benchlink undo` puts the old values back.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What finishing needs beside the board: paper, and what the person said before."""

    records: Records
    journals: Journals
    stamp: Stamp
    agreed: bool
    """The yes to the plan by a flag; never to motion, nor to which board this is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A board and the unfinished change on it, before anything more is written."""

    session: Session
    person: Person
    found: Found
    now: Snapshot

    @property
    def told(self) -> Transaction:
        """What was meant."""
        return self.found.unfinished.transaction

    @property
    def moving(self) -> tuple[MayMove, ...]:
        """What may move when the change is finished or undone."""
        names = (entry.name for entry in self.told.planned)
        return what_may_move(names, self.session.grammar, self.now)

    def holds(self, entry: Entry) -> Value:
        """What the board holds there now."""
        return self.now.settings[entry.name].value

    def change(self, entry: Entry, to: Value, *, back: bool = False) -> Change:
        """One setting that would be written."""
        grammar, setting = self.session.grammar, self.now.settings[entry.name]
        return Change(
            name=entry.name,
            old=setting.value,
            new=to,
            moves=grammar.moves_with(setting, self.now),
            one_way=grammar.unwritable(setting, setting.value, self.now),
            reason=f"as before {self.told.what}" if back else self.told.what,
            stage=entry.stage,
        )


def resume(session: Session, person: Person, found: Found, desk: Desk) -> Carried:
    """Go on with an interrupted change until it is kept and proven.

    Raises:
        WrongBoardError: the settings are not those of the journal's board.
        DeclinedError: the person said no, or there is nothing to finish.
        BenchError: as `carry`.
    """
    told = found.unfinished.transaction
    if told.kind is Kind.BENCH:
        msg = f"{told.what} is a state for the bench: there is nothing to finish"
        raise DeclinedError(msg, hint="`benchlink undo` puts the old values back.")
    scene = _looked_at(session, person, found, desk)
    _get_the_word_of_a_trial(scene)
    changes = tuple(
        scene.change(entry, entry.new)
        for entry in told.planned
        if entry.new is not None and not entry.is_new(scene.holds(entry))
    )
    return carry(_agreed(scene, changes, desk, back=False), Course())


def put_back(session: Session, person: Person, found: Found, desk: Desk) -> Back:
    """Reverse an interrupted change.

    Raises:
        WrongBoardError: the settings are not those of the journal's board.
        DeclinedError: the person said no.
        BenchError: as `undo`; the journal stays open.
    """
    scene = _looked_at(session, person, found, desk)
    changes = tuple(
        scene.change(entry, entry.old, back=True)
        for entry in scene.told.entries.values()
        if entry.name in scene.now.settings
        and scene.now.settings[entry.name].writable
        and scene.holds(entry) != entry.old
    )
    return undo(_agreed(scene, changes, desk, back=True))


def _looked_at(session: Session, person: Person, found: Found, desk: Desk) -> Scene:
    """The board as it is now, and that it is the one of the journal."""
    require_at_rest(session)
    told = found.unfinished.transaction
    if told.console_hash != desk.stamp.console_hash:
        person.tell(
            f"The console is described by another file than when {told.what} began:"
            " only names that both know can be written."
        )
    with unwritten(NOTHING_MORE):
        now = read_settled(session, person)
    require_sound_wire(session, now)
    missing = [e.name for e in told.planned if e.name not in now.settings]
    if missing:
        msg = f"the board lists {len(missing)} settings of {told.what} no longer"
        raise MismatchError(
            msg, details=tuple(missing[:FEW]), hint="Nothing was written."
        )
    if not found.certain:
        _require_same_settings(found, now)
    return Scene(session=session, person=person, found=found, now=now)


def _get_the_word_of_a_trial(scene: Scene) -> None:
    """Values on trial are kept on a person's word, and a verb is none."""
    if scene.found.unfinished.story.state is Mark.TRYING:
        question = f"{scene.told.what} was on trial. Shall the new values be kept?"
        _require_yes(scene.person, question)


def _agreed(
    scene: Scene, changes: tuple[Change, ...], desk: Desk, *, back: bool
) -> Run:
    """Ask for all that has to be asked, keep a copy of now, and take up the journal."""
    why = "undoing" if back else "going on with"
    with unwritten(NOTHING_MORE):
        moving = _movers(scene, back=back)
    hands = _agree(scene, changes, desk, moving)
    with unwritten(NOTHING_MORE):
        session = still_at_rest(scene.session)
        scene = replace(scene, session=replace(session, hands=hands or session.hands))
        refuse_stale(scene.session, scene.now, scene.person)
    stamp = replace(desk.stamp, note=f"before {why} {scene.told.what}")
    kept = keep(scene.session, scene.now, desk.records, stamp)
    scene.person.tell(f"backed up to {kept.path}")
    return Run(
        session=scene.session,
        person=scene.person,
        journal=desk.journals.go_on(scene.found.unfinished),
        transaction=scene.told,
        before=as_before(scene.told, scene.now),
        now=scene.now,
        gone=_told_gone(scene),
    )


def _told_gone(scene: Scene) -> frozenset[str]:
    """Names of the journal that were not to be written and are not listed now.

    A line that the board said unasked may have been read as a setting; nothing that
    could be written brings it back.
    """
    gone = [name for name in scene.told.entries if name not in scene.now.settings]
    if gone:
        scene.person.tell(
            f"The board does not list {', '.join(gone[:FEW])} now, which it did before"
            f" {scene.told.what} began: chatter, perhaps. Nobody wrote it."
        )
    return frozenset(gone)


def _require_same_settings(found: Found, now: Snapshot) -> None:
    """What nobody asked to change has to be as the journal knows it."""
    told = found.unfinished.transaction
    asked = {entry.name for entry in told.planned}
    strange = [
        entry.name
        for entry in told.entries.values()
        if entry.name not in asked
        and (
            entry.name not in now.settings
            or now.settings[entry.name].value != entry.old
        )
    ]
    if strange:
        msg = (
            f"this board does not say which one it is, and {len(strange)} of its"
            f" settings are not those of the board of {told.what}"
        )
        raise WrongBoardError(
            msg,
            details=tuple(strange[:FEW]),
            hint="Nothing was written. Plug in the board that was interrupted; or, if"
            f" this is it, `benchlink restore {told.backup}`.",
        )


def _movers(scene: Scene, *, back: bool) -> tuple[MayMove, ...]:
    """What may move, as it is asked about before anything is written.

    A restart alone holds no putting back up: it is asked about when it is due.
    """
    moving, told = scene.moving, scene.told
    names = (entry.name for entry in told.planned)
    restarts = ends_in_restart(scene.session.grammar, names)
    if back:
        restarts = (
            restarts and scene.found.unfinished.story.may_be_kept and moving != ()
        )
    if not restarts:
        return moving
    return (*moving, *asks_about_restart(scene.session, beside=bool(moving)))


def _agree(
    scene: Scene, changes: tuple[Change, ...], desk: Desk, moving: tuple[MayMove, ...]
) -> HandsClear | None:
    plan = Plan(
        identity=scene.session.identity,
        fingerprint=scene.now.fingerprint(),
        changes=changes,
    )
    scene.person.show_plan(plan)
    if not scene.found.certain:
        question = (
            f"This board says only that it is {scene.session.identity}. Is it the one"
            f" that this is about: {scene.found.unfinished}?"
        )
        _require_yes(scene.person, question)
    third = _neither(scene)
    if third:
        scene.person.tell("These hold neither the old nor the new value now:")
        for line in third[:FEW]:
            scene.person.tell(f"  {line}")
        if len(third) > FEW:
            scene.person.tell(f"  and {len(third) - FEW} more")
        question = "Somebody changed them meanwhile. Overwrite them?"
        _require_yes(scene.person, question)
    # Also where nothing is left to write: a keep and a restart may lie ahead.
    return get_agreement(
        plan,
        scene.person,
        agreed=desk.agreed,
        session=scene.session,
        moving=moving,
    )


def _require_yes(person: Person, question: str) -> None:
    if not person.agrees(question):
        msg = "nobody said yes"
        raise DeclinedError(
            msg, hint="Nothing was written. Only a typed yes answers this, no flag."
        )


def _neither(scene: Scene) -> list[str]:
    """What somebody changed meanwhile: planned ones, and those nobody asked for."""
    found: list[str] = []
    for entry in scene.told.entries.values():
        setting = scene.now.settings.get(entry.name)
        if setting is None or setting.value == entry.old or entry.is_new(setting.value):
            continue
        wanted = (
            f"should become {entry.new}" if entry.planned else "nobody asked for it"
        )
        found.append(f"{entry.name}: was {entry.old}, {wanted}, now {setting.value}")
    return found
