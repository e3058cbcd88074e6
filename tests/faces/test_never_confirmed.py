"""Nothing but typing at a terminal confirms hands or props, for any verb that moves.

What is tried at each: answers by a pipe, flags, environment variables, a profile, a job
file, and a paste that was typed ahead. Nothing moves, and no moving line is sent.
"""

import subprocess
from pathlib import Path

import pytest

from benchlink.core.bench_record import Work
from benchlink.store.bench_records import BenchRecords
from tests.faces.running import WITHIN_S, Aircraft, Workshop, command
from tests.faces.spinning import lapwing
from tests.faces.test_trimming import measure

PROPS = "props off LW-03"
HANDS = "hands clear"
MOVING = {
    "centre": ("centre", "left", "--servo", "unknown"),
    "throw": ("throw", "left"),
    "outputs": ("outputs", "--wiggle"),
    "spin": ("spin", "left", "--hand", "outboard-down"),
}
WHO = ("--aircraft", "LW-03", "--operator", "builder")
REFUSED = {"outputs": "the pack is not out, or nobody said so"}
AGREEING = frozenset({"centre", "throw"})
"""Verbs at whose end a plan is agreed to."""
SAYS_SO = "\n".join([HANDS, PROPS, "out", "in", "yes", "f", "0", " ", "left"] * 9)
FILE = f"""benchlink-profile: 1
title: Marsh
layer: baseline
props-off: {PROPS}
hands: {HANDS}
confirmed: {{props: off, hands: clear}}
settings: {{}}
"""
TRICKS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "a pipe": ((), ()),
    "--yes": ((), ("--yes",)),
    "a made-up flag": ((), ("--props-off", "LW-03", "--hands-clear")),
    "a profile": (("--profile", "marsh.yaml"), ()),
    "a job file": ((), ("--job", "marsh.yaml")),
    "a file by its name": ((), ("marsh.yaml",)),
}
"""What stands before the verb, and behind it."""
MOVERS = ("swing", "whirl", "slack", "let tilt", "let output")
"""How the lines begin that move something."""


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    workshop = Workshop(tmp_path)
    (tmp_path / "marsh.yaml").write_text(FILE, encoding="utf-8")
    for place in (tmp_path / ".benchlinkrc", workshop.home / "confirmed.yaml"):
        place.write_text(FILE, encoding="utf-8")
    names = ("PROPS_OFF", "HANDS_CLEAR", "YES", "CONFIRM", "ASSUME_YES", "OPERATOR")
    workshop.environment |= {f"BENCHLINK_{name}": PROPS for name in names}
    workshop.environment |= {"PROPS_OFF": PROPS, "YES": "1", "CI": "1"}
    return workshop


def moved_nothing(craft: Aircraft) -> bool:
    received = craft.order("received")["received"]
    assert isinstance(received, list)
    lines = [str(line) for line in received if str(line).startswith(MOVERS)]
    return (
        lines == []
        and craft.order("moved") == {}
        and craft.order("props")["ever-span-with-props"] is False
    )


@pytest.mark.parametrize("verb", MOVING)
def test_no_pipe_flag_file_or_variable_confirms(workshop: Workshop, verb: str) -> None:
    with lapwing(workshop, "wader") as craft:
        craft.order("props on")
        craft.order("moved")
        for trick, (before, behind) in TRICKS.items():
            done = subprocess.run(
                command(*before, *MOVING[verb], *WHO, *behind),
                cwd=workshop.folder,
                env=workshop.environment,
                input=SAYS_SO.encode(),
                capture_output=True,
                timeout=WITHIN_S,
                check=False,
            )
            said = done.stdout.decode() + done.stderr.decode()
            assert done.returncode == 2, (trick, said)
            assert "Traceback" not in said
            assert trick != "a pipe" or "terminal" in said
            assert moved_nothing(craft), trick


@pytest.mark.parametrize("verb", MOVING)
def test_with_props_off_confirmed_by_nobody_at_a_terminal_nothing_moves(
    workshop: Workshop, verb: str
) -> None:
    """Everything else is answered; the one sentence is not, nor is the pack out."""
    with lapwing(workshop, "wader") as craft:
        craft.order("props on")
        craft.order("disconnect pack" if verb == "spin" else "connect pack")
        craft.order("moved")
        if verb == "throw":
            event = measure(workshop, craft, Work.CENTRE)
            folder = workshop.folder / "aircraft" / "LW-03" / "records"
            BenchRecords(folder, print).keep(event)
        code, said = workshop.at_terminal(
            *MOVING[verb],
            *WHO,
            *(["--yes"] if verb in AGREEING else []),
            answers={
                "Type 'hands clear'": HANDS,
                "Go on with an unknown servo?": "yes",
                "Go on? [yes/no]": "yes",
                "`props off LW-03`": "yes",
                "Type `out`": "yes",
                "or Enter to stop": "",
                "How far forward shall": "",
                "How far aft shall": "",
                "how far forward does": "",
                "how far aft does": "",
            },
        )
        assert code == 2, said
        assert REFUSED.get(verb, "props off was not confirmed for LW-03") in said
        assert moved_nothing(craft)
