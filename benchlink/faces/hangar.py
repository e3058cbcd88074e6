"""From the board at the bench to the aircraft that it belongs to, and its own layers."""

from collections.abc import Sequence
from typing import Final

from benchlink.core.aircraft import Aircraft, Replaced, owner_of_board
from benchlink.core.doors import BenchRecords, Person, Records
from benchlink.core.identity import Grade
from benchlink.core.intent import Intent, Owner, overlaid
from benchlink.errors import DeclinedError, UsageError
from benchlink.faces.wiring import (
    Bench,
    aircraft_folder,
    bench_records,
    now,
    records,
)
from benchlink.store import profiles
from benchlink.store.aircraft_file import NotedBoard
from benchlink.store.aircraft_folder import backups_of, records_of

FEW: Final = 6
"""Names listed before the rest is only counted."""


def meet_aircraft(bench: Bench, person: Person, tail: str) -> Aircraft | None:
    """Recognise the aircraft and greet it; None where nobody has said whose board it is.

    Raises:
        FileError: the folder of an aircraft is damaged.
        WrongBoardError: the board belongs to another aircraft than the one named.
        DeclinedError: it may be a new board in that aircraft, and nobody said so.
    """
    folder = aircraft_folder()
    found = owner_of_board(bench.session.identity, folder.fleet(), tail)
    if isinstance(found, Replaced):
        _ask_whether_replaced(found, person)
        found = folder.note_board(noted_board(bench, found.aircraft.tail))
        person.tell(f"Noted: {found.tail} has {found.board} now.")
    if found is None:
        return None
    person.tell(f"This is {found}.")
    if found.console_hash != bench.console_hash:
        person.tell(
            "The description of its console is another one than when its board was"
            " noted."
        )
    return found


def noted_board(bench: Bench, tail: str) -> NotedBoard:
    """The board at the bench as the board of an aircraft, from now on."""
    return NotedBoard(
        tail=tail,
        since=now(),
        board=bench.session.identity,
        console=bench.session.grammar.description.name,
        console_hash=bench.console_hash,
    )


def keeper(out: str | None, aircraft: Aircraft | None) -> Records:
    """Where backups go: where the person said, else to the aircraft, else here."""
    return records(out) if out or aircraft is None else backups_of(aircraft)


def record_keeper(
    bench: Bench, aircraft: Aircraft | None, person: Person
) -> BenchRecords:
    """Where bench work is written down: with the aircraft, else here, by its board.

    Raises:
        UsageError: no aircraft is known, and the board does not say which one it is.
    """
    if aircraft is not None:
        return records_of(aircraft, person.tell)
    identity = bench.session.identity
    if identity.grade is not Grade.UNIQUE:
        msg = f"this board says only that it is {identity}"
        raise UsageError(
            msg,
            hint="Only questions were sent. Records are kept by aircraft: say which with"
            " `--aircraft`; `benchlink aircraft TAIL` makes its folder.",
        )
    return bench_records(person, identity)


def own_layers(aircraft: Aircraft) -> Intent:
    """All layers of an aircraft in one.

    Raises:
        FileError: every mistake in them.
    """
    return profiles.load_profile(aircraft.profile)


def under_own_layers(asked: Intent, aircraft: Aircraft, person: Person) -> Intent:
    """A baseline or kit under the more special layers of the aircraft; says so.

    Raises:
        FileError: the aircraft's own layers have mistakes.
    """
    if asked.layer not in {Owner.BASELINE, Owner.KIT}:
        return asked
    over = overlaid(asked, own_layers(aircraft))
    for names, words in (
        (over.replaced, "as its own layers have it"),
        (over.waived, "waived by its own layers"),
        (tuple(over.intent.claimed), "left alone, for its own layers decide it"),
    ):
        if names:
            person.tell(f"{aircraft.tail}: {words}: {listed(names)}")
    return over.intent


def listed(names: Sequence[str]) -> str:
    """Names in one line, the first few of many."""
    more = len(names) - FEW
    shown = ", ".join(names[:FEW])
    return f"{shown} and {more} more" if more > 0 else shown


def _ask_whether_replaced(found: Replaced, person: Person) -> None:
    aircraft = found.aircraft
    person.tell(f"{aircraft} had {aircraft.board}; this is {found.now}.")
    question = f"Does this board sit in {aircraft.tail} from now on?"
    if not person.agrees(question):
        msg = f"nobody said that {aircraft.tail} has another board now"
        raise DeclinedError(
            msg,
            hint="Only questions were sent, nothing was noted. Run it at a terminal and"
            " say yes, or plug in the board that is meant.",
        )
