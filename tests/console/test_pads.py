"""Which settings decide what pads do: mistakes with their places, and maps."""

from decimal import Decimal

import pytest

from benchlink.console.description import Description
from benchlink.console.schema import describe
from benchlink.core.jobs import Job
from benchlink.core.outputs import Output
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Number, Text, Unset, Value, Word
from benchlink.errors import FileError
from benchlink.units import PulseUs
from tests.console.talking import node

FRAME = """\
benchlink-console: 1
name: gull
title: Gull
line: {ends-with: LF}
answer: {prompt: "> ", ok: [fine]}
settings: [{list: {line: all}, forms: [{pair: "{name}={value}"}]}]
verbs: {stop: {line: halt}}
"""
PADS = """\
pads:
  names: [p1, p2, p3]
  job: "{pad} job"
  words: {tilt-left: [L, LL], tilt-right: R, motor-left: ML, motor-right: "4", nothing: [free, none]}
  rate-hz: "{pad} rate"
  longest-us: 2100
  by-job:
    tilt-left: {rate-hz: left rate}
  timers: {A: [p1, p2], B: p3}
  joined: [[p1, p3]]
"""
LIVE = """\
live:
  outputs: {p1: by-setting, p9: tilt-left}
"""


def described(text: str) -> Description:
    return describe(node(text))


def output(
    values: dict[str, Value], pad: str = "p1", text: str = PADS
) -> Output | None:
    pads = described(FRAME + text).pads
    assert pads is not None
    made = {
        name: Setting(name=name, value=value, raw=str(value))
        for name, value in values.items()
    }
    return pads.map(Snapshot(settings=made)).on(pad)


def number(text: str) -> Number:
    return Number(Decimal(text))


def test_without_the_section_there_is_no_map() -> None:
    assert described(FRAME).pads is None


def test_a_pad_has_its_job_its_figures_and_its_facts() -> None:
    made = output({"p1 job": Word("ML"), "p1 rate": number("400")})
    assert made == Output(
        pad="p1",
        job=Job.MOTOR_LEFT,
        word="ML",
        setting="p1 job",
        rate_hz=400,
        longest_us=made.longest_us if made else None,
        timer="A",
        joined="p1+p3",
    )
    assert made.longest_us == PulseUs(2100)


def test_where_the_job_decides_the_pad_does_not() -> None:
    made = output(
        {"p1 job": Word("LL"), "p1 rate": number("400"), "left rate": number("50")}
    )
    assert made is not None
    assert (made.job, made.rate_hz) == (Job.TILT_LEFT, 50)


@pytest.mark.parametrize(
    ("value", "job", "word"),
    [
        (Word("R"), Job.TILT_RIGHT, "R"),
        (Text("R"), Job.TILT_RIGHT, "R"),
        (number("4"), Job.MOTOR_RIGHT, "4"),
        (Word("none"), None, ""),
        (Word("free"), None, ""),
        (Unset(), None, ""),
        (Word("rudder"), None, "rudder"),
    ],
)
def test_the_board_s_words_tell_the_job(
    value: Value, job: Job | None, word: str
) -> None:
    made = output({"p1 job": value})
    assert made is not None
    assert (made.job, made.word) == (job, word)


def test_a_pad_that_the_board_has_not_is_left_out() -> None:
    assert output({"p1 job": Word("R")}, "p2") is None


def test_what_is_no_number_tells_no_rate() -> None:
    made = output({"p1 job": Word("R"), "p1 rate": Word("fast")})
    assert made is not None
    assert made.rate_hz is None


@pytest.mark.parametrize("most", ["0", "9000"])
def test_what_is_no_pulse_is_no_limit(most: str) -> None:
    text = PADS.replace("longest-us: 2100", 'longest-us: "{pad} most"')
    made = output({"p1 job": Word("R"), "p1 most": number(most)}, text=text)
    assert made is not None
    assert made.longest_us is None


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ('  job: "{pad} job"\n', "", "9:3: `pads:` needs `job:`"),
        ('"{pad} job"', '"job"', "10:8: `pads:` needs {pad}"),
        ('"{pad} job"', '"{pad} {job}"', "10:8: `pads:` cannot fill {job}"),
        ("motor-left: ML, ", "", "11:10: `words:` of the pads needs `motor-left:`"),
        ("nothing:", "nothnig:", "11:80: `words:` of the pads does not know"),
        ('"{pad} rate"', '"{output} rate"', "12:12: `pads:` cannot fill {output}"),
        ("rate-hz: left", "rate: left", "15:17: the job tilt-left does not know `rate"),
        ("    tilt-left:", "    tiltleft:", "15:5: `by-job:` of the pads does not"),
        ("B: p3", "B: p4", "9:3: `names:` of the pads has no 'p4'"),
        ("B: p3", "B: [p3, p2]", "9:3: `timers:` has 'p2' twice"),
        (
            "[[p1, p3]]",
            "[p1, p3]",
            "17:12: `joined:` has a group of fewer than two pads",
        ),
        ("[[p1, p3]]", "p1", "17:11: `joined:` is a list of groups of pads"),
        ("joined", "join", "17:3: `pads:` does not know `join:`; write `joined:`"),
        ("[p1, p2, p3]", "[p2, p3]", "9:3: `names:` of the pads lacks the live output"),
    ],
)
def test_a_mistake_is_named_with_its_place(old: str, new: str, mistake: str) -> None:
    text = FRAME + PADS + LIVE
    assert text.count(old) == 1
    with pytest.raises(FileError) as caught:
        described(text.replace(old, new))
    found = [str(problem) for problem in caught.value.problems]
    assert any(one.startswith(f"gull.yaml:{mistake}") for one in found), found


def test_without_words_no_job_can_be_told() -> None:
    text = "\n".join(line for line in PADS.splitlines() if "words" not in line)
    with pytest.raises(FileError, match="1 mistake") as caught:
        described(FRAME + text)
    assert "needs `words:`" in str(caught.value.problems[0])
