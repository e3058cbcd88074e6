"""One setting changed in a profile's text; everything else stays as typed."""

import difflib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.document import Items, Scalar, Table
from benchlink.errors import FileError
from benchlink.store.layer import VERSION_KEY
from benchlink.store.places import profiles_folder
from benchlink.store.profile_edit import with_value
from benchlink.store.strict_yaml import load

HEAD = f"{VERSION_KEY}: 1\ntitle: T\nlayer: kit  # for now\n"
TEXT = (
    HEAD
    + """
settings:
  # the tilt arms
  tilt.left: 50    # as sold
  tilt.right: {value: 50, group: tilt}  # too
  "pack.note": "a # b"

  log.rate:
    value: 9   # per second
    group: log
  log.ends:
    - 1
    - 2
  # the end
waivers: {}
"""
)


def changed_lines(before: str, after: str) -> list[str]:
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0)
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


@pytest.mark.parametrize(
    ("name", "given_text", "reason", "new"),
    [
        ("tilt.left", "60", "", "  tilt.left: 60    # as sold"),
        (
            "tilt.left",
            "60",
            "stiller",
            '  tilt.left: {value: 60, reason: "stiller"}    # as sold',
        ),
        ("tilt.right", "60", "", "  tilt.right: {value: 60, group: tilt}  # too"),
        (
            "tilt.right",
            "60",
            "why",
            '  tilt.right: {value: 60, reason: "why", group: tilt}  # too',
        ),
        ("pack.note", "x y", "", '  "pack.note": x y'),
        ("pack.note", "x: y", "", '  "pack.note": "x: y"'),
        ("pack.note", "", "", '  "pack.note": ""'),
        ("tilt.left", "[1, 2]", "", "  tilt.left: [1, 2]    # as sold"),
        ("log.rate", "10", "", "    value: 10   # per second"),
    ],
)
def test_a_changed_value_is_one_changed_line(
    name: str, given_text: str, reason: str, new: str
) -> None:
    after = with_value(TEXT, name, given_text, reason)

    removed, added = changed_lines(TEXT, after)
    assert removed.startswith("-")
    assert added == "+" + new


def test_a_reason_comes_on_its_own_line_where_the_table_has_lines() -> None:
    after = with_value(TEXT, "log.rate", "10", "why")

    assert '    value: 10   # per second\n    reason: "why"\n    group: log\n' in after


def test_an_old_reason_is_replaced_or_stays() -> None:
    text = HEAD + "settings:\n  a: {value: 1, reason: old}\n"

    assert "{value: 2, reason: old}" in with_value(text, "a", "2", "")
    assert '{value: 2, reason: "new"}' in with_value(text, "a", "2", "new")


def test_a_list_of_lines_becomes_one_line() -> None:
    after = with_value(TEXT, "log.ends", "[3, 4]", "")

    assert "  log.ends: [3, 4]\n  # the end\n" in after


def test_a_list_with_comments_inside_is_left_alone() -> None:
    text = HEAD + "settings:\n  a:\n    - 1  # low\n    - 2\n"

    with pytest.raises(FileError, match="comments inside its value on line 5"):
        with_value(text, "a", "3", "")


def test_a_block_of_text_is_left_alone() -> None:
    text = HEAD + "settings:\n  a: |\n    x\n  b: 1\n"

    with pytest.raises(FileError, match="block of text on line 5"):
        with_value(text, "a", "3", "")


def test_a_new_setting_stands_with_its_family() -> None:
    after = with_value(TEXT, "tilt.slew", "220", "calmer")

    assert changed_lines(TEXT, after) == [
        '+  tilt.slew: {value: 220, reason: "calmer"}'
    ]
    assert "# too\n  tilt.slew" in after


def test_a_new_setting_without_family_stands_last() -> None:
    after = with_value(TEXT, "rail.warn", "5", "")

    assert "    - 2\n  rail.warn: 5\n  # the end\n" in after


@pytest.mark.parametrize(
    ("settings", "result"),
    [
        ("", "settings:\n  a.b: 1"),
        ("settings: {}\n", "settings: {a.b: 1}"),
        ("settings: {c: 2}\n", "settings: {c: 2, a.b: 1}"),
    ],
)
def test_settings_begin_in_any_form(settings: str, result: str) -> None:
    assert result in with_value(HEAD + settings, "a.b", "1", "")


def test_windows_line_ends_and_a_byte_order_mark_stay() -> None:
    text = "\ufeff" + TEXT.replace("\n", "\r\n")

    after = with_value(text, "rail.warn", "5", "")

    assert after == "\ufeff" + with_value(TEXT, "rail.warn", "5", "").replace(
        "\n", "\r\n"
    )


@pytest.mark.parametrize(
    ("text", "name", "words"),
    [
        (HEAD + "colour: red\n", "a", "has 1 mistake"),
        (HEAD, "a\nb", "has 1 mistake"),
        (HEAD + "...\n", "a", "cannot be changed"),
        (HEAD + "settings:\n  ? a\n  :\n    1\n", "a", "cannot be changed"),
    ],
)
def test_what_cannot_be_done_cleanly_is_refused(
    text: str, name: str, words: str
) -> None:
    with pytest.raises(FileError, match=words):
        with_value(text, name, "1", "")


def test_text_that_no_file_can_hold_is_refused() -> None:
    with pytest.raises(FileError, match="not whole text"):
        with_value(TEXT, "tilt.left", "\udc80", "")


def test_a_baseline_is_not_given_what_belongs_to_the_aircraft() -> None:
    text = "benchlink-profile: 1\ntitle: T\nlayer: baseline\n"
    text += 'belongs-to-aircraft: ["tilt.*"]\n'

    with pytest.raises(FileError) as caught:
        with_value(text, "tilt.left", "1", "")
    assert "belongs to the single aircraft" in caught.value.problems[0].text


def test_every_setting_of_the_shipped_baseline_can_be_changed() -> None:
    text = (profiles_folder() / "lapwing.yaml").read_text(encoding="utf-8")
    root = load(text, "f")
    assert isinstance(root, Table)
    settings = root.get("settings")
    assert isinstance(settings, Table)

    for entry in settings.entries:
        after = with_value(text, entry.key.text, "1234", "")
        assert len(changed_lines(text, after)) == 2


@given(st.text(max_size=30), st.text(st.characters(exclude_categories=["Cs"])))
def test_any_given_text_reads_back(given_text: str, reason: str) -> None:
    after = with_value(TEXT, "tilt.right", given_text, reason)

    root = load(after, "f")
    assert isinstance(root, Table)
    settings = root.get("settings")
    assert isinstance(settings, Table)
    entry = settings.get("tilt.right")
    assert isinstance(entry, Table)
    value = entry.get("value")
    if isinstance(value, Scalar) and not given_text.startswith(("'", '"')):
        assert value.text == given_text
    else:
        assert isinstance(value, Items | Scalar)


def test_the_edited_text_is_what_a_person_would_keep(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text(TEXT, encoding="utf-8")

    after = with_value(
        path.read_text(encoding="utf-8"), "tilt.left", "60", "", "a.yaml"
    )

    assert after.count("#") == TEXT.count("#")
    assert len(after) == len(TEXT)
