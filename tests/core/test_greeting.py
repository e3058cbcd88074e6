"""The sentence that is said first at a board."""

from dataclasses import replace
from datetime import date

from benchlink.core.greeting import Greeted, day, greeting
from benchlink.core.job_facts import OnPaper
from benchlink.core.job_standing import standings
from benchlink.core.journal import Entry, Kind, Story, Transaction, Unfinished
from benchlink.core.values import Switch
from tests.support.bench_records import NOON, WADER
from tests.support.job_bench import ALL_DONE, BOARD, COPY, paper

TODAY = date(2026, 6, 1)


def unfinished(kind: Kind, *names: str) -> Unfinished:
    entries = {
        name: Entry(name=name, old=Switch(on=True), new=Switch(on=False), planned=True)
        for name in names
    }
    transaction = Transaction(
        kind=kind,
        opened_at=NOON,
        what="centring",
        identity=WADER,
        console="wader",
        console_hash="",
        port="/dev/ttyACM0",
        backup="",
        entries=entries,
    )
    return Unfinished(transaction=transaction, story=Story(), path="x")


def said(on_paper: OnPaper, *left: Unfinished, steps: OnPaper | None = None) -> str:
    return greeting(
        Greeted(
            name="LW-03",
            paper=on_paper,
            unfinished=left,
            steps=standings(steps or paper(), BOARD),
            today=TODAY,
        )
    )


def test_a_board_as_it_was_signed_with_nothing_left() -> None:
    assert said(paper(signed=COPY)) == "LW-03, as signed on 1 March; no step open."


def test_everything_at_once_in_one_sentence() -> None:
    off = ("level.self_levelling", "tilt.left.centre_us", "craft.call")
    assert said(
        paper(signed=replace(COPY, off=off)),
        unfinished(Kind.BENCH, "level.self_levelling"),
        unfinished(Kind.CHANGE, "pack.cells"),
        steps=paper(ALL_DONE[1:]),
    ) == (
        "LW-03, as signed on 1 March, except 2 values; 1 bench setting not put back;"
        " 1 change unfinished; 1 step open."
    )


def test_without_a_signature_the_latest_copy_is_what_it_is_held_against() -> None:
    last_year = replace(COPY, taken_at=NOON.replace(year=2025), off=("craft.call",))
    assert said(paper(copy=last_year)) == (
        "LW-03, as backed up on 1 March 2025, except 1 value; no step open."
    )


def test_a_board_that_nobody_kept_says_so() -> None:
    bare = OnPaper()
    assert said(bare, steps=bare).startswith("LW-03, never backed up here; 17 steps")


def test_a_day_has_its_year_only_where_it_is_another_one() -> None:
    assert day(date(2026, 12, 31), TODAY) == "31 December"
    assert day(date(2027, 1, 1), TODAY) == "1 January 2027"
