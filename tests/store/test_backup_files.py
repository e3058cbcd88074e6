"""Backups as files: exact, readable, sealed, never overwritten."""

import os
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlink.core.backup import Backup
from benchlink.core.difference import State, compare
from benchlink.core.identity import Identity
from benchlink.core.intent import Owner
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.stray import strays
from benchlink.core.values import Number, Series, Switch, Text, Value, Word
from benchlink.errors import FileError
from benchlink.store import backups as backups_module
from benchlink.store.backup_reader import parse
from benchlink.store.backup_text import SEAL, notation, render
from benchlink.store.backups import BackupFile, Backups, intent_from_backup, load

WHEN = datetime(2025, 3, 1, 10, 20, 30, tzinfo=timezone(timedelta(hours=2)))


def setting(name: str, value: Value, raw: str = "") -> Setting:
    return Setting(name=name, value=value, raw=raw or str(value))


def backup_of(*found: Setting, missed: tuple[str, ...] = ()) -> Backup:
    return Backup(
        taken_at=WHEN,
        tool_version="0.1.0",
        identity=Identity(board_type="wader", firmware="1.4.2", number="7F3A-0192"),
        snapshot=Snapshot(
            settings={s.name: s for s in found},
            not_understood=missed,
            verbatim=b"  tilt.left.centre_us: 1500\r\n",
        ),
        console="wader",
        console_hash="ab" * 32,
        command="recite",
        note='before "the" hover',
    )


CENTRE = setting("tilt.left.centre_us", Number(Decimal(1500)))


def sealed(body: str) -> bytes:
    data = body.encode()
    return data + SEAL + sha256(data).hexdigest().encode() + b"\n"


def test_a_backup_is_a_file_that_a_person_can_read() -> None:
    on = setting("level.self_levelling", Switch(on=True), "yes")

    text = render(backup_of(CENTRE, on)).decode()

    body, _, seal = text.rpartition("content-hash: ")
    assert seal.strip() == sha256(body.encode()).hexdigest()
    assert body == (
        "# Made to be read, not edited: to change a board, edit a profile.\n"
        "benchlink-backup: 1\n"
        'taken: "2025-03-01T10:20:30+02:00"\n'
        "tool: 0.1.0\n"
        "board: {type: wader, firmware: 1.4.2, number: 7F3A-0192}\n"
        f"console: {{name: wader, hash: {'ab' * 32}}}\n"
        "command: recite\n"
        'note: "before \\"the\\" hover"\n'
        "full-copy: yes\n"
        "settings:\n"
        "  tilt.left.centre_us: 1500\n"
        "  level.self_levelling: on\n"
        "as-written:\n"
        '  level.self_levelling: "yes"\n'
        "verbatim:\n"
        "  - '  tilt.left.centre_us: 1500\\r\\n'\n"
    )


@pytest.mark.parametrize(
    ("value", "spelled"),
    [
        (Number(Decimal("1.50")), "1.50"),
        (Switch(on=False), "off"),
        (Word("plain-pulse"), "plain-pulse"),
        (Word("on"), '{word: "on"}'),
        (Word("12"), '{word: "12"}'),
        (Word(""), '{word: ""}'),
        (Word("a b"), '{word: "a b"}'),
        (Text("on"), '"on"'),
        (Text('"\\\n'), '"\\"\\\\\\n"'),
        (Series((Number(Decimal(1)), Word("a"), Text(","))), '[1, a, ","]'),
        (Series(()), "[]"),
    ],
)
def test_each_kind_has_its_own_spelling(value: Value, spelled: str) -> None:
    assert notation(value) == spelled


@pytest.mark.parametrize(
    ("missed", "words"),
    [
        (("?",), b"# NOT A FULL COPY: 1 line was not understood\n"),
        (("?", "!", "#"), b"# NOT A FULL COPY: 3 lines were not understood\n"),
    ],
)
def test_a_copy_with_gaps_says_so_in_its_first_line(
    missed: tuple[str, ...], words: bytes
) -> None:
    data = render(backup_of(CENTRE, missed=missed))

    assert data.startswith(words)
    assert b"\nfull-copy: no\n" in data
    assert parse(data, "f").snapshot.not_understood == missed


def test_a_raw_copy_keeps_every_byte_and_says_what_it_is() -> None:
    data = render(backup_of())

    assert data.startswith(b"# NOT A FULL COPY: every byte was kept")
    assert parse(data, "f") == backup_of()


FIXED = render(backup_of(CENTRE, setting("craft.call", Text("ä#: "))))


@pytest.mark.parametrize("end", range(len(FIXED)))
def test_a_backup_cut_anywhere_is_refused(end: int) -> None:
    with pytest.raises(FileError):
        parse(FIXED[:end], "f")


@given(st.integers(0, len(FIXED) - 1), st.integers(1, 255))
def test_a_backup_with_one_damaged_byte_is_refused(at: int, flip: int) -> None:
    damaged = FIXED[:at] + bytes([FIXED[at] ^ flip]) + FIXED[at + 1 :]

    with pytest.raises(FileError):
        parse(damaged, "f")


def test_an_edited_backup_is_refused_with_what_to_do() -> None:
    with pytest.raises(FileError, match="damaged or was edited") as caught:
        parse(FIXED.replace(b"1500", b"1501"), "f")
    assert "changes belong in a profile" in caught.value.hint


def test_another_file_is_not_called_damaged() -> None:
    with pytest.raises(FileError, match="is not a backup of benchlink"):
        parse(b"benchlink-profile: 1\n", "f")


GOOD = 'benchlink-backup: 1\ntaken: "2025-03-01T10:20:30+00:00"\n'


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (GOOD.replace(": 1", ": 2"), "backups of version 1"),
        (GOOD.replace("+00:00", ""), "a time with its offset"),
        (GOOD.replace("2025", "soon"), "a time with its offset"),
        (GOOD + "colour: red\n", "does not know `colour:`"),
        (GOOD + "settings: {a: {b: c}}\n", "not a value but a table"),
        (GOOD + "settings: {a: {word: [c]}}\n", "not a value but a table"),
        (GOOD + "verbatim: ['\\q']\n", "`verbatim:` is damaged"),
    ],
)
def test_a_sealed_file_of_another_form_is_refused(body: str, words: str) -> None:
    with pytest.raises(FileError) as caught:
        parse(sealed(body), "f")
    assert any(words in p.text for p in caught.value.problems)


NASTY = st.text(
    st.sampled_from("ab0\"'\\\n\r\t#:, -[]{}&*!|>%@`?~\u0085\u2028\u202eäµ")
    | st.characters(exclude_categories=["Cs"]),
    max_size=20,
)
WORDS = NASTY | st.sampled_from(["on", "off", "12", "-1.5", "null", "yes", "<<", ""])
NUMBERS = st.from_regex(r"-?[0-9]{1,9}(\.[0-9]{1,6})?", fullmatch=True).map(Decimal)
SINGLE = (
    NUMBERS.map(Number) | st.booleans().map(Switch) | WORDS.map(Word) | WORDS.map(Text)
)
VALUES = SINGLE | st.lists(SINGLE, max_size=4).map(lambda v: Series(tuple(v)))


@st.composite
def settings_of(draw: st.DrawFn) -> Setting:
    value = draw(VALUES)
    return Setting(
        name=draw(WORDS | st.just("n" * 2000)),
        value=value,
        raw=draw(st.just(str(value)) | NASTY),
        writable=draw(st.booleans()),
        board_owned=draw(st.booleans()),
        volatile=draw(st.booleans()),
    )


@st.composite
def backups(draw: st.DrawFn) -> Backup:
    found = draw(st.lists(settings_of(), max_size=5))
    return Backup(
        taken_at=draw(st.datetimes(timezones=st.just(UTC))),
        tool_version=draw(NASTY),
        identity=Identity(
            board_type=draw(NASTY), firmware=draw(NASTY), number=draw(NASTY)
        ),
        snapshot=Snapshot(
            settings={s.name: s for s in found},
            not_understood=tuple(draw(st.lists(NASTY, max_size=3))),
            verbatim=draw(st.binary(max_size=60)),
        ),
        console=draw(NASTY),
        console_hash=draw(NASTY),
        command=draw(NASTY),
        note=draw(NASTY),
    )


@settings(max_examples=300)
@given(backups())
def test_any_backup_survives_its_file(backup: Backup) -> None:
    back = parse(render(backup), "f")

    assert back == backup
    assert [str(s.value) for s in back.snapshot.settings.values()] == [
        str(s.value) for s in backup.snapshot.settings.values()
    ]


@given(st.binary(max_size=200))
def test_whatever_is_sealed_is_read_or_refused(data: bytes) -> None:
    body = GOOD.encode() + data + b"\n"

    with pytest.raises(FileError):
        parse(body + SEAL + sha256(body).hexdigest().encode() + b"!", "f")


def test_a_kept_backup_is_named_by_time_and_number(tmp_path: Path) -> None:
    kept = Backups(tmp_path / "new").keep_backup(backup_of(CENTRE))

    assert Path(kept).name == "20250301T082030Z_wader_7F3A-0192.backup.yaml"
    assert load(Path(kept)) == backup_of(CENTRE)


def test_a_tail_number_takes_the_place_of_the_type(tmp_path: Path) -> None:
    kept = Backups(tmp_path, "LW-03/..").keep_backup(backup_of(CENTRE))

    assert Path(kept).name == "20250301T082030Z_LW-03_7F3A-0192.backup.yaml"


def test_nothing_is_ever_overwritten(tmp_path: Path) -> None:
    records = Backups(tmp_path)
    paths = [records.keep_backup(backup_of(CENTRE)) for _ in range(3)]

    assert [Path(p).name[30:] for p in paths] == [
        "92.backup.yaml",
        "92-2.backup.yaml",
        "92-3.backup.yaml",
    ]
    assert {str(p) for p in records.kept()} == set(paths)


def test_a_backup_under_a_chosen_name_is_written_once(tmp_path: Path) -> None:
    path = tmp_path / "mine.backup.yaml"
    assert BackupFile(path).keep_backup(backup_of(CENTRE)) == str(path)

    with pytest.raises(FileError, match="is there already"):
        BackupFile(path).keep_backup(backup_of())
    assert load(path) == backup_of(CENTRE)


def test_a_backup_that_could_not_be_read_again_is_not_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(backups_module, "MAX_BYTES", 100)

    for records in (Backups(tmp_path), BackupFile(tmp_path / "a")):
        with pytest.raises(FileError, match="longer than 100 bytes"):
            records.keep_backup(backup_of(CENTRE))
    assert list(tmp_path.iterdir()) == []


def test_a_failed_write_leaves_no_backup(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)

    with pytest.raises(FileError, match="could not be written"):
        Backups(tmp_path).keep_backup(backup_of(CENTRE))
    assert list(tmp_path.iterdir()) == []


def test_a_missing_backup_is_said(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be read"):
        load(tmp_path / "none.backup.yaml")


LOCKED = Setting(name="board.number", value=Text("7F"), raw='"7F"', writable=False)
CLOCK = Setting(name="clock", value=Number(Decimal(1)), raw="1", volatile=True)
OWN = Setting(
    name="accel.x[1]", value=Number(Decimal("0.5")), raw="0.5", board_owned=True
)


@pytest.mark.parametrize(
    ("same_board", "names"),
    [(True, ["tilt.left.centre_us", "accel.x[1]"]), (False, ["tilt.left.centre_us"])],
)
def test_only_what_can_be_put_back_is_asked_for(
    same_board: bool,  # noqa: FBT001
    names: list[str],
) -> None:
    backup = backup_of(CENTRE, LOCKED, CLOCK, OWN)

    intent = intent_from_backup(backup, "b.yaml", same_board=same_board)

    assert list(intent.wanted) == names
    assert intent.owner_of("accel.x[1]") is Owner.BOARD
    assert intent.owner_of("tilt.left.centre_us") is Owner.UNMANAGED
    assert intent.fits.accepts(backup.identity)
    assert not intent.fits.accepts(Identity(board_type="other"))


# A list on a board holds one kind, and no profile can ask for an empty word.
ALIKE = SINGLE.filter(lambda v: v != Word("")).flatmap(
    lambda v: st.just(v) | st.integers(0, 3).map(lambda n: Series((v,) * n))
)


@given(ALIKE)
def test_a_board_as_backed_up_has_no_differences(value: Value) -> None:
    backup = backup_of(setting("x", value))
    intent = intent_from_backup(backup, "b", same_board=True)

    [found] = compare(backup.snapshot, intent).findings

    assert found.state is State.AS_INTENDED


def test_a_raw_copy_cannot_be_compared() -> None:
    with pytest.raises(FileError, match="holds bytes only"):
        intent_from_backup(backup_of(), "b", same_board=True)


def test_what_is_no_text_makes_no_full_copy_and_comes_back_exactly() -> None:
    odd = f"r{strays(bytes([0xE9]))}d"
    backup = backup_of(CENTRE, setting("reed", Word(odd), odd))
    text = render(backup)
    assert text.startswith(b"# NOT A FULL COPY: 1 value is no text and cannot")
    assert b"left-out:\n  - reed\n" in text
    again = parse(text, "f")
    assert again.left_out == ("reed",)
    assert again.snapshot.settings["reed"].value == Word(odd) != Word(r"r\xe9d")
    assert not again.full
