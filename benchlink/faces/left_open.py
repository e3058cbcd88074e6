"""What was left unfinished on the board at hand: said first, whatever was asked for."""

from typing import TYPE_CHECKING, Final

from benchlink.core.doors import Person
from benchlink.core.identity import Identity
from benchlink.core.journal import Kind
from benchlink.errors import UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.wiring import Bench, journals, stamp
from benchlink.workflows.finishing import Desk, Found, of_this_board

if TYPE_CHECKING:
    from benchlink.faces.at_board import AtBoard

NOTHING_OPEN: Final = "Nothing is unfinished on this board."


def found_on(identity: Identity, person: Person) -> list[Found]:
    """The unfinished changes of this board, the newest first."""
    return of_this_board(identity, journals(person).unfinished())


def left_open(bench: Bench, person: Person) -> list[Found]:
    """The same, each of them told; a recording that plays the board has none itself."""
    found = found_on(bench.session.identity, person)
    for one in found:
        person.tell(sentence_of(one, recorded=bench.recorded is not None))
    return [] if bench.recorded else found


def note_of(found: list[Found]) -> str:
    """What a backup taken now has to say of them."""
    return "; ".join(f"taken while unfinished: {one.unfinished}" for one in found)


def chosen(at: "AtBoard") -> Found | None:
    """The one to finish or undo: the newest, where several are certain.

    Raises:
        UsageError: several may be of this board, and the board does not say; or it is
            no board but a recording.
    """
    if at.bench.recorded:
        msg = "a recording plays the board: nothing can be finished or undone on it"
        raise UsageError(
            msg,
            hint="Nothing reached a board. Plug in the board itself, and run it there.",
        )
    certain = [one for one in at.found if one.certain]
    if certain or len(at.found) < 2:  # noqa: PLR2004 - one or none
        return next(iter(certain or at.found), None)
    msg = "several unfinished changes may be of this board"
    raise UsageError(
        msg,
        details=tuple(one.unfinished.path for one in at.found),
        hint="Nothing was written. `benchlink unfinished --forget FILE` closes those"
        " that are of other boards.",
    )


def desk(at: "AtBoard", given: Given) -> Desk:
    """What finishing needs beside the board."""
    return Desk(
        records=at.records(given.out),
        journals=journals(at.person),
        stamp=stamp(at.bench, given.note),
        agreed=given.yes,
    )


def sentence_of(found: Found, *, recorded: bool = False) -> str:
    """What was left, and what to do about it; at the board, where it is only `recorded`."""
    one = found.unfinished
    if recorded:
        return (
            "This is a RECORDING, and nothing can be finished or undone on it. The board"
            f" itself was left with something unfinished: {one}."
        )
    maybe = "" if found.certain else ", maybe on this board"
    if one.transaction.kind is Kind.BENCH:
        names = ", ".join(entry.name for entry in one.transaction.planned)
        return (
            f"BENCH SETTING MAY STILL BE SET{maybe}: {names} ({one.transaction.what})."
            " `benchlink undo` puts the old value back."
        )
    return (
        f"UNFINISHED{maybe}: {one}. `benchlink resume` finishes it, `benchlink undo` puts"
        f" the old values back. Before it: {one.transaction.backup}"
    )
