"""`lint --against`: what a description makes of a text, for a person and a program."""

import json
from pathlib import Path

import pytest

from benchlink.faces.entry import main
from tests.faces.running import CHECKOUT, Workshop, aircraft

WADER = str(CHECKOUT / "profiles" / "consoles" / "wader.yaml")
KNOT = str(CHECKOUT / "profiles" / "consoles" / "knot.yaml")
PASTED = """\
@ recite
settings: 2
  tilt.left.centre_us: 1500
~ gyro.x: 0.2
end of settings: 2
done
@ help
never heard of it
@
"""

Capture = pytest.CaptureFixture[str]


def pasted(folder: Path, text: str = PASTED) -> str:
    file = folder / "pasted.txt"
    file.write_text(text)
    return str(file)


def test_a_text_that_is_understood_gives_its_numbers_and_0(
    tmp_path: Path, capsys: Capture
) -> None:
    text = pasted(tmp_path, PASTED.replace("@ help\nnever heard of it\n", ""))
    assert main(["lint", WADER, "--against", text]) == 0
    said = capsys.readouterr().out
    assert "7 of 7 lines understood; 2 settings; 0 lines none took" in said
    assert "values read as: number 2" in said
    assert "2 settings would be written back as listed" in said


def test_what_none_took_is_listed_with_its_line_and_gives_1(
    tmp_path: Path, capsys: Capture
) -> None:
    assert main(["lint", WADER, "--against", pasted(tmp_path)]) == 1
    said = capsys.readouterr().out.splitlines()
    assert said[1].startswith("8 of 9 lines understood; 2 settings; 1 line none took;")
    assert "      8  never heard of it" in said
    assert (
        said[said.index("Lines typed that nothing here sends") + 1] == "      7  @ help"
    )


def test_the_report_fits_80_columns_and_names_places(
    tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    console = tmp_path / "own.yaml"
    form = '      - {pair: "  {name}: {value}"}\n'
    text = Path(WADER).read_text().replace(form, form + form)
    console.write_text(text)
    listing = pasted(tmp_path, PASTED.replace("1500", "1500" + " 1500" * 30))
    assert main(["lint", "own.yaml", "--against", listing, "--every"]) == 1
    said = capsys.readouterr().out.splitlines()
    assert max(map(len, said[1:])) <= 80
    row = 1 + text.splitlines().index(form.rstrip("\n"))
    assert f"         taken by own.yaml:{row}:16  pair:   {{name}}: {{value}}" in said
    assert (
        f"         or by    own.yaml:{row + 1}:16  pair:   {{name}}: {{value}}" in said
    )
    assert any(line.split()[:3] == ["4", "pair", f":{row + 3}"] for line in said)


def test_settings_that_cannot_be_written_back_are_told_with_why(
    tmp_path: Path, capsys: Capture
) -> None:
    text = pasted(tmp_path, '  craft.call: "a;b"\n  craft.remark: "c;d"\n')
    assert main(["lint", WADER, "--against", text]) == 0
    said = capsys.readouterr().out
    assert "2 cannot be written back" in said
    assert "holds ';', which this console takes as a command of its own" in said
    assert 'craft.call = "a;b", craft.remark = "c;d"' in said


def test_json_tells_the_same_to_a_program(tmp_path: Path, capsys: Capture) -> None:
    assert main(["lint", WADER, "--against", pasted(tmp_path), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert (told["lines"], told["understood"], told["good"]) == (9, 8, False)
    assert told["not_understood"][0]["text"] == "never heard of it"
    assert told["not_understood"][0]["answers"] == "`help`"
    written = {s["name"]: s["written_by"] for s in told["settings"]}
    assert written["tilt.left.centre_us"] == ["let tilt.left.centre_us be 1500"]


@pytest.mark.parametrize("kind", ["wader", "knot"])
def test_a_raw_and_a_full_backup_are_taken_as_they_are(
    tmp_path: Path, kind: str
) -> None:
    workshop = Workshop(tmp_path)
    asked, console = {"wader": ("recite", WADER), "knot": ("tell everything", KNOT)}[
        kind
    ]
    with aircraft(workshop, "--console", kind, "--settings", "60"):
        full = workshop.run("backup", "--console", kind, "--out", "full.yaml")
        raw = workshop.run("backup", "--raw", asked, "--out", "raw.yaml")
    assert (raw.code, full.code) == (0, 0)
    for file in ("raw.yaml", "full.yaml"):
        outcome = workshop.run("lint", console, "--against", file)
        assert outcome.code == 0, outcome.out
        assert "60 settings; 0 lines none took; 0 lines two could" in outcome.out


def test_mistakes_in_the_description_come_first_and_give_2(
    tmp_path: Path, capsys: Capture
) -> None:
    console = tmp_path / "own.yaml"
    console.write_text(Path(WADER).read_text().replace("ends-with:", "end-with:"))
    assert main(["lint", str(console), "--against", pasted(tmp_path)]) == 2
    said = capsys.readouterr()
    assert (
        "own.yaml:11:3: line does not know `end-with:`; write `ends-with:`" in said.err
    )
    assert said.out == ""


@pytest.mark.parametrize(
    ("files", "why"),
    [
        ((WADER, KNOT), "`--against` takes one console description, not 2 files"),
        ((str(CHECKOUT / "README.md"),), "is no console description"),
    ],
)
def test_other_files_are_refused(
    tmp_path: Path, capsys: Capture, files: tuple[str, ...], why: str
) -> None:
    assert main(["lint", *files, "--against", pasted(tmp_path)]) == 2
    assert why in capsys.readouterr().err


def test_an_empty_text_and_one_with_other_line_ends_are_told(
    tmp_path: Path, capsys: Capture
) -> None:
    assert main(["lint", WADER, "--against", pasted(tmp_path, "")]) == 2
    assert "holds no line" in capsys.readouterr().err
    file = tmp_path / "cr.raw"
    file.write_bytes(b"@ recite\rsettings: 0\rend of settings: 0\rdone\r@ ")
    assert main(["lint", WADER, "--against", str(file)]) == 1
    assert "`board-ends-with: CR`" in capsys.readouterr().err


def test_what_a_text_holds_never_acts_on_a_terminal(
    tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / "odd.raw"
    file.write_bytes(b"\x1b]0;title\x07 \x07\xff\xe2\x80\xae reeds\r\n")
    assert main(["lint", WADER, "--against", str(file), "--every"]) == 1
    said = capsys.readouterr().out
    assert "\\x07" in said
    assert all(char.isprintable() or char == "\n" for char in said)
