"""The settings of the simulated boards."""

import re

import pytest

from mocks.catalogue import FEWEST_SETTINGS, MOST_SETTINGS
from mocks.fleet import fit_out
from mocks.settings import Owner


@pytest.mark.parametrize("count", [FEWEST_SETTINGS, 61, 280, 612, MOST_SETTINGS])
def test_a_board_has_as_many_settings_as_asked_and_no_name_twice(count: int) -> None:
    names = [setting.name for setting in fit_out(count=count, seed=1)]
    assert len(names) == len(set(names)) == count


@pytest.mark.parametrize("count", [FEWEST_SETTINGS, 100, 280, 612])
def test_a_larger_board_has_all_that_a_smaller_one_has(count: int) -> None:
    small = fit_out(count=count, seed=1)
    large = fit_out(count=count + 50, seed=1)
    known = {setting.name: setting for setting in large}
    assert all(known[setting.name] == setting for setting in small)
    assert [s for s in large if s in small] == list(small)


def test_every_factory_value_is_one_that_the_setting_takes_as_it_stands() -> None:
    for setting in fit_out(count=1000, seed=3):
        taken = setting.kind.take(setting.factory)
        assert (taken.text, taken.note) == (setting.factory, None), setting.name


def test_a_seed_makes_number_and_calibration_and_nothing_else() -> None:
    one, other = (fit_out(count=612, seed=seed) for seed in (1, 2))
    pairs = zip(one, other, strict=True)
    differing = {a.name: a.owner for a, b in pairs if a.factory != b.factory}
    assert differing.pop("board.number") is Owner.MAKER
    assert set(differing.values()) == {Owner.CALIBRATION}
    assert len(differing) > 10


def test_the_same_seed_makes_the_same_board() -> None:
    assert fit_out(count=612, seed=5) == fit_out(count=612, seed=5)


def test_names_are_plain_words_with_dots() -> None:
    form = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*(\.[a-z][a-z0-9_]*)+")
    strange = [s.name for s in fit_out(count=800, seed=1) if not form.fullmatch(s.name)]
    assert strange == []


def test_a_setting_that_needs_another_comes_with_it_on_every_board() -> None:
    smallest = {setting.name for setting in fit_out(count=FEWEST_SETTINGS, seed=1)}
    needs = {s.needs for s in fit_out(count=612, seed=1)} - {None}
    assert needs
    assert needs <= smallest
