from decimal import Decimal

import pytest

from benchlink.console.codec import Codec, Kind
from benchlink.console.spelling import EVERYWHERE, Rule, Spelling, Where
from benchlink.core.values import Number, Text, Word

HEX = Rule(names=("map.*",), changes={"radix": 16, "prefix": "0x"})
BARE = Rule(
    names=("craft.call",), where=frozenset({Where.READ}), changes={"kind": Kind.TEXT}
)
LATER = Rule(names=("map.low", "*.x"), changes={"prefix": "$"})
SPELLING = Spelling(Codec(quote='"'), (HEX, BARE, LATER))


@pytest.mark.parametrize("where", Where)
def test_a_name_without_a_rule_is_spelled_as_the_rest(where: Where) -> None:
    assert SPELLING.codec("tilt.left", where) is SPELLING.base


@pytest.mark.parametrize("where", Where)
def test_a_rule_holds_everywhere_where_it_names_no_place(where: Where) -> None:
    assert SPELLING.codec("map.high", where).read("0x10") == Number(Decimal(16))
    assert SPELLING.codec("map.high", where).quote == '"'
    assert Rule().where == EVERYWHERE


def test_a_rule_for_one_place_leaves_the_others() -> None:
    listed = SPELLING.codec("craft.call", Where.LIST)
    assert listed is SPELLING.codec("craft.call", Where.WRITE) is SPELLING.base
    read = Spelling(Codec(), (BARE,)).codec("craft.call", Where.READ)
    assert read.read("LW 01") == Text("LW 01")


def test_a_later_rule_wins_key_by_key() -> None:
    codec = SPELLING.codec("map.low", Where.LIST)
    assert (codec.radix, codec.prefix) == (16, "$")
    assert codec.read("0x10") == Word("0x10")


def test_what_is_listed_may_not_be_what_is_written() -> None:
    padded = Rule(names=("*",), where=frozenset({Where.LIST}), changes={"digits": 4})
    spelling = Spelling(Codec(), (padded,))
    value = spelling.codec("a", Where.LIST).read("0055")
    assert spelling.codec("a", Where.WRITE).write(value) == "55"
    assert spelling.codec("a", Where.LIST).write(Number(Decimal(55))) == "0055"


def test_one_codec_is_made_for_all_settings_of_the_same_rules() -> None:
    first, second = (SPELLING.codec(f"map.{n}", Where.LIST) for n in (1, 2))
    assert first is second
