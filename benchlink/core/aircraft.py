"""Which aircraft a board belongs to; decided by number or by the person's word."""

from collections.abc import Sequence
from dataclasses import dataclass

from benchlink.core.identity import Identity
from benchlink.errors import UsageError, WrongBoardError


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """One aircraft as its folder describes it."""

    tail: str
    """Tail number: the name of its folder."""
    title: str
    board: Identity
    """The board that it has now, as far as anybody said."""
    console: str
    console_hash: str
    """Of the description that was approved when its board was noted."""
    profile: str
    """File of its own layer, which uses all the others."""
    folder: str

    def __str__(self) -> str:
        return f"{self.tail}, {self.title}" if self.title else self.tail


@dataclass(frozen=True, slots=True, kw_only=True)
class Replaced:
    """The person named an aircraft, and its folder knows another board."""

    aircraft: Aircraft
    now: Identity


def owner_of_board(
    identity: Identity, fleet: Sequence[Aircraft], tail: str = ""
) -> Aircraft | Replaced | None:
    """The aircraft that a board belongs to; None when nobody has said so.

    Without `tail` only a board that is one of a kind is recognised. With it, another
    board than the folder knows is a question to the person, never an answer.

    Raises:
        UsageError: there is no such aircraft, or two claim this board.
        WrongBoardError: the board belongs to another aircraft than the one named.
    """
    claiming = [a for a in fleet if _same_for_sure(a.board, identity)]
    if not tail:
        return _only(claiming, identity)
    named = aircraft_named(tail, fleet)
    if any(a.tail != tail for a in claiming):
        others = " and ".join(a.tail for a in claiming if a.tail != tail)
        msg = f"this board ({identity}) belongs to {others}, not to {tail}"
        raise WrongBoardError(
            msg,
            hint="Only questions were sent. Plug in the right board, or name the right"
            " aircraft.",
        )
    if named.board.same_board(identity):
        return named
    return Replaced(aircraft=named, now=identity)


def aircraft_named(tail: str, fleet: Sequence[Aircraft]) -> Aircraft:
    """The aircraft with that tail number, whatever board is at hand.

    Raises:
        UsageError: there is none.
    """
    named = next((a for a in fleet if a.tail == tail), None)
    if named is None:
        known = ", ".join(a.tail for a in fleet) or "none"
        msg = f"there is no aircraft {tail!r}"
        raise UsageError(
            msg,
            hint=f"Known are: {known}. `benchlink aircraft {tail}` makes its folder.",
        )
    return named


def _same_for_sure(one: Identity, other: Identity) -> bool:
    return other.surely_same(one)


def _only(claiming: Sequence[Aircraft], identity: Identity) -> Aircraft | None:
    if len(claiming) > 1:
        msg = f"more than one aircraft claims this board ({identity})"
        raise UsageError(
            msg,
            details=tuple(f"{a.tail}: {a.folder}" for a in claiming),
            hint="Only questions were sent. A board sits in one aircraft: mend the"
            " folder of the other.",
        )
    return claiming[0] if claiming else None
