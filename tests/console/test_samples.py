"""One line that would be written for each form and spelling."""

import pytest

from benchlink.console.explaining import explain
from benchlink.console.grammar import Grammar
from benchlink.console.samples import made_up
from tests.console.talking import console

VERBS = '{write: {line: "let {name} be {value}"}, write-row: {line: "{thing} {key} {value}"}}'
SETTINGS = (
    "[{list: {line: all}, forms: ["
    '{pair: "{name} = {value}"}, {row: "{thing}: {cells}", written-by: write-row}]}]'
)
SCALED = '[{names: ["sag*"], kind: number, scale: "0.1"}]'
REVERSED = (
    '[{names: ["sag*"], kind: number, scale: "0.1", in: [list]},'
    ' {names: ["sag*"], kind: number, scale: "10", in: [write]}]'
)


def lines(spelling: str) -> list[str]:
    described = console(verbs=VERBS, settings=SETTINGS, spelling=spelling)
    return [line for trip in made_up(Grammar(described)) for line in trip.lines]


@pytest.mark.parametrize(
    ("spelling", "written"),
    [(SCALED, "let sag1 be 125"), (REVERSED, "let sag1 be 1.25")],
)
def test_a_scale_that_stands_upside_down_shows(spelling: str, written: str) -> None:
    assert lines(spelling) == ["let reed.height be 12.5", written, "reed height 12.5"]


def test_a_listing_gives_one_sample_of_each_kind() -> None:
    described = console(verbs=VERBS, settings=SETTINGS, spelling=SCALED)
    text = b"a = 1\nb = 2\nsag1 = 215\nsag2 = 9\nc = up\ntilt: mid 4 aft 5\n"
    samples = explain(described, text, bare=True).samples
    assert [trip.lines for trip in samples] == [
        ("let a be 1",),
        ("let sag1 be 215",),
        ("let c be up",),
        ("tilt mid 4",),
    ]


def test_what_cannot_be_written_is_no_sample() -> None:
    described = console(
        verbs=VERBS, settings=SETTINGS, read_only="[reed.height]", spelling="[]"
    )
    assert [t.setting.name for t in made_up(Grammar(described))] == []
