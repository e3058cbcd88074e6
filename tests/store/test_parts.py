"""Parts as files: what is read, what is refused with its place, and which one wins."""

from pathlib import Path

import pytest

from benchlink.core.parts import UNKNOWN_MAKE, MotorPart, PackPart, Parts, ServoMake
from benchlink.core.servo_part import UNKNOWN_SERVO
from benchlink.errors import FileError, UsageError
from benchlink.store.parts import load_parts, parse_part
from benchlink.store.places import profiles_folder
from benchlink.units import PulseUs

SERVO = """\
benchlink-part: 1
kind: servo
name: reed-7
title: Reed 7
neutral-us: 1520
shortest-us: 1000
longest-us: 2000
us-per-deg: 9
"""
MOTOR = """\
benchlink-part: 1
kind: motor
name: tide-8
title: Tide 8
rev-min-per-v: 1100
poles: 14
most-a: 20
least-v: 9
most-v: 17
"""
PACK = """\
benchlink-part: 1
kind: pack
name: raft-4
title: Raft 4
cells: 4
capacity-mah: 1550
most-a: 60
"""


def mistakes(text: str) -> str:
    with pytest.raises(FileError) as caught:
        parse_part(text.encode(), "reed.yaml")
    return "\n".join(caught.value.details)


def put(folder: Path, name: str, text: str) -> Path:
    path = folder / "parts" / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return path


def test_what_a_maker_did_not_print_is_as_of_an_unknown_servo() -> None:
    servo = parse_part(SERVO.encode(), "reed.yaml")
    assert isinstance(servo, ServoMake)
    assert (servo.part.neutral_us, servo.part.us_per_deg) == (PulseUs(1520), 9)
    assert servo.part.dead_band_us == UNKNOWN_SERVO.dead_band_us
    assert servo.most_rate_hz == 50
    assert (servo.stall_a, servo.least_v, servo.most_v) == (None, None, None)
    assert servo.source == "reed.yaml"
    assert servo.known


def test_whatever_is_printed_is_read() -> None:
    more = (
        "rate-hz: 333\nstall-a: 2.5\nleast-v: 4.8\nmost-v: 7.4\nteeth: 23\narms: 4\n"
        "dead-band-us: 2\nplay-deg: 0.5\nbend-deg: 0.1\nslope-share: 0.05\n"
        "s-per-60-deg: 0.1\n"
    )
    servo = parse_part((SERVO + more).encode(), "reed.yaml")
    assert isinstance(servo, ServoMake)
    assert (servo.most_rate_hz, servo.stall_a) == (333, 2.5)
    assert (servo.least_v, servo.most_v) == (4.8, 7.4)
    part = servo.part
    assert (part.teeth, part.arms, part.dead_band_us) == (23, 4, 2)
    assert (part.play_deg, part.bend_deg, part.slope_share) == (0.5, 0.1, 0.05)
    assert part.s_per_60_deg == 0.1
    assert str(servo) == "Reed 7: 1000 to 2000 us around 1520, at most 333 Hz"


def test_motors_and_packs_are_read() -> None:
    motor = parse_part(MOTOR.encode(), "tide.yaml")
    assert isinstance(motor, MotorPart)
    assert str(motor) == "Tide 8: 1100 rev/min per V, 14 poles, 9 to 17 V, at most 20 A"
    pack = parse_part(PACK.encode(), "raft.yaml")
    assert isinstance(pack, PackPart)
    assert pack.full_v == pytest.approx(16.8)
    higher = parse_part(f"{PACK}full-cell-v: 4.35\n".encode(), "raft.yaml")
    assert str(higher) == "Raft 4: 4 cells, 1550 mAh, 17.4 V full, at most 60 A"


@pytest.mark.parametrize(
    ("text", "mistake"),
    [
        ("- a\n", "reed.yaml:1:1: a part is a table of keys, not a list"),
        ("kind: servo\n", "reed.yaml:1:1: a part begins with `benchlink-part: 1`"),
        ("benchlink-part: 2\n", "1:17: this benchlink reads parts of version 1, not"),
        ("benchlink-part: 1\n", "1:1: a part needs `kind:`, one of servo, motor, pack"),
        (SERVO.replace("servo", "rotor"), "2:7: a part needs `kind:`, one of servo"),
        (SERVO.replace("reed-7", "a b"), "'a b' cannot name a part"),
        (
            SERVO.replace("reed-7", "unknown"),
            "'unknown' is the servo that nobody knows",
        ),
        (SERVO.replace("title: Reed 7\n", ""), "a part needs `title:`"),
        (SERVO.replace("us-per-deg: 9\n", ""), "a part needs `us-per-deg:`"),
        (SERVO.replace("1520", "2200"), "pulses go from 400 to 2600 us, with the"),
        (SERVO.replace("1520", "fast"), "5:13: `neutral-us:` must be a number above 0"),
        (
            SERVO + "rate-hz: 560\n",
            "a pulse of 2000 us is longer than a frame at 560 Hz",
        ),
        (SERVO + "least-v: 7\nmost-v: 6\n", "`least-v:` is above `most-v:`"),
        (SERVO + "cells: 4\n", "9:1: a part does not know `cells:`"),
        (SERVO + "teeth: 0\n", "9:8: `teeth:` must be 1 or more"),
        (MOTOR.replace("14", "13"), "`poles:` of a motor come in pairs"),
        (MOTOR.replace("most-v: 17", "most-v: 7"), "`least-v:` is above `most-v:`"),
        (MOTOR.replace("poles: 14\n", ""), "a part needs `poles:`"),
        (PACK.replace("cells: 4", "cells: 0"), "5:8: `cells:` must be 1 or more"),
    ],
)
def test_a_mistake_is_named_with_its_place(text: str, mistake: str) -> None:
    assert mistake in mistakes(text)


def test_a_folder_of_the_workshop_adds_and_takes_the_place(tmp_path: Path) -> None:
    shipped, profile, aircraft = (tmp_path / name for name in ("s", "p", "a"))
    put(shipped, "reed", SERVO)
    put(shipped, "raft", PACK)
    put(profile, "tide", MOTOR)
    put(profile, "reed", SERVO.replace("1520", "1510"))
    mine = put(aircraft, "other", SERVO.replace("1520", "1490"))
    parts = load_parts((profile, aircraft, tmp_path / "none"), shipped)
    assert parts.servo("reed-7").part.neutral_us == PulseUs(1490)
    assert parts.servo("reed-7").source == str(mine)
    assert parts.motor("tide-8").poles == 14
    assert parts.pack("raft-4").cells == 4
    assert load_parts((profile,), shipped).servo("reed-7").part.neutral_us == PulseUs(
        1510
    )


def test_every_mistake_of_every_file_is_named_at_once(tmp_path: Path) -> None:
    put(tmp_path, "a", SERVO)
    put(tmp_path, "b", SERVO)
    put(tmp_path, "c", "benchlink-part: 7\n")
    put(tmp_path, "d", PACK.replace("cells: 4", "cells: x"))
    put(tmp_path, "e", "a: 1\na: 2\n")
    with pytest.raises(FileError) as caught:
        load_parts((), tmp_path)
    told = [detail.partition("parts/")[2] for detail in caught.value.details]
    assert [text.split(": ")[0] for text in told] == [
        "b.yaml:1:1",
        "c.yaml:1:17",
        "d.yaml:5:8",
        "e.yaml:2:1",
    ]
    assert "'reed-7' stands in" in told[0]


def test_a_file_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "parts" / "odd.yaml").mkdir(parents=True)
    with pytest.raises(FileError, match=r"odd\.yaml cannot be read"):
        load_parts((), tmp_path)


def test_a_part_that_is_not_there_names_the_nearest() -> None:
    servo = parse_part(SERVO.encode(), "reed.yaml")
    assert isinstance(servo, ServoMake)
    parts = Parts(servos={"reed-7": servo})
    with pytest.raises(UsageError, match="there is no servo 'reed-8'") as caught:
        parts.servo("reed-8")
    assert "Did you mean reed-7?" in caught.value.hint
    with pytest.raises(UsageError, match="no motor 'tide-8'") as caught:
        parts.motor("tide-8")
    assert caught.value.hint.startswith("Known are none. A file")
    with pytest.raises(UsageError, match="no pack"):
        parts.pack("")


def test_the_unknown_servo_is_one_and_suits_nearly_every_servo() -> None:
    unknown = Parts().servo("unknown")
    assert unknown is UNKNOWN_MAKE
    assert not unknown.known
    assert unknown.part is UNKNOWN_SERVO
    assert unknown.most_rate_hz == 50


def test_the_shipped_parts_hold_one_of_each_sort() -> None:
    parts = load_parts()
    servos = parts.servos.values()
    assert len(servos) >= 4
    assert {servo.most_rate_hz for servo in servos} >= {50.0, 333.0}
    assert {servo.part.neutral_us for servo in servos} >= {1500.0, 1520.0}
    assert max(s.part.longest_us - s.part.shortest_us for s in servos) == 2000
    assert len(parts.motors) >= 2
    assert len(parts.packs) >= 3
    # One file a part, called like it, so that a person finds it.
    folder = profiles_folder() / "parts"
    named = {*parts.servos, *parts.motors, *parts.packs}
    assert {path.stem for path in folder.glob("*.yaml")} == named
