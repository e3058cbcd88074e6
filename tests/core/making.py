"""Short ways to make the values that the tests of this folder talk about."""

from decimal import Decimal

from hypothesis import settings
from hypothesis import strategies as st

from benchlink.core.document import Items, Node, Scalar
from benchlink.core.intent import NO_TOLERANCE, Intent, Owner, Waiver, Wanted
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Number, Series, Switch, Text, Unset, Value, Word
from benchlink.errors import Place

FEW = settings(max_examples=150, deadline=None, derandomize=True)
HERE = Place("profile.yaml", 7, 3)


def num(text: str) -> Number:
    return Number(Decimal(text))


NUMBERS = st.decimals(allow_nan=False, allow_infinity=False, places=2)
LONG = st.integers(-(10**40), 10**40).map(lambda n: Decimal(n).scaleb(-5))
WORDS = st.text("a,:[]n1W", max_size=4)
VALUES = st.recursive(
    st.one_of(
        st.one_of(NUMBERS, LONG).map(Number),
        st.sampled_from(["0", "-0", "1.50", "1.5", "010"]).map(num),
        st.booleans().map(Switch),
        WORDS.map(Word),
        WORDS.map(Text),
        st.just(Unset()),
    ),
    lambda parts: st.lists(parts, max_size=3).map(lambda v: Series(tuple(v))),
    max_leaves=4,
)


def series(*values: Value) -> Series:
    return Series(values)


def written(text: str, *, quoted: bool = False) -> Scalar:
    return Scalar(text, quoted=quoted, place=HERE)


def items(*texts: str) -> Items:
    return Items(tuple(map(written, texts)), HERE)


def setting(
    name: str,
    value: Value,
    *,
    writable: bool = True,
    board_owned: bool = False,
    volatile: bool = False,
) -> Setting:
    return Setting(
        name=name,
        value=value,
        raw=str(value),
        writable=writable,
        board_owned=board_owned,
        volatile=volatile,
    )


def snapshot(*settings: Setting) -> Snapshot:
    return Snapshot(settings={s.name: s for s in settings})


def wanted(
    name: str,
    given: Node,
    *,
    owner: Owner = Owner.BASELINE,
    tolerance: Decimal = NO_TOLERANCE,
) -> Wanted:
    return Wanted(
        name=name,
        given=given,
        owner=owner,
        place=HERE,
        reason="because",
        group="tilt",
        tolerance=tolerance,
    )


def intent(*asked: Wanted, waived: str = "") -> Intent:
    waiver = Waiver(name=waived, reason="old servo", place=HERE)
    return Intent(
        title="Lapwing",
        source="profile.yaml",
        wanted={w.name: w for w in asked},
        waivers={waived: waiver} if waived else {},
        fitted_names=("tilt.*",),
        board_names=("accel.*",),
    )
