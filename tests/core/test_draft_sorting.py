"""Whatever is not as made, sorted by who decides it."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.drafting import Drafted, Hints, draft, literal, patterns_for
from benchlink.core.factory import made_value, not_as_made
from benchlink.core.intent import Owner, matches_any
from benchlink.core.settings import Snapshot
from tests.core.making import FEW, num, setting, snapshot

FRESH = snapshot(
    setting("pack.cells", num("4")),
    setting("tilt.left.centre_us", num("1500")),
    setting("tilt.left.rate_hz", num("50")),
    setting("accel.x", num("0"), board_owned=True),
    setting("board.number", num("1"), writable=False),
    setting("board.uptime", num("1"), volatile=True),
)


def flown(**values: str) -> Snapshot:
    named = {name.replace("__", "."): value for name, value in values.items()}
    return Snapshot(
        settings={
            n: replace(s, value=num(named[n])) if n in named else s
            for n, s in FRESH.settings.items()
        }
    )


WELL = flown(
    pack__cells="6",
    tilt__left__centre_us="1487",
    accel__x="12",
    board__number="7",
    board__uptime="99",
)
HINTS = Hints(fitted_names=("tilt.*.centre_us", "mount.*"))


def drafted() -> Drafted:
    return draft(WELL, FRESH, HINTS)


def test_only_what_a_person_can_set_counts_as_not_as_made() -> None:
    assert not_as_made(WELL, FRESH) == ("pack.cells", "tilt.left.centre_us")
    assert not_as_made(FRESH, FRESH) == ()


def test_a_setting_that_a_fresh_board_lacks_is_not_as_made() -> None:
    more = snapshot(*FRESH.settings.values(), setting("reed.height", num("1")))
    assert not_as_made(more, FRESH) == ("reed.height",)
    assert made_value(FRESH, "reed.height") is None


def test_the_baseline_gets_what_nobody_else_decides() -> None:
    (only,) = drafted().settings
    assert (only.name, only.value, only.made) == ("pack.cells", num("6"), num("4"))
    assert only.group == "pack"


def test_what_belongs_to_the_aircraft_stands_under_its_pattern() -> None:
    (pattern,) = drafted().fitted
    assert pattern.pattern == "tilt.*.centre_us"
    assert [d.name for d in pattern.drawn] == ["tilt.left.centre_us"]


def test_what_belongs_to_the_board_is_known_by_its_mark() -> None:
    (pattern,) = drafted().board
    assert pattern.pattern == "accel.*"
    assert [d.name for d in pattern.drawn] == ["accel.x"]


def test_each_owner_is_counted() -> None:
    counts = {owner: drafted().count(owner) for owner in Owner}
    assert counts == {
        Owner.BASELINE: 1,
        Owner.KIT: 0,
        Owner.FITTED: 1,
        Owner.BOARD: 1,
        Owner.UNMANAGED: 0,
    }


def test_what_a_kit_decides_is_kept_apart() -> None:
    result = draft(WELL, FRESH, Hints(kit_names=frozenset({"pack.cells"})))
    assert [d.name for d in result.kit] == ["pack.cells"]
    assert [d.name for d in result.settings] == ["tilt.left.centre_us"]
    assert result.count(Owner.KIT) == 1


def test_what_board_and_aircraft_both_claim_belongs_to_the_board() -> None:
    both = Hints(fitted_names=("accel.*",), board_names=("accel.*",))
    result = draft(WELL, FRESH, both)
    assert result.count(Owner.BOARD) == 1
    assert [p.drawn for p in result.fitted] == [()]


def test_settings_of_one_group_stand_together() -> None:
    board = snapshot(*(setting(n, num("1")) for n in ("a.x", "b-y", "a.z", "c")))
    names = [d.name for d in draft(board, snapshot(), Hints()).settings]
    assert names == ["a.x", "a.z", "b-y", "c"]


def test_a_name_becomes_a_pattern_that_matches_it() -> None:
    assert matches_any((literal("curve[1].x"),), "curve[1].x")


NAMES = st.text("ab.*?[", min_size=1, max_size=4)


@FEW
@given(st.sets(NAMES), st.sets(NAMES))
def test_patterns_match_every_name_they_were_made_for(
    own: set[str], others: set[str]
) -> None:
    patterns = patterns_for(own, [*own, *others])
    assert all(matches_any(patterns, name) for name in own)


@FEW
@given(
    st.sets(st.text("ab.", min_size=1, max_size=4)),
    st.sets(st.text("ab.", min_size=1, max_size=4)),
)
def test_patterns_of_plain_names_match_no_other_name(
    own: set[str], others: set[str]
) -> None:
    patterns = patterns_for(own, [*own, *others])
    assert not any(matches_any(patterns, name) for name in others - own)


def test_a_whole_family_becomes_one_pattern_whatever_parts_its_names() -> None:
    names = ("accel x", "accel y", "gyro-x", "rail.scale", "rail.warn", "[odd]", "one")
    own = {"accel x", "accel y", "gyro-x", "rail.scale", "[odd]"}
    assert patterns_for(own, names) == ("accel *", "gyro-*", "rail.scale", "?odd]")
