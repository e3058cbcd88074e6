"""The inside loads nothing heavy, and nothing that could wait or speak to a machine."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FORBIDDEN = ("serial", "yaml", "textual", "prompt_toolkit", "asyncio", "socket")
STANDARD = (
    "collections.abc, dataclasses, datetime, decimal, enum, fnmatch, functools,"
    " hashlib, itertools, re, typing"
)
PROBE = f"""
import sys, {STANDARD}
before = set(sys.modules)
import {{name}}
print(*sorted(set(sys.modules) - before))
"""


def modules_of(layer: str) -> list[str]:
    files = sorted((ROOT / "benchlink" / layer).glob("*.py"))
    return [f"benchlink.{layer}.{f.stem}" for f in files if f.stem != "__init__"]


def loaded_by(name: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", PROBE.format(name=name)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.split()


@pytest.mark.parametrize("layer", ["core", "console", "workflows"])
def test_the_inside_loads_nothing_heavy(layer: str) -> None:
    loaded = loaded_by(", ".join(modules_of(layer)))
    assert f"benchlink.{layer}" in loaded
    assert [m for m in loaded if m.split(".")[0] in FORBIDDEN] == []


@pytest.mark.parametrize("layer", ["core", "console", "workflows"])
def test_the_inside_brings_no_threads_and_no_other_layer(layer: str) -> None:
    loaded = loaded_by(", ".join(modules_of(layer)))
    assert "threading" not in loaded
    for other in ("link", "store", "faces"):
        assert f"benchlink.{other}" not in loaded
