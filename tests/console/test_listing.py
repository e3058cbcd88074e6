"""From answers to a snapshot, every line accounted for."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.description import Description
from benchlink.console.listing import Listing
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.settings import Snapshot
from benchlink.core.values import Number, Switch, Text, Unset, Word
from tests.console.talking import FEW, command, console, listed, replied, wader


def said(*lines: str) -> Answer:
    raw = "".join(f"{line}\r\n" for line in lines).encode()
    return Answer(command=command("any"), verdict=Verdict.OK, lines=lines, raw=raw)


def read_of(*lines: str) -> Snapshot:
    return listed(said(*lines))


def counted(*lines: str, count: int | None = None) -> Snapshot:
    told = len(lines) if count is None else count
    return read_of(f"settings: {told}", *lines, f"end of settings: {told}")


def raws(snapshot: Snapshot) -> dict[str, str]:
    return {name: setting.raw for name, setting in snapshot.settings.items()}


def forms(*written: str, more: str = "") -> Description:
    """A console whose only list has these forms."""
    listing = f"[{{list: {{line: all}}, {more} forms: [{', '.join(written)}]}}]"
    return console(settings=listing, verbs="{write: {line: w}, write-free: {line: f}}")


# Whole listings


def test_a_listing_gives_every_setting_with_its_meaning() -> None:
    snapshot = counted("  a.b: 1.50", '! board.type: "wader"', "~ accel.x: yes")
    assert snapshot.complete
    assert [s.value for s in snapshot.settings.values()] == [
        Number(Decimal("1.5")),
        Text("wader"),
        Switch(on=True),
    ]
    assert snapshot.settings["a.b"].raw == "1.50"


def test_a_listing_tells_what_is_read_only_board_owned_and_volatile() -> None:
    settings = counted("  a: 1", "! board.uptime_s: 3.2", "~ accel.x: 4").settings
    marks = {n: (s.writable, s.board_owned, s.volatile) for n, s in settings.items()}
    assert marks == {
        "a": (True, False, False),
        "board.uptime_s": (False, False, True),
        "accel.x": (True, True, False),
    }


def test_a_line_of_no_known_form_is_kept_as_not_understood() -> None:
    snapshot = counted("  a: 1", "radio: link up", "   b: 2", "", count=1)
    assert snapshot.not_understood == ("radio: link up", "   b: 2")


@pytest.mark.parametrize(
    ("first", "last"),
    [("settings: 3", "settings: 2"), ("settings: 2", "settings: 3")],
)
def test_either_count_that_disagrees_is_not_understood(first: str, last: str) -> None:
    snapshot = read_of(first, "  a: 1", "  b: 2", f"end of {last}")
    (strange,) = snapshot.not_understood
    assert "3 (but 2 were listed)" in strange


def test_a_count_of_many_digits_is_a_count_that_disagrees() -> None:
    snapshot = read_of("settings: " + "9" * 5000, "  a: 1")
    assert not snapshot.complete
    assert read_of("settings: 001", "  a: 1").complete


def test_a_listing_that_counts_nothing_is_not_complete() -> None:
    snapshot = read_of("  a: 1")
    assert snapshot.not_understood == ("(no line told the count of these 1 settings)",)


def test_where_no_count_is_declared_none_is_missed() -> None:
    assert listed(said("a=1"), console()).complete


def test_a_second_line_of_one_name_is_not_understood() -> None:
    snapshot = counted("  a: 1", "  a: 2")
    assert snapshot.not_understood == ("  a: 2 (a second a)",)
    assert snapshot.settings["a"].value == Number(Decimal(1))


def test_an_empty_board_is_a_complete_listing_of_nothing() -> None:
    assert counted().complete
    assert not counted(count=3).complete


def test_the_verbatim_listing_is_all_that_came() -> None:
    assert counted("  a: 1").verbatim == (
        b"settings: 1\r\n  a: 1\r\nend of settings: 1\r\n"
    )


@FEW
@given(st.lists(st.text('a:=!~ "1e\\x0\u00e9', max_size=20), max_size=8))
def test_every_line_is_a_setting_or_furniture_or_not_understood(
    lines: list[str],
) -> None:
    snapshot = read_of(*lines)
    told = len(snapshot.settings) + len(snapshot.not_understood)
    assert told >= len([line for line in lines if line.strip()])


# What the description says of names


def test_names_tell_what_is_read_only_and_board_owned_where_no_line_does() -> None:
    described = replace(wader(), read_only=("a",), board_owned=("b.*",))
    settings = listed(said("  a: 1", "  b.c: 1", "  d: 1"), described).settings
    marks = {n: (s.writable, s.board_owned) for n, s in settings.items()}
    assert marks == {"a": (False, False), "b.c": (True, True), "d": (True, False)}


def test_a_second_name_of_a_setting_is_no_setting_but_is_counted() -> None:
    described = replace(wader(), aliases={"tilt.mid": "tilt.centre"})
    snapshot = listed(
        said("settings: 2", "  tilt.mid: 5", "  tilt.centre: 5"), described
    )
    assert snapshot.complete
    assert list(snapshot.settings) == ["tilt.centre"]


def test_a_setting_is_read_in_its_own_spelling() -> None:
    described = console(
        values='{unset: "-", suffix: us}',
        spelling='[{names: ["map.*"], in: list, radix: 16, suffix: ""}]',
    )
    settings = listed(said("a=5us", "b=-", "map.x=1F", "c=5"), described).settings
    assert [s.value for s in settings.values()] == [
        Number(Decimal(5)),
        Unset(),
        Number(Decimal(31)),
        Word("5"),
    ]


# Forms in a listing


def test_the_first_form_that_takes_a_line_has_it() -> None:
    described = forms(
        '{pair: "{name} is free", value: free}', '{pair: "{name} {value}"}'
    )
    assert raws(listed(said("p7 is free", "p8 lamp"), described)) == {
        "p7": "free",
        "p8": "lamp",
    }


def test_headings_name_what_stands_under_them_and_are_no_settings() -> None:
    described = forms(
        '{heading: "{part}:"}', '{pair: "{name} {value}", headed: yes, join: "/"}'
    )
    lines = ("tilt:", "  left:", "    mid 1500", "  bend 5", "craft 1")
    snapshot = listed(said(*lines), described)
    assert snapshot.complete
    assert list(snapshot.settings) == ["tilt/left/mid", "tilt/bend", "craft"]
    assert snapshot.settings["tilt/left/mid"].address["own"] == "mid"


def test_a_block_takes_every_line_up_to_its_end_whatever_it_looks_like() -> None:
    described = forms('{block: "{name} <<", closes: ">>"}', '{pair: "{name}={value}"}')
    snapshot = listed(said("note <<", "a=5", "", ">>", "b=6"), described)
    assert snapshot.complete
    assert raws(snapshot) == {"note": "a=5\n", "b": "6"}


def test_a_block_that_never_ends_is_not_understood() -> None:
    described = forms('{block: "{name} <<", closes: ">>"}')
    snapshot = listed(said("note <<", "a=5"), described)
    assert snapshot.not_understood == ("note (it never ended)",)
    assert snapshot.settings == {}


def test_a_long_line_may_be_cut_into_several() -> None:
    described = forms('{pair: ":{name} {value}"}', more='split: ";",')
    snapshot = listed(said(":A 1;:B 2;;C 3"), described)
    assert raws(snapshot) == {"A": "1", "B": "2"}
    assert snapshot.not_understood == ("C 3",)


def test_marks_in_a_column_tell_who_owns_a_setting() -> None:
    described = forms(
        "{columns: [{is: name, first: 1, last: 3}, {is: value, first: 5, last: 7},"
        ' {is: marks, first: 9}], marks: {w: writable, wc: board-owned, "": read-only}}'
    )
    settings = listed(said("a   1   w", "b   2   wc", "c   3"), described).settings
    marks = {n: (s.writable, s.board_owned) for n, s in settings.items()}
    assert marks == {"a": (True, False), "b": (True, True), "c": (False, False)}


def test_a_setting_remembers_what_writes_it() -> None:
    described = forms(
        '{pair: "{name}={value}", written-by: {free: write-free, "*": write}}'
    )
    described_by = listed(said("p7=free"), described).settings["p7"].written_by
    assert described_by == {"free": "write-free", "*": "write"}


def test_a_row_that_can_only_be_written_whole_belongs_together() -> None:
    described = forms(
        '{row: "{thing} {cells}", cells: letters, whole: "{key}={value}"}'
    )
    settings = listed(said("roll G1 H2", "yaw G3"), described).settings
    together = {n: (s.together, s.cell) for n, s in settings.items()}
    assert together == {
        "roll.G": ("roll", "{key}={value}"),
        "roll.H": ("roll", "{key}={value}"),
        "yaw.G": ("yaw", "{key}={value}"),
    }


# Several answers


def taken(described: Description, *answers: tuple[int, str, Answer]) -> Listing:
    listing = Listing(described)
    for index, asked, answer in answers:
        listing.take(described.sources[index], replied(answer), asked)
    return listing


NAMED = console(
    settings='[{each: [a, b], forms: [{pair: "{value}"}]}]',
    verbs='{read: {line: "get {name}"}}',
)


def test_names_that_are_asked_for_one_by_one_have_bare_answers() -> None:
    listing = taken(NAMED, (0, "a", said("5")), (0, "b", said("up")))
    assert raws(listing.finish()) == {"a": "5", "b": "up"}


def test_a_second_line_to_one_name_is_not_understood() -> None:
    listing = taken(NAMED, (0, "a", said("5", "6")))
    assert listing.finish().not_understood == ("6 (a second a)",)


LIMITED = console(
    settings='[{list: {line: all}, forms: [{pair: "{name}={value}"}]},'
    " {list: {line: limits}, tells: limits, furniture: [{count} rows],"
    ' forms: [{pair: "{name}: {value} {marks}", marks: {r: read-only, c: board-owned,'
    " w: writable}}]}]".replace("[{count} rows]", '["{count} rows"]')
)


def test_a_second_list_tells_only_marks_and_no_values() -> None:
    limits = said("a: 9 r", "b: 9 c", "c: 9 w", "gone: 9 r", "d: 9 x", "5 rows")
    listing = taken(LIMITED, (0, "", said("a=1", "b=2", "c=3", "d=4")), (1, "", limits))
    snapshot = listing.finish()
    assert snapshot.complete
    assert raws(snapshot) == {"a": "1", "b": "2", "c": "3", "d": "4"}
    marks = {n: (s.writable, s.board_owned) for n, s in snapshot.settings.items()}
    assert marks == {
        "a": (False, False),
        "b": (True, True),
        "c": (True, False),
        "d": (True, False),
    }


BANKED = console(
    settings='[{list: {line: all}, banks: {names: ["1", "2"], of: ["gain.*"],'
    ' select: "bank {bank}", shown: ["bank {bank} of 2"], named: "{bank}/{name}"},'
    ' forms: [{pair: "{name}={value}"}]}]',
    volatile="[clock]",
)


def bank(number: int, *lines: str) -> tuple[int, str, Answer]:
    return 0, "", said("craft=LW", *lines, f"bank {number} of 2", f"gain.roll={number}")


def test_what_a_bank_holds_is_named_after_it_and_the_rest_is_shared() -> None:
    listing = taken(BANKED, bank(2), bank(1))
    snapshot = listing.finish()
    assert snapshot.complete
    assert listing.home == "2"
    assert raws(snapshot) == {"craft": "LW", "2/gain.roll": "2", "1/gain.roll": "1"}
    address = snapshot.settings["1/gain.roll"].address
    assert address["name"] == "gain.roll"
    assert (address["bank"], address["home"]) == ("1", "2")
    assert "bank" not in snapshot.settings["craft"].address


def test_a_shared_setting_that_differs_between_banks_is_not_understood() -> None:
    listing = taken(BANKED, bank(1, "x=1", "clock=1"), bank(2, "x=2", "clock=2"))
    assert listing.finish().not_understood == ("x=2 (a second x)",)


def test_a_bank_that_was_never_selected_is_noticed_when_another_comes_twice() -> None:
    listing = taken(BANKED, bank(1), bank(1))
    assert listing.finish().not_understood == ("gain.roll=1 (a second 1/gain.roll)",)


def test_settings_of_a_bank_that_no_line_told_are_not_understood() -> None:
    listing = taken(BANKED, bank(1), (0, "", said("craft=LW", "gain.roll=2")))
    snapshot = listing.finish()
    assert snapshot.not_understood == ("gain.roll=2 (no line told the bank)",)
    assert raws(snapshot) == {"craft": "LW", "1/gain.roll": "1"}
