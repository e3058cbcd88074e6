"""The command's outermost layer: help, exit codes, and faults of its own."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchlink.errors import DeclinedError
from benchlink.faces import entry
from benchlink.faces.arguments import VERBS, Given
from benchlink.faces.verbs import ports
from tests.faces.running import CHECKOUT, WITHIN_S, Workshop, command

Capture = pytest.CaptureFixture[str]
LAPWING = str(CHECKOUT / "profiles" / "lapwing.yaml")

LIGHT = """
import sys
from benchlink.faces import arguments, entry
arguments.parser().format_help()
print(sorted({"serial", "yaml", "textual", "prompt_toolkit"} & set(sys.modules)))
"""


@pytest.mark.parametrize("verb", ["", *(name for name, _ in VERBS)])
def test_every_verb_has_its_help(verb: str, capsys: Capture) -> None:
    with pytest.raises(SystemExit) as ended:
        entry.main([*filter(None, [verb]), "--help"])
    assert ended.value.code == 0
    said = capsys.readouterr().out
    assert said.startswith(f"usage: benchlink {verb}".rstrip())
    summary = dict(VERBS).get(verb, "70 a fault of benchlink")
    assert summary[1:].split(",")[0] in said


def test_help_names_every_verb_and_exit_code() -> None:
    done = subprocess.run(
        command("--help"), capture_output=True, text=True, timeout=WITHIN_S, check=True
    )
    assert [name for name, _ in VERBS if f"    {name} " not in done.stdout] == []
    assert "exit codes: 0 done" in done.stdout


def test_help_loads_nothing_heavy() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LIGHT],
        capture_output=True,
        text=True,
        timeout=WITHIN_S,
        check=True,
    )
    assert done.stdout.strip() == "[]"


def failing_verb(monkeypatch: pytest.MonkeyPatch, fault: BaseException) -> None:
    def run(_given: Given) -> int:
        raise fault

    monkeypatch.setattr(ports, "run", run)


def test_a_fault_of_our_own_is_told_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    failing_verb(monkeypatch, ZeroDivisionError("no reeds\x1b[2J\u202e"))
    assert entry.main(["ports"]) == 70
    said = capsys.readouterr()
    assert said.out == ""
    assert "a fault of benchlink itself: ZeroDivisionError: no reeds" in said.err
    assert "test_entry.py:" in said.err
    assert "believe nothing about it" in said.err
    assert "Traceback" not in said.err
    assert "\x1b" not in said.err
    assert "\u202e" not in said.err


def test_an_error_of_the_tree_is_told_with_its_cases_and_its_hint(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    error = DeclinedError("no wind", hint="Wait.", details=("gauge: 0", "vane: limp"))
    failing_verb(monkeypatch, error)
    assert entry.main(["ports"]) == 2
    assert capsys.readouterr().err.splitlines() == [
        "benchlink: no wind",
        "  gauge: 0",
        "  vane: limp",
        "Wait.",
    ]


def test_an_interrupt_has_the_shells_exit_code(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    failing_verb(monkeypatch, KeyboardInterrupt())
    assert entry.main(["ports"]) == 130
    assert capsys.readouterr().err == "\nbenchlink: interrupted\n"


@pytest.mark.parametrize("words", [("lint", LAPWING), ("ports", "--json")])
def test_a_reader_that_leaves_early_ends_it_quietly(
    words: tuple[str, ...], tmp_path: Path
) -> None:
    workshop = Workshop(tmp_path)
    (workshop.simulated / "a.json").write_text(
        json.dumps({"port": "/dev/tty-marsh", "pid": os.getpid()})
    )
    with workshop.start(*words) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()
        code = process.wait(WITHIN_S)
    assert (code, said) == (2, "")
