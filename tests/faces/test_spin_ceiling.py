"""The power ceiling of a spin: the usual one, or what the person types; never above the cap."""

import pytest

from benchlink.errors import UsageError
from benchlink.faces.arguments import defaults
from benchlink.faces.verbs.spin import ceiling_percent
from tests.support.people import ScriptedPerson


@pytest.mark.parametrize(
    ("typed", "ceiling"), [("", 10.0), ("15", 15.0), (" 8 % ", 8.0), ("20", 20.0)]
)
def test_at_a_page_it_is_asked_for_and_enter_keeps_the_usual_one(
    typed: str, ceiling: float
) -> None:
    person = ScriptedPerson(typed=typed)
    assert ceiling_percent(person, defaults("spin")) == ceiling
    (asked,) = person.asked
    assert "beyond 10 % of power" in asked
    assert "up to 20 %" in asked


@pytest.mark.parametrize("typed", ["21", "0", "-5", "full", "nan"])
def test_what_is_no_ceiling_ends_it_before_anything_is_spun(typed: str) -> None:
    with pytest.raises(UsageError, match="from 1 to 20"):
        ceiling_percent(ScriptedPerson(typed=typed), defaults("spin"))


@pytest.mark.parametrize(
    ("words", "ceiling"), [(("--ceiling", "12"), 12.0), (("--by-radio",), 10.0)]
)
def test_what_was_given_is_not_asked_for(
    words: tuple[str, ...], ceiling: float
) -> None:
    person = ScriptedPerson(typed="19")
    assert ceiling_percent(person, defaults("spin", *words)) == ceiling
    assert person.asked == []
