"""A change tells how far it has come: counted on the wire, read-back and restart too."""

from itertools import groupby, pairwise

from benchlink.core.advance import Advance
from benchlink.core.exchange import Command
from benchlink.core.utterance import Utterance
from benchlink.units import Seconds
from benchlink.workflows.apply import apply
from benchlink.workflows.listings import Heard, Listings
from benchlink.workflows.planning import prepare
from benchlink.workflows.waited import Waited
from benchlink.workflows.written_so_far import Written
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    STAMP,
    meet_wader,
    virtual_board,
    wader,
    wanting,
    words_sent,
)

CALM = {"pack.capacity_mah": "1800", "craft.tail_number": '"LW-05"', "steady.on": "off"}


def told(*, settings: dict[str, str]) -> tuple[list[Advance], list[str]]:
    """What a whole change tells, and the lines that it wrote."""
    board, person = virtual_board(), ScriptedPerson()
    prepared = prepare(meet_wader(board), person, wanting(settings))
    apply(prepared, person, Shelf().shelves, STAMP, agreed=True)
    return person.advances, words_sent(board, "let")


def test_each_step_of_a_change_is_told_in_its_order() -> None:
    advances, _ = told(settings=CALM)
    steps = [what for what, _ in groupby(advances, key=lambda told: told.what)]
    begin = steps.index("writing")
    assert steps[begin:] == [
        "writing",
        "reading back",
        "restarting the board",
        "reading after the restart",
    ]


def test_a_writing_counts_every_setting_and_every_byte_to_the_last_one() -> None:
    advances, lines = told(settings=CALM)
    writing = [advance for advance in advances if advance.what == "writing"]
    settings = [advance.settings for advance in writing if advance.settings]
    sizes = [advance.size for advance in writing if advance.size]
    assert (settings[-1].done, settings[-1].total) == (3, 3)
    end = len(wader().manner.line_end.value)
    wire = sum(len(line) + end for line in lines)
    assert (sizes[-1].done, sizes[-1].total, sizes[-1].about) == (wire, wire, False)
    assert sizes[0].done < wire
    assert all(one.done <= other.done for one, other in pairwise(sizes))


def test_a_read_back_knows_its_end_from_the_reading_before() -> None:
    advances, _ = told(settings=CALM)
    first, back = (
        [told.size for told in advances if told.what == what and told.size]
        for what in (advances[0].what, "reading back")
    )
    assert first[0].total is None
    assert {size.total for size in back} == {first[-1].done}
    assert all(size.about for size in back)


def test_a_restart_is_waited_for_no_longer_than_it_says() -> None:
    advances, _ = told(settings=CALM)
    waits = [told.wait for told in advances if told.wait]
    assert {wait.at_most for wait in waits} == {wader().manner.back_within}
    assert all(0.0 <= wait.so_far <= wait.at_most for wait in waits)
    assert waits[-1].so_far > waits[0].so_far


def test_a_wait_that_is_made_longer_says_so_and_never_goes_back() -> None:
    person = ScriptedPerson()
    waited = Waited(person, "restarting the board")
    for left in (20.0, 1.0, 40.0, 39.0):
        waited(Seconds(left))
    waits = [advance.wait for advance in person.advances if advance.wait]
    assert [wait.so_far for wait in waits] == [0.0, 19.0, 19.0, 20.0]
    assert [wait.at_most for wait in waits] == [20.0, 20.0, 59.0, 59.0]


def test_a_setting_of_several_lines_counts_with_its_last_one() -> None:
    two = Utterance(
        commands=(
            Command(line="ab", answer_within=Seconds(1.0)),
            Command(line="c", answer_within=Seconds(1.0)),
        ),
        names=("x",),
    )
    one = Utterance(
        commands=(Command(line="defg", answer_within=Seconds(1.0)),), names=("y", "z")
    )
    written = Written([two, one], wader().manner)
    end = len(wader().manner.line_end.value)
    seen = [written.after(answered) for answered in range(4)]
    assert [told.settings.done for told in seen if told.settings] == [0, 0, 1, 3]
    assert [told.size.done for told in seen if told.size] == [
        0,
        2 + end,
        3 + 2 * end,
        7 + 3 * end,
    ]


def test_a_reading_in_several_questions_adds_up() -> None:
    person, listings = ScriptedPerson(), Listings()
    heard = Heard(listings, person, "reading", 2)
    for received in (100, 60):
        heard.next()(received, 1)
    heard.note()
    assert [told.size.done for told in person.advances if told.size] == [100, 160]
    assert listings.last_bytes == 80
