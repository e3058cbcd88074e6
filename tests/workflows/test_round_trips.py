"""Any intent takes, and the backup taken before it brings the board back exactly."""

from collections.abc import Mapping
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from benchlink.store.backups import intent_from_backup
from benchlink.workflows.apply import apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.compare import compare_board
from benchlink.workflows.planning import prepare
from mocks.quantities import Choice, Fraction, Kind, Row, Switch, Text, Whole
from mocks.settings import Owner, Setting
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, meet_wader, virtual_board, wanting

PRINTABLE = "".join(c for c in map(chr, range(0x20, 0x7F)) if c != ";")
FOLLOWERS = {"pack.cells": ("pack.warn_v", "pack.land_v")}
"""The board moves these itself, so an intent that asks for the first names all."""


def notations(kind: Kind) -> st.SearchStrategy[str]:
    """Values that the board takes as they are, in our own notation."""
    match kind:
        case Whole(low=low, high=high):
            return st.integers(low, high).map(str)
        case Fraction(low=low, high=high, step=step):
            steps = (int(Decimal(end) / Decimal(step)) for end in (low, high))
            return st.integers(*steps).map(lambda n: str(n * Decimal(step)))
        case Switch():
            return st.sampled_from(["on", "off"])
        case Choice(words=words):
            return st.sampled_from(words)
        case Text():
            return st.text(PRINTABLE, max_size=40).map(single_quoted)
        case Row(count=count, low=low, high=high):
            number = st.integers(low, high)
            return st.lists(number, min_size=count, max_size=count).map(str)
        case _:
            raise AssertionError(kind)


def single_quoted(text: str) -> str:
    doubled = text.replace("'", "''")
    return f"'{doubled}'"


def writable() -> dict[str, Setting]:
    every = virtual_board().device.aircraft.settings.values()
    return {s.name: s for s in every if s.owner is not Owner.MAKER}


SETTINGS = writable()


@st.composite
def intents(draw: st.DrawFn) -> dict[str, str]:
    names = draw(st.lists(st.sampled_from(sorted(SETTINGS)), unique=True, min_size=1))
    for first, others in FOLLOWERS.items():
        names += [n for n in others if first in names and n not in names]
    if "filter.notch.centre_hz" in names and "filter.notch.on" not in names:
        names.append("filter.notch.on")
    wanted = {name: draw(notations(SETTINGS[name].kind)) for name in names}
    if "filter.notch.centre_hz" in wanted:
        wanted["filter.notch.on"] = "on"
    return wanted


@settings(max_examples=60, deadline=None)
@given(wanted=intents(), start=intents())
def test_any_intent_takes_and_its_backup_brings_everything_back(
    wanted: Mapping[str, str], start: Mapping[str, str]
) -> None:
    board, person, shelf = virtual_board(), ScriptedPerson(), Shelf()
    session = meet_wader(board)
    apply(
        prepare(session, person, wanting(start)),
        person,
        shelf.shelves,
        STAMP,
        agreed=True,
    )
    kept_before = board.device.aircraft.kept()
    before = back_up(session, person, shelf, STAMP).backup

    intent = wanting(wanted)
    apply(prepare(session, person, intent), person, shelf.shelves, STAMP, agreed=True)
    assert compare_board(session, person, intent).difference.same

    back = intent_from_backup(before, "shelf", same_board=True)
    apply(prepare(session, person, back), person, shelf.shelves, STAMP, agreed=True)
    assert compare_board(session, person, back).difference.same
    assert board.device.aircraft.kept() == kept_before
