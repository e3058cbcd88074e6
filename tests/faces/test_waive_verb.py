"""A difference accepted on paper, and taken back, at the command line and on a page."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import Workshop, aircraft, clean

RATE: Final = "tilt.left.rate_hz"
WHY: Final = "the old servo is in until Friday"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """A workshop with one aircraft in it; its board is put away again."""
    workshop = Workshop(tmp_path_factory.mktemp("marsh"))
    with aircraft(workshop):
        refused = workshop.run("waive", RATE, WHY)
        assert refused.code == 2
        assert "nobody has said which aircraft" in refused.err
        assert "benchlink aircraft TAIL --uses PROFILE" in refused.err
        words = ("LW-03", "--title", "Lapwing 3", "--uses", "kit-estuary-16")
        assert workshop.run("aircraft", *words).code == 0
    (workshop.simulated / "x.json").unlink(missing_ok=True)
    return workshop


@pytest.fixture
def workshop(made: Workshop) -> Iterator[Workshop]:
    """The same for each test, its file put back as it was made."""
    before = own(made)
    yield made
    file(made).write_bytes(before)


def file(workshop: Workshop) -> Path:
    return workshop.folder / "aircraft/LW-03/fitted.yaml"


def own(workshop: Workshop) -> bytes:
    return file(workshop).read_bytes()


def test_a_board_at_hand_tells_whose_it_is_and_counts_it_from_then_on(
    workshop: Workshop,
) -> None:
    before = own(workshop)
    with aircraft(workshop) as craft:
        assert workshop.run("apply", "--leave", RATE, "--yes").code == 0
        assert workshop.run("compare").code == 1
        held = craft.order("kept")
        done = workshop.run("waive", RATE, WHY)
        assert (done.code, craft.order("kept")) == (0, held)
        assert f"waived    {RATE}: {WHY}\n" in done.out
        assert own(workshop) == before + f'waivers:\n  {RATE}: "{WHY}"\n'.encode()
        compared = workshop.run("compare")
        assert compared.code == 0
        assert f"{RATE}  50 -> 100  {WHY}" in compared.out
        assert "Nothing to do" in workshop.run("apply", "--yes").out
        named = workshop.run("apply", "lapwing", "--plan-only")
        assert f"LW-03: waived by its own layers: {RATE}" in named.err
        lifted = workshop.run("waive", RATE, "--lift")
        assert lifted.code == 0
        assert f"lifted    {RATE}, which was waived: {WHY}" in lifted.out
        assert own(workshop) == before
        assert workshop.run("compare").code == 1


def test_on_paper_alone_no_board_is_needed(workshop: Workshop) -> None:
    before = own(workshop)
    done = workshop.run("waive", RATE, WHY, "--aircraft", "LW-03")
    assert (done.code, done.err) == (0, "")
    assert done.out == (
        f"waived    {RATE}: {WHY}\nfile      aircraft/LW-03/fitted.yaml\n"
    )
    again = workshop.run("waive", RATE, "until\x1b[2J May", "--aircraft", "LW-03")
    assert again.code == 0
    assert clean(again.out)
    assert f"before    {WHY}" in again.out
    assert b'"until\\x1B[2J May"' in own(workshop)
    assert workshop.run("waive", RATE, "--lift", "--aircraft", "LW-03").code == 0
    assert own(workshop) == before


def test_a_reason_is_asked_for_at_a_terminal(workshop: Workshop) -> None:
    words = ("waive", RATE, "--aircraft", "LW-03")
    asks = "Why is it accepted"
    code, said = workshop.at_terminal(*words, answers={asks: WHY})
    assert code == 0, said
    assert "is the kit's to decide, because: these servos take it" in said
    assert WHY.encode() in own(workshop)
    before = own(workshop)
    code, said = workshop.at_terminal(*words, answers={asks: "  "})
    assert code == 2
    assert "a waiver needs a reason" in said
    assert own(workshop) == before


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ((RATE, " "), "a waiver needs a reason"),
        ((RATE,), "a waiver needs a reason"),
        ((RATE, WHY, "--lift"), "takes no reason"),
        ((RATE, "--lift"), f"waives no '{RATE}'"),
        (("tilt.left.rat_hz", WHY), f"is {RATE} meant?"),
        (("steady.pitch.gin", WHY), "nothing to waive"),
        ((RATE, "\udc80"), "not whole text"),
    ],
)
def test_what_is_refused_leaves_every_byte(
    workshop: Workshop, words: tuple[str, ...], why: str
) -> None:
    before = own(workshop)
    done = workshop.run("waive", *words, "--aircraft", "LW-03")
    assert done.code == 2
    assert why in done.err
    assert "Nothing was written" in done.err
    assert own(workshop) == before


def test_an_unknown_tail_and_no_board_at_all_say_what_to_do(
    workshop: Workshop,
) -> None:
    unknown = workshop.run("waive", RATE, WHY, "--aircraft", "LW-09")
    assert unknown.code == 2
    assert "`benchlink aircraft LW-09` makes its folder" in unknown.err
    missing = workshop.run("waive", RATE, WHY)
    assert missing.code == 2
    assert "With `--aircraft TAIL` a waiver needs no board." in missing.err


def test_a_lifted_waiver_that_stands_below_as_well_stays(workshop: Workshop) -> None:
    below = workshop.folder / "mine.yaml"
    below.write_text(
        "benchlink-profile: 1\ntitle: M\nlayer: kit\nuses: [kit-estuary-16]\n"
        f"waivers: {{{RATE}: all of them}}\n"
    )
    text = own(workshop).replace(b"[kit-estuary-16]", b"[../../mine.yaml]")
    file(workshop).write_bytes(text + f"waivers: {{{RATE}: mine}}\n".encode())
    done = workshop.run("waive", RATE, "--lift", "--aircraft", "LW-03")
    assert done.code == 0
    assert "mine.yaml:5:11: all of them" in done.err
    below.write_text("benchlink-profile: 1\n")
    file(workshop).write_bytes(text + f"waivers: {{{RATE}: mine}}\n".encode())
    done = workshop.run("waive", RATE, "--lift", "--aircraft", "LW-03")
    assert done.code == 0
    assert "has 3 mistakes" in done.err
    assert own(workshop) == text + b"waivers: {}\n"
