"""The map of outputs: two agreeing readings of the settings say which pad does what."""

from collections.abc import Mapping

from benchlink.console.pads import Pads, word_of
from benchlink.core.document import Scalar
from benchlink.core.doors import Person
from benchlink.core.intent import Intent, Owner, Wanted
from benchlink.core.jobs import Job
from benchlink.core.outputs import OutputMap
from benchlink.core.settings import Snapshot
from benchlink.core.values import Text
from benchlink.core.wiggle_findings import Exchange
from benchlink.errors import Place, UsageError
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import Session


def read_map(session: Session, person: Person) -> tuple[OutputMap, Snapshot]:
    """The map, and the settings that it was taken from.

    Raises:
        UsageError: the description does not say which settings decide it, or this board
            lists none of them.
        BoardError: no two readings agree.
    """
    pads = _pads(session)
    snapshot = read_settled(session, person)
    return _map(pads, snapshot), snapshot


def map_of(session: Session, snapshot: Snapshot) -> OutputMap:
    """The map in settings that were read until they agreed.

    Raises:
        UsageError: as `read_map`.
    """
    return _map(_pads(session), snapshot)


def _pads(session: Session) -> Pads:
    description = session.grammar.description
    if description.pads is None:
        msg = f"the console {description.name!r} does not say what decides its outputs"
        raise UsageError(msg, hint="Nothing was written. Describe it under `pads:`.")
    return description.pads


def _map(pads: Pads, snapshot: Snapshot) -> OutputMap:
    declared = pads.map(snapshot)
    if not declared.outputs:
        msg = "the board lists no setting that says what an output does"
        raise UsageError(
            msg, hint=f"Nothing was written. `pads: job:` is {pads.job.source!r}."
        )
    return declared


def jobs_of(declared: OutputMap) -> Mapping[str, Job]:
    """What each output is known to drive; those that drive nothing known are left out."""
    return {o.pad: o.job for o in declared.outputs if o.job is not None}


def exchanged(exchange: Exchange, snapshot: Snapshot) -> Intent:
    """Each of two outputs gets the job of the other, so that the map tells the truth."""
    one, other = exchange.one, exchange.other
    why = f"the wiggle test showed that {one.name} and {other.name} are exchanged"
    values = {
        one.setting: snapshot.settings[other.setting].value,
        other.setting: snapshot.settings[one.setting].value,
    }
    place = Place("the wiggle test", 0)
    return Intent(
        title=f"jobs of {one.name} and {other.name} exchanged",
        source=place.file,
        wanted={
            name: Wanted(
                name=name,
                given=Scalar(word_of(value), isinstance(value, Text), place),
                owner=Owner.FITTED,
                place=place,
                reason=why,
            )
            for name, value in values.items()
        },
    )
