"""A drafted baseline as a file: readable, proven, never over another file."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlink.core.difference import State, compare
from benchlink.core.drafting import Hints, draft
from benchlink.core.identity import Identity
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Number, Series, Switch, Text, Unset, Value, Word
from benchlink.errors import FileError
from benchlink.store.first_baseline import Heading, render, write
from benchlink.store.profiles import load_profile

HEADING = Heading(
    title="Marsh baseline",
    identity=Identity(board_type="wader", firmware="1.4.2", number="A1"),
    drawn_from="LW-01",
    aircraft_type="twin-motor tilt-rotor",
)


def snapshot(values: dict[str, Value], *, board_owned: str = "") -> Snapshot:
    return Snapshot(
        settings={
            n: Setting(name=n, value=v, raw=str(v), board_owned=n == board_owned)
            for n, v in values.items()
        }
    )


FLOWN = snapshot(
    {
        "pack.cells": Number(Decimal(6)),
        "pack.note": Text("long, for the marsh"),
        "tilt.left.centre_us": Number(Decimal(1487)),
        "accel.x": Number(Decimal("-0.5")),
    },
    board_owned="accel.x",
)
FRESH = snapshot({"pack.cells": Number(Decimal(4)), "pack.note": Text("")})


def test_a_draft_asks_for_its_reasons() -> None:
    drafted = draft(FLOWN, FRESH, Hints(fitted_names=("tilt.*.centre_us",)))
    assert render(drafted, HEADING) == (
        "benchlink-profile: 1\n"
        'title: "Marsh baseline"\n'
        "layer: baseline\n"
        'aircraft-type: "twin-motor tilt-rotor"\n'
        "fits: {boards: [wader], firmware: [1.4.2]}\n"
        "\n"
        "# Drawn from wader, firmware 1.4.2, number A1 (LW-01):\n"
        "# whatever is not as its maker delivered it. Strike what is an accident of\n"
        "# that one aircraft, and write down why the rest is as it is.\n"
        "\n"
        "belongs-to-aircraft:\n"
        '  - "tilt.*.centre_us"\n'
        "    # tilt.left.centre_us: 1487\n"
        "\n"
        "belongs-to-board:\n"
        '  - "accel.*"\n'
        "    # accel.x: -0.5\n"
        "\n"
        "settings:\n"
        "  # pack\n"
        '  pack.cells: {value: 6, group: pack, reason: ""}  # made as 4: why?\n'
        '  pack.note: {value: "long, for the marsh", group: pack, reason: ""}'
        '  # made as "": why?\n'
    )


def test_a_draft_is_written_once(tmp_path: Path) -> None:
    path = tmp_path / "marsh.yaml"
    drafted = draft(FLOWN, FRESH, Hints())
    write(path, drafted, HEADING, FLOWN)
    before = path.read_bytes()
    assert load_profile(str(path)).title == "Marsh baseline"
    with pytest.raises(FileError, match="is there already"):
        write(path, drafted, HEADING, FLOWN)
    assert path.read_bytes() == before


def test_a_board_that_is_as_made_gives_an_empty_draft(tmp_path: Path) -> None:
    path = tmp_path / "marsh.yaml"
    write(path, draft(FRESH, FRESH, Hints()), HEADING, FRESH)
    assert load_profile(str(path)).wanted == {}


def test_what_no_profile_can_ask_for_is_a_comment(tmp_path: Path) -> None:
    odd = snapshot({"log.mode": Word(""), "pack.cells": Number(Decimal(6))})
    path = tmp_path / "marsh.yaml"
    write(path, draft(odd, FRESH, Hints()), HEADING, odd)
    assert "# No profile can ask for these:\n#   log.mode: \n" in path.read_text()
    assert set(load_profile(str(path)).wanted) == {"pack.cells"}


def test_what_a_kit_decides_is_a_comment(tmp_path: Path) -> None:
    path = tmp_path / "marsh.yaml"
    hints = Hints(kit_names=frozenset({"pack.cells"}))
    write(path, draft(FLOWN, FRESH, hints), HEADING, FLOWN)
    assert path.read_text().endswith("\n# A kit decides these:\n#   pack.cells: 6\n")
    assert "pack.cells" not in load_profile(str(path)).wanted


WORDS = st.text(st.characters(codec="utf-8"), max_size=6)
VALUES: st.SearchStrategy[Value] = st.recursive(
    st.one_of(
        st.decimals(allow_nan=False, allow_infinity=False, places=2).map(Number),
        st.booleans().map(Switch),
        WORDS.map(Text),
        st.sampled_from(["on", "unset", "010", "8:30", "a b", "~", "{x"]).map(Word),
        st.just(Unset()),
    ),
    lambda parts: st.lists(parts, max_size=3).map(lambda v: Series(tuple(v))),
    max_leaves=3,
)
NAMES = st.text(st.characters(codec="utf-8"), min_size=1, max_size=6)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.dictionaries(NAMES, VALUES, max_size=4), st.lists(NAMES, max_size=2))
def test_whatever_a_board_holds_its_draft_differs_in_nothing(
    tmp_path_factory: pytest.TempPathFactory,
    values: dict[str, Value],
    fitted: list[str],
) -> None:
    flown = snapshot(values)
    path = tmp_path_factory.mktemp("draft") / "any.yaml"
    hints = Hints(
        fitted_names=tuple(n.replace("[", "?") for n in fitted if n.isprintable())
    )
    write(path, draft(flown, snapshot({}), hints), HEADING, flown)
    difference = compare(flown, load_profile(str(path)))
    assert difference.same
    assert difference.counts[State.DIFFERS] == 0
