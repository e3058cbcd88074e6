"""One waiver written into a profile's text or taken back; all else stays as typed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.document import Scalar
from benchlink.errors import FileError
from benchlink.store.entry_nodes import entry_of, table_of
from benchlink.store.layer import VERSION_KEY
from benchlink.store.strict_yaml import load
from benchlink.store.waiver_edit import with_waiver, without_waiver

HEAD = f"{VERSION_KEY}: 1\ntitle: T\nlayer: fitted  # for now\n"
TEXT = (
    HEAD
    + """
waivers:   # talked over in March
  # the card is slow
  log.rate: bench logger  # until May
  "tilt.left.rate": >
    an old servo,
    soon gone

  radio.name: the
    other one
settings:
  a: 1
"""
)
BLOCK = '  "tilt.left.rate": >\n    an old servo,\n    soon gone\n'


def reason_of(text: str, name: str) -> str | None:
    entry = entry_of(table_of(load(text, "f"), "waivers"), name)
    return entry.value.text if entry and isinstance(entry.value, Scalar) else None


def test_a_waiver_stands_with_its_family_after_a_block_of_text() -> None:
    after = with_waiver(TEXT, "tilt.right.rate", "the same")
    old = "    soon gone\n"
    assert after == TEXT.replace(old, old + '  tilt.right.rate: "the same"\n')


def test_a_waiver_without_family_stands_last() -> None:
    after = with_waiver(TEXT, "pack.cells", "3S this week")
    old = "    other one\n"
    assert after == TEXT.replace(old, old + '  pack.cells: "3S this week"\n')


def test_another_reason_takes_the_place_of_the_old_one_beside_its_comment() -> None:
    after = with_waiver(TEXT, "log.rate", "card: new")
    assert after == TEXT.replace("bench logger", '"card: new"')


@pytest.mark.parametrize(
    ("text", "after"),
    [
        (HEAD, HEAD + 'waivers:\n  a.b: "why"\n'),
        (HEAD.rstrip("\n"), HEAD + 'waivers:\n  a.b: "why"'),
        (HEAD + "# end\n\n", HEAD + '# end\nwaivers:\n  a.b: "why"\n\n'),
        (HEAD + "waivers: {}  # none\n", HEAD + 'waivers: {a.b: "why"}  # none\n'),
        (HEAD + "waivers: {c: d}\n", HEAD + 'waivers: {c: d, a.b: "why"}\n'),
        (
            HEAD + "waivers: {\n  c: d,  # e\n  f: g  # h\n}\n",
            HEAD + 'waivers: {\n  c: d,  # e\n  f: g, a.b: "why"  # h\n}\n',
        ),
        (
            f"{{{VERSION_KEY}: 1, title: T, layer: kit}}\n",
            f'{{{VERSION_KEY}: 1, title: T, layer: kit, waivers: {{a.b: "why"}}}}\n',
        ),
    ],
)
def test_waivers_begin_in_any_form_and_go_again(text: str, after: str) -> None:
    assert with_waiver(text, "a.b", "why") == after
    lifted = without_waiver(after, "a.b")
    if "waivers" in text or not text.startswith("{"):
        assert lifted == text
    assert reason_of(lifted, "a.b") is None


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("log.rate", "log.rate: bench logger  # until May", "# until May"),
        ("tilt.left.rate", BLOCK, ""),
        ("radio.name", "  radio.name: the\n    other one\n", ""),
    ],
)
def test_a_lifted_waiver_leaves_every_comment(name: str, old: str, new: str) -> None:
    after = without_waiver(TEXT, name)
    assert after == TEXT.replace(old, new)
    assert after.count("#") == TEXT.count("#")


@pytest.mark.parametrize(
    ("waivers", "after"),
    [
        ("waivers:\n  a: b\n", ""),
        ("waivers:\n  a: b", ""),
        ("waivers:  # why\n  a: b\n", "waivers: {}  # why\n"),
        ("waivers:\n  # why\n  a: b\n", "waivers: {}\n  # why\n"),
        ("waivers:\n  a: b\n  # why\n", "waivers: {}\n  # why\n"),
        ("waivers:\n  a: b  # why\n", "waivers: {}\n  # why\n"),
        ("waivers:\n  a: b\n# end\n", "# end\n"),
        ("waivers: {a: b}\n", "waivers: {}\n"),
        ("waivers: {a: b, c: d}\n", "waivers: {c: d}\n"),
        ("waivers: {c: d, a: b}  # why\n", "waivers: {c: d}  # why\n"),
        ("waivers: {c: d, a: b, e: f}\n", "waivers: {c: d, e: f}\n"),
    ],
)
def test_the_last_waiver_takes_its_table_along_unless_comments_need_it(
    waivers: str, after: str
) -> None:
    lifted = without_waiver(HEAD + waivers, "a")
    assert lifted.rstrip("\n") == (HEAD + after).rstrip("\n")


def test_windows_line_ends_and_a_byte_order_mark_stay() -> None:
    text = "\ufeff" + TEXT.replace("\n", "\r\n")

    after = with_waiver(text, "log.card", "slow")
    assert after == "\ufeff" + with_waiver(TEXT, "log.card", "slow").replace(
        "\n", "\r\n"
    )
    assert without_waiver(after, "log.card") == text


def test_nothing_to_lift_leaves_the_text_as_it_is() -> None:
    assert without_waiver(TEXT, "pack.cells") == TEXT


@pytest.mark.parametrize(
    ("text", "name", "reason", "words"),
    [
        (HEAD + "colour: red\n", "a", "x", "has 1 mistake"),
        (HEAD, "a", " ", "has 1 mistake"),
        (HEAD, "a\nb", "x", "has 1 mistake"),
        (HEAD, "a", "\udc80", "not whole text"),
        (HEAD + "...\n", "a", "x", "without touching more"),
        (HEAD + "waivers:\n  a: |\n    y\n", "a", "x", "block of text"),
        (HEAD + "waivers:\n  a:  # y\n    z\n", "a", "x", "comments inside"),
    ],
)
def test_what_cannot_be_written_cleanly_is_refused(
    text: str, name: str, reason: str, words: str
) -> None:
    with pytest.raises(FileError, match=words):
        with_waiver(text, name, reason)


@pytest.mark.parametrize(
    ("waivers", "words"),
    [
        ("waivers:\n  a:  # y\n    z\n  b: c\n", "comments inside"),
        ("waivers: {b: c,  # y\n  a: z}\n", "comments inside"),
        ("waivers: {a: z,  # y\n  b: c}\n", "comments inside"),
        ("waivers:\n  ? a\n  : z\n  b: c\n", "without touching more"),
        ("waivers: {a: z, }\n", "without touching more"),
    ],
)
def test_what_cannot_be_taken_out_alone_is_refused(waivers: str, words: str) -> None:
    with pytest.raises(FileError, match=words):
        without_waiver(HEAD + waivers, "a")


@given(
    st.sampled_from([TEXT, HEAD, HEAD + "waivers: {c: d}\n", "\ufeff" + HEAD]),
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1),
)
def test_any_reason_reads_back_and_can_be_lifted(text: str, reason: str) -> None:
    if not reason.strip():
        return
    after = with_waiver(text, "rail.warn", reason)
    assert reason_of(after, "rail.warn") == reason
    assert without_waiver(after, "rail.warn") == text
