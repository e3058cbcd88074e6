"""Mistakes in `live:` and `readings:`, each with its place and what to write instead."""

import pytest

from benchlink.console.description import Description
from benchlink.console.schema import describe
from benchlink.core.jobs import Job
from benchlink.core.readings import Quantity
from benchlink.errors import FileError
from tests.console.talking import node
from tests.console.whole_console import WHOLE

FRAME = """\
benchlink-console: 1
name: gull
title: Gull
line: {ends-with: LF}
answer: {prompt: "> ", ok: [fine]}
settings: [{list: {line: all}, forms: [{pair: "{name}={value}"}]}]
verbs: {stop: {line: halt}}
"""
LIVE = """\
live:
  outputs: {p1: tilt-left}
  motors: {L: motor-left}
  drive:
    line: "push {output} {pulse}"
    pulse: {unit: us, least: 500, most: 2500}
    expires-ms: 400
  spin:
    line: "spin {motor} {percent} {time}"
    percent: {unit: percent, most: 100}
    time: {unit: ms, most: 900}
"""
READINGS = """\
readings:
  - line: feel
    gives: ["tilt {roll}", "o{n} {us}"]
    fields:
      roll: {unit: deg, scale: 0.1}
      us: {is: output, unit: us, index: n}
"""


def described(text: str) -> Description:
    return describe(node(text))


def require_mistake(text: str, mistake: str) -> None:
    with pytest.raises(FileError) as caught:
        described(text)
    found = [str(problem) for problem in caught.value.problems]
    assert any(one.startswith(f"gull.yaml:{mistake}") for one in found), found


def test_both_sections_read() -> None:
    read = described(FRAME + LIVE + READINGS)
    assert dict(read.live.outputs) == {"p1": Job.TILT_LEFT}
    assert set(read.live.verbs) == {"drive", "spin"}
    (asking,) = read.readings
    assert asking.gauges["us"].quantity is Quantity.OUTPUT
    assert [name for name, _ in read.all_verbs()] == [
        "stop",
        "drive",
        "spin",
        "readings",
    ]


def test_every_key_of_both_sections_reads() -> None:
    read = described(WHOLE)
    assert read.outputs is not None
    assert read.outputs.reasons == {"e1": "no radio"}
    (asking,) = read.readings
    assert asking.unmeasured == ("--",)
    assert asking.gauges["roll"].reversed
    assert asking.gauges["us"].first == 0
    assert asking.gauges["r"].number == 2
    assert asking.gauges["sticks"].split == ","
    assert read.live.verbs["drive"].expires == 0.4
    assert read.live.verbs["spin"].dials["percent"].places == 1


def test_without_them_a_console_has_none() -> None:
    read = described(FRAME)
    assert (read.live.verbs, read.readings) == ({}, ())


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ("p1: tilt-left", "p1: tiltleft", "9:17: `outputs:` says what each drives"),
        ("L: motor-left", "L: tilt-left", "10:15: `motors:` says what each drives"),
        ("p1: tilt-left", "p1: [a]", "9:17: `outputs:` says what each drives"),
        ("  outputs: {p1: tilt-left}\n", "", "11:5: live verb drive needs `outputs:`"),
        ("  motors: {L: motor-left}\n", "", "15:5: live verb spin needs `motors:`"),
        ("{output} {pulse}", "{pulse}", "12:5: live verb drive needs {output}"),
        ("{output} {pulse}", "{output} {puls}", "12:11: live verb drive cannot fill"),
        ("unit: us", "unit: counts", "13:19: `unit:` must be one of us, ms, s, not"),
        (
            "{unit: us, ",
            "{",
            "13:12: `pulse:` of live verb drive needs `unit:`: us, ms",
        ),
        ("least: 500, ", "", "13:12: `pulse:` of live verb drive needs `least:`"),
        ("least: 500", "least: -5", "13:30: `least:` must be a number of 0 or more"),
        ("least: 500", "least: low", "13:30: `least:` must be a number of 0 or more"),
        ("unit: us,", "unit: us, scale: 0,", "13:30: `scale:` must be a number above"),
        (
            "least: 500",
            "least: 2600",
            "13:12: `pulse:` of live verb drive: `least:` is",
        ),
        (
            "unit: us,",
            "unit: ms,",
            "13:12: `pulse:` of live verb drive: these limits are 500000 to 2.5e+06 us",
        ),
        ("most: 100", "most: 1000", "17:14: `percent:` of live verb spin: `most:` is"),
        (
            "    pulse: {unit: us, least: 500, most: 2500}\n",
            "",
            "12:5: live verb drive n",
        ),
        (" {time}", "", "18:11: `time:` of live verb spin: there is no {time}"),
        (
            "    time: {unit: ms, most: 900}\n",
            "",
            "16:5: live verb spin needs `time:`, the unit and the limits of {time}",
        ),
        (
            "    time: {",
            "    expires-ms: 9\n    time: {",
            "16:5: live verb spin has `expires-ms:` or {time} in its line, not both",
        ),
        ("expires-ms: 400", "expires-ms: 0", "14:17: `expires-ms:` must be a number"),
        ("expires-ms: 400", "moves: servo", "12:5: live verb drive needs no `moves:`"),
        ("expires-ms: 400", "expire-ms: 400", "14:5: live verb drive does not know"),
        ("expires-ms: 400", "mode: edit", "1:1: verb drive names a mode that is not"),
        ("  drive:", "  dirve:", "11:3: live does not know `dirve:`; write `drive:`"),
        ("stop: {line: halt}", "", "9:3: `live:` needs `stop:` under `verbs:`"),
    ],
)
def test_a_mistake_in_live_is_named_with_its_place(
    old: str, new: str, mistake: str
) -> None:
    text = FRAME + LIVE
    assert text.count(old) == 1
    require_mistake(text.replace(old, new), mistake)


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ("{roll}", "{rol}", "12:7: no line of `gives:` has {roll}"),
        ("{roll}", "{rol}", "10:13: nobody says what {rol} holds"),
        ("{us}", "{us} {x}", "10:28: nobody says what {x} holds"),
        ("o{n} {us}", "o {us}", "10:28: 'o {us}' has no {n}, the index of us"),
        ('    gives: ["tilt {roll}", "o{n} {us}"]\n', "", "9:5: a question of `readin"),
        ("      roll: {", "      lean: {", "12:13: the field lean needs `is:`"),
        ("is: output", "is: outputs", "13:16: `is:` must be one of roll"),
        ("unit: deg", "unit: degrees", "12:20: `unit:` must be one of deg, rad, not"),
        ("unit: deg, ", "", "12:13: the field roll needs `unit:`: deg, rad"),
        ("scale: 0.1", "scale: -0.1", "12:32: `scale:` must be a number above 0"),
        ("scale: 0.1", "sign: minus", "12:25: the field roll does not know `sign:`"),
        ("scale: 0.1", "reversed: so", "12:35: `reversed:` must be one of yes, no"),
        ("scale: 0.1", "number: 1", "12:13: the field roll: there is one roll: no"),
        ("index: n", "index: n, number: 2", "13:11: the field us: `index:` or `numb"),
        ("line: feel", "line: 'feel {roll}'", "9:11: a question of `readings:` canno"),
        ("line: feel", "lien: feel", "9:5: a question of `readings:` needs `line:`"),
    ],
)
def test_a_mistake_in_readings_is_named_with_its_place(
    old: str, new: str, mistake: str
) -> None:
    text = FRAME + READINGS
    assert text.count(old) == 1
    require_mistake(text.replace(old, new), mistake)


def test_a_question_without_fields_says_so() -> None:
    head = READINGS.partition("    fields:")[0]
    require_mistake(FRAME + head, "9:5: a question of `readings:` needs `fields:`")
