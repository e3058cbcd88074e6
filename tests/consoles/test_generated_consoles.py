"""Forty made-up consoles, each described from its neutral data, through a whole job."""

from collections import Counter

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.difference import State, compare
from benchlink.core.settings import Snapshot
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet
from mocks.generated_plan import Writing
from mocks.options import ConsoleKind, Options
from tests.consoles.consoles import carry_out
from tests.consoles.generated import data_of, described, text_of
from tests.consoles.trials import held_against, trial
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import wanting
from tests.support.virtual_board import VirtualBoard

SEEDS = range(40)
PACED = (5, 21, 42, 44, 53, 56)
"""Log lines, folded echo, and no echo: what comes on a slow wire crosses."""
WRITTEN_TOGETHER = (60, 117, 148, 162, 169, 64, 74)
"""Statements of several lines, in part and whole, and all letters of a thing."""

CROSSED = (6, 26, 36, 43, 48, 64)
"""Echoes drawn anew with each character, prompts said again while a command is on its
way, and lines that take longer than the quiet which ends an answer."""


@pytest.mark.parametrize("seed", SEEDS)
def test_a_made_up_console_is_read_changed_and_restored_exactly(seed: int) -> None:
    result = trial(seed)
    assert result.good, result
    assert result.settings >= 60
    assert result.changed >= 8


@pytest.mark.parametrize("seed", WRITTEN_TOGETHER)
def test_settings_of_one_thing_are_written_together(seed: int) -> None:
    result = trial(seed, baud=115_200 if seed % 2 else 0)
    assert result.good, result


def test_each_way_of_writing_is_among_them() -> None:
    ways = {data_of(seed)["writing"]["kind"] for seed in WRITTEN_TOGETHER}
    assert ways == {way.value for way in Writing if way is not Writing.ONE_LINE}


@pytest.mark.parametrize("seed", PACED)
def test_the_same_on_a_slow_wire(seed: int) -> None:
    result = trial(seed, baud=115_200)
    assert result.good, result


@pytest.mark.parametrize("seed", CROSSED)
def test_the_same_on_a_wire_slower_than_their_patience(seed: int) -> None:
    result = trial(seed, baud=9600)
    assert result.good, result


@pytest.mark.parametrize("seed", [2, 7, 11, 20, 31, 58])
def test_the_same_byte_by_byte_and_with_a_pager(seed: int) -> None:
    result = trial(seed, piece_bytes=1, pages=True)
    assert result.good, result


def test_the_forty_differ_in_what_matters() -> None:
    traits = Counter(trait for n in SEEDS for trait in _choices(n))
    assert len(traits) >= 30


def _choices(seed: int) -> list[str]:
    data = data_of(seed)
    parts = ("framing", "echo", "read_answer", "success", "refusal", "persistence")
    choices = [f"{part} {data[part]['kind']}" for part in parts]
    shape, chatter = data["listing"]["shape"], data["chatter"]["kind"]
    return [*choices, f"list {shape}", f"says {chatter}", data["trust"]]


def test_a_value_read_otherwise_is_counted_as_false() -> None:
    whole, snapshot = {"a": "1", "b": "2", "c": "3"}, _snapshot(3)
    shown = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    name, other = list(shown)[:2]
    del shown[other]
    false, missing = held_against(snapshot, shown | {name: "otherwise"} | whole)
    assert {text.partition(":")[0] for text in false} == {name, other}
    assert missing == tuple(whole)


def _snapshot(seed: int) -> Snapshot:
    board = VirtualBoard(
        described(seed), Options(console=ConsoleKind.GENERATED, seed=seed)
    )
    return read_settled(meet(board, Grammar(described(seed))), ScriptedPerson())


def test_a_group_that_is_never_kept_is_told_and_not_called_proven() -> None:
    (seed, group) = next(
        (n, group)
        for n in SEEDS
        if (group := data_of(n)["persistence"]["never_kept_group"]) == "pack"
    )
    board = VirtualBoard(
        described(seed), Options(console=ConsoleKind.GENERATED, seed=seed)
    )
    person, data = ScriptedPerson(), data_of(seed)
    (name,) = (
        s["name"] for s in data["settings"] if s["meaning"] == "pack.capacity_mah"
    )
    (other,) = (
        s["name"] for s in data["settings"] if s["meaning"] == "tilt.left.aft_us"
    )
    session = meet(board, Grammar(described(seed)))
    applied = carry_out(session, {name: "1800", other: "340"}, person)
    assert any(told.startswith("This board forgets") for told in person.told)
    assert str(applied.after.settings[name].value) == "1550"
    assert applied.lost == (name,)
    found = compare(applied.after, wanting({name: "1800", other: "340"}))
    assert found.counts[State.NEVER_KEPT] == 1
    assert found.same
    assert group == "pack"


def test_the_text_is_that_of_any_description() -> None:
    text = text_of(data_of(0))
    assert text.startswith('"benchlink-console": "1"\n')
    assert text == text_of(data_of(0))
