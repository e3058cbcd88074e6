"""The parts of the long fuzz: each would tell if what it watches went wrong."""

from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import Final

import pytest

from benchlink.console.phases import Phase
from benchlink.core.exchange import Verdict
from tests.bench.fuzz_floods import FLOODS, chunks
from tests.bench.fuzz_jobs import Jobs
from tests.bench.fuzz_mutations import LONGEST_CHUNK, mutated, part_of
from tests.bench.fuzz_replay import WrongError, replay
from tests.bench.fuzz_sessions import Says, Step, Subject, recorded, subjects
from tests.bench.fuzz_shrink import shrunk
from tests.bench.fuzz_states import MOVES, VERDICTS, Census, counted, every_state
from tests.bench.fuzz_wire import DamagingWire
from tests.support.virtual_board import VirtualBoard

CONSOLES: Final = {subject.name: subject for subject in subjects(made_up=0)}
WADER: Final = CONSOLES["wader"]


def chance(seed: int = 1) -> Random:
    return Random(seed)  # noqa: S311 - a seeded generator is the point


def said(steps: Sequence[Step]) -> bytes:
    return b"".join(step.data for step in steps if isinstance(step, Says))


@pytest.mark.parametrize("name", CONSOLES)
def test_an_undamaged_session_replays_with_nothing_wrong(name: str) -> None:
    subject, census = CONSOLES[name], Census()
    with counted(census):
        replay(chance(), subject, part_of(chance(), recorded(subject)), census)
    assert census.counts[MOVES, f"{Phase.WAKING.name} PROMPT"]
    assert census.counts[VERDICTS, Verdict.OK.name]


def test_the_same_chances_damage_a_session_alike() -> None:
    steps = part_of(chance(), recorded(WADER))
    once, again = (
        mutated(chance(5), steps, WADER.description, list(steps)) for _ in range(2)
    )
    assert once == again
    assert once != steps
    sizes = {len(step.data) for step in steps if isinstance(step, Says)}
    assert max(sizes) <= LONGEST_CHUNK


def test_the_census_names_what_was_never_reached() -> None:
    census = Census()
    for group, states in every_state().items():
        assert census.missing(group) == sorted(states)
    census.note(VERDICTS, Verdict.AGAIN.name)
    assert Verdict.AGAIN.name not in census.missing(VERDICTS)


def test_a_failing_session_shrinks_to_what_makes_it_fail() -> None:
    steps = part_of(chance(), recorded(WADER))
    whole = [*steps, Says(b"fine, but poison, and so on"), *steps]
    short = shrunk(whole, lambda some: "bad" if b"poison" in said(some) else "")
    assert short == (Says(b"poison"),)


def test_a_wire_without_places_damages_nothing() -> None:
    wire = DamagingWire(chance(), WADER.description, [])
    assert wire(b"all of") + wire(b"it") == b"all ofit"
    assert wire.done == 0


def test_a_wire_damages_where_it_was_told_to() -> None:
    clean = bytes(range(65, 91)) * 20
    wire = DamagingWire(chance(), WADER.description, [100, 300])
    heard = wire(clean[:200]) + wire(clean[200:])
    assert heard[:90] == clean[:90]
    assert heard != clean
    assert wire.done == 2


def test_a_job_over_a_good_wire_holds_what_the_board_holds() -> None:
    jobs = Jobs()
    seeds = [n for n in range(40) if chance(n).choice(range(9)) == 0]
    jobs.run(chance(seeds[0]), WADER, WADER)
    assert jobs.tally.values >= len(WADER.shown(WADER.board()))


def _another(subject: Subject, board: VirtualBoard) -> dict[str, str]:
    """The board's own account, with one value otherwise."""
    del subject
    held = dict(board.device.shown())
    name = next(name for name in held if name.endswith("centre_us"))
    return held | {name: "1234"}


def test_a_false_value_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Subject, "shown", _another)
    with pytest.raises(WrongError, match=r"false: .*centre_us"):
        Jobs().run(chance(), WADER, WADER)


def test_a_board_that_forgets_to_list_is_found_out() -> None:
    good = Jobs()._good(WADER)
    snapshot = good.backup.snapshot
    held = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    fewer = replace(snapshot, settings=dict(list(snapshot.settings.items())[1:]))
    with pytest.raises(WrongError, match="silently missing"):
        Jobs()._hold_against(held, replace(good.backup, snapshot=fewer), good)


@pytest.mark.parametrize("kind", FLOODS)
def test_a_flood_is_as_long_as_it_was_asked_for(kind: str) -> None:
    pieces = list(chunks(kind, 5000))
    assert sum(map(len, pieces)) == 5000
    assert max(map(len, pieces)) <= LONGEST_CHUNK
