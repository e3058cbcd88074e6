"""Records of bench work: they come back digit by digit, and none is ever lost."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.angles import Degrees
from benchlink.core.belief import Belief
from benchlink.core.bench_record import (
    BenchRecord,
    Held,
    Override,
    Said,
    SideWork,
    Work,
)
from benchlink.core.identity import Identity
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import ServoFit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.errors import FileError
from benchlink.store.bench_record_reader import parse
from benchlink.store.bench_record_text import SEAL, render
from benchlink.store.bench_records import BenchRecords
from benchlink.units import PulseUs
from tests.core.making import FEW
from tests.store.sealing import sealed
from tests.support.bench_records import NOON, WADER, measured, record_of, side_work

LEFT = side_work(OwnSide.LEFT, measured(Turns.FORWARD), 1487)
RIGHT = side_work(OwnSide.RIGHT, measured(Turns.AFT, us_per_deg=11.5), 1516)
BOTH = record_of(Work.CENTRE, LEFT, RIGHT)
FINITE = st.floats(-1e6, 1e6, allow_subnormal=True)
ABOVE = st.floats(1e-6, 1e6)


def folder(path: Path, told: list[str] | None = None) -> BenchRecords:
    return BenchRecords(path, (told if told is not None else []).append)


def again(record: BenchRecord) -> BenchRecord:
    return parse(render(record), "x.record.yaml")


def test_a_record_comes_back_as_it_was() -> None:
    whole = replace(
        BOTH,
        number=3,
        reason='drifts "forward"\nin gusts',
        said=(
            Said(about="motor left", done="8 % for 0.5 s", asked="what?", answer=""),
        ),
        remarks=("the centre is 60 us away from neutral",),
        overrides=(Override(what="play of 2.3 deg", reason="ferry to the workshop"),),
        about="centre",
        right=False,
        broken_off="7 readings of the left arm",
        held=(Held("tilt.left.direction", "normal"), Held("craft.call", '"Tern"')),
        sides=(
            replace(RIGHT, by_deg=Degrees(-0.5)),
            replace(
                LEFT,
                taken=(replace(LEFT.taken[0], buzzed=True, earlier=True),),
                horn_moved=True,
            ),
        ),
    )

    assert again(whole) == whole


def test_a_side_of_which_nothing_is_known_comes_back() -> None:
    bare = replace(BOTH, number=1, sides=(SideWork(side=OwnSide.LEFT),))

    assert again(bare) == bare


@FEW
@given(
    mean=st.tuples(FINITE, ABOVE, FINITE, FINITE),
    rows=st.lists(st.tuples(ABOVE, ABOVE, ABOVE, ABOVE), min_size=4, max_size=4),
    odds=FINITE,
    sd=ABOVE,
    part=st.builds(
        ServoPart,
        us_per_deg=ABOVE,
        bend_deg=FINITE,
        neutral_us=st.sampled_from([PulseUs(760.0), PulseUs(1520.5)]),
        teeth=st.integers(1, 60),
        turns=st.sampled_from(Turns),
    ),
)
def test_any_fit_comes_back_to_the_last_digit(
    mean: tuple[float, ...],
    rows: list[tuple[float, ...]],
    odds: float,
    sd: float,
    part: ServoPart,
) -> None:
    forward = Belief(mean=mean, covariance=tuple(rows))
    aft = Belief(mean=(mean[0], -mean[1], *mean[2:]), covariance=tuple(rows))
    fit = ServoFit(part=part, reader_sd_deg=sd, ways=(forward, aft), log_odds=odds)
    record = replace(BOTH, number=1, sides=(replace(LEFT, fit=fit),))

    assert again(record) == record


def test_the_datum_stands_there_in_words_and_no_angle_has_a_bare_sign() -> None:
    text = render(replace(BOTH, number=1)).decode()

    assert 'datum: "0 deg is the rotor axis square' in text
    assert "deg: 36.0 aft" in text
    assert "deg: -" not in text


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("work: centre", "work: centring", ":3:7: `work:` must be one of centre"),
        ("lost_us: ", "lost_us: x", "`lost_us:` must be a number"),
        ("lost_us: ", "lost: ", "`play:` needs `lost_us:`"),
        ("deg: 36.0 aft", "deg: -36.0", "such as 7.5 aft"),
        ("centre_us: 1487.0", "centre_us: 14870", "outside 400 to 2600"),
        ("log_odds: ", "log_odds: 1e999 #", "`log_odds:` must be a number"),
        (
            "      forward:\n        mean: [",
            "      forward:\n        mean: [1, ",
            "list of 4",
        ),
        ('made: "2026', 'made: "', "must be a time with its offset"),
        ("benchlink-record: 1", "benchlink-record: 2", "reads records of version 1"),
        ("pulse: longer", "pulse: up", "`pulse:` must be one of longer, shorter"),
        ("  left:", "  port:", "does not know `port:`"),
        ("play: {", "play: [{", "is not closed"),
    ],
)
def test_every_mistake_is_told_with_its_place(old: str, new: str, problem: str) -> None:
    body = render(replace(BOTH, number=1)).rpartition(SEAL)[0].decode()
    assert old in body
    with pytest.raises(FileError) as told:
        parse(sealed(body.replace(old, new, 1), SEAL), "x.record.yaml")

    assert any(problem in detail for detail in told.value.details), told.value.details
    assert all(d.startswith("x.record.yaml:") for d in told.value.details)


def test_one_flipped_digit_is_noticed() -> None:
    data = render(replace(BOTH, number=1)).replace(b"1487.0", b"1488.0", 1)

    with pytest.raises(FileError, match="content hash differs"):
        parse(data, "x")


def test_other_line_ends_are_no_damage() -> None:
    record = replace(BOTH, number=1)

    assert parse(render(record).replace(b"\n", b"\r\n"), "x") == record


@pytest.mark.parametrize("keep", [0, 10, 200, -1])
def test_a_file_that_was_cut_short_is_none(keep: int) -> None:
    with pytest.raises(FileError):
        parse(render(replace(BOTH, number=1))[:keep], "x")


def test_records_get_numbers_and_names_and_overwrite_nothing(tmp_path: Path) -> None:
    records = folder(tmp_path / "records")
    first = Path(records.keep(BOTH))
    second = Path(records.keep(BOTH))

    assert first.name == "0001_20260301T120000Z_centre_left_right.record.yaml"
    assert second.name.startswith("0002_")
    assert [r.number for r in records.kept()] == [1, 2]


def test_a_number_is_found_by_names_and_only_what_has_none_is_read(
    tmp_path: Path,
) -> None:
    told: list[str] = []
    records = folder(tmp_path, told)
    (tmp_path / "0007_damaged.record.yaml").write_text("nobody reads it")
    assert Path(records.keep(BOTH)).name.startswith("0008_")
    assert told == []
    renamed = render(replace(BOTH, number=12))
    (tmp_path / "left arm.record.yaml").write_bytes(renamed)
    assert Path(records.keep(BOTH)).name.startswith("0013_")
    assert told == []


def test_the_newest_is_the_last_written_whatever_the_clock_said(tmp_path: Path) -> None:
    records = folder(tmp_path)
    records.keep(replace(BOTH, made_at=NOON + timedelta(days=9000)))
    records.keep(replace(BOTH, result="the later one"))
    records.keep(record_of(Work.THROW, LEFT))

    newest = records.newest(Work.CENTRE, OwnSide.RIGHT)
    assert newest is not None
    assert newest.result == "the later one"
    assert records.newest(Work.THROW, OwnSide.RIGHT) is None
    assert records.newest(Work.THROW) is not None
    assert folder(tmp_path / "none").newest(Work.TRIM) is None


def test_a_damaged_file_is_told_once_skipped_and_kept(tmp_path: Path) -> None:
    told: list[str] = []
    records = folder(tmp_path, told)
    records.keep(BOTH)
    path = Path(records.keep(replace(BOTH, result="damaged later")))
    damaged = path.read_bytes().replace(b"damaged", b"DAMAGED")
    path.write_bytes(damaged)

    assert [r.result for r in records.kept()] == [BOTH.result]
    assert records.newest(Work.CENTRE) is not None
    assert [t for t in told if "was edited" in t] == told
    assert len(told) == 1
    assert Path(records.keep(BOTH)).name.startswith("0003_")
    assert path.read_bytes() == damaged


def test_where_no_aircraft_is_known_only_this_board_counts(tmp_path: Path) -> None:
    other = Identity(board_type="wader", firmware="1.4.2", number="0000-0001")
    folder(tmp_path).keep(replace(BOTH, board=other))
    records = BenchRecords(tmp_path, print, WADER)

    assert records.newest(Work.CENTRE) is None
    assert Path(records.keep(BOTH)).name.startswith("0002_")
    assert records.newest(Work.CENTRE) is not None


def test_what_was_broken_off_is_kept_and_is_never_the_newest(tmp_path: Path) -> None:
    records = folder(tmp_path)
    records.keep(BOTH)
    records.keep(replace(BOTH, result="broken off", broken_off="1 reading"))

    newest = records.newest(Work.CENTRE, OwnSide.LEFT)
    assert newest is not None
    assert newest.result == BOTH.result
    assert [bool(record.broken_off) for record in records.kept()] == [False, True]


def test_what_could_not_be_read_back_is_not_written(tmp_path: Path) -> None:
    broken = replace(LEFT, centre_us=PulseUs(float("nan")))

    with pytest.raises(FileError):
        folder(tmp_path).keep(replace(BOTH, sides=(broken,)))
    assert not list(tmp_path.iterdir())


def test_two_benches_that_write_at_once_lose_nothing(tmp_path: Path) -> None:
    records, other = folder(tmp_path / "a"), folder(tmp_path / "b")
    records.keep(BOTH)
    later = replace(BOTH, made_at=NOON + timedelta(minutes=1), result="later")
    Path(other.keep(later)).rename(tmp_path / "a" / "0001_b.record.yaml")

    newest = records.newest(Work.CENTRE)
    assert newest is not None
    assert newest.result == "later"
    assert len(records.kept()) == 2


def test_a_record_of_a_step_has_the_step_in_its_name(tmp_path: Path) -> None:
    step = replace(record_of(Work.STEP, result="1.2 Mohm"), about="meter")
    kept = Path(folder(tmp_path).keep(step))
    assert kept.name.endswith("_step_meter.record.yaml")
    (read,) = folder(tmp_path).kept()
    assert (read.about, read.right, read.held) == ("meter", True, ())
