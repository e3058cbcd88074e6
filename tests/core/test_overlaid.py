"""A baseline under the more special layers of one aircraft."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from benchlink.core.document import Scalar
from benchlink.core.intent import Intent, Overlaid, Owner, Waiver, overlaid
from tests.core.making import HERE, intent, wanted, written

BASE, KIT, FITTED = Owner.BASELINE, Owner.KIT, Owner.FITTED


def asked(layer: Owner, values: Mapping[str, str]) -> Intent:
    made = intent(*(wanted(n, written(v), owner=layer) for n, v in values.items()))
    return replace(made, layer=layer)


OWN = replace(
    intent(
        wanted("mass", written("1"), owner=BASE),
        wanted("rate", written("100"), owner=KIT),
        wanted("centre", written("1487"), owner=FITTED),
    ),
    layer=FITTED,
    fitted_names=("mount.*",),
)


def values(over: Overlaid) -> dict[str, str]:
    return {
        n: w.given.text
        for n, w in over.intent.wanted.items()
        if isinstance(w.given, Scalar)
    }


def test_a_baseline_never_resets_what_the_kit_decides() -> None:
    over = overlaid(asked(BASE, {"mass": "2", "rate": "50"}), OWN)
    assert values(over) == {"mass": "2", "rate": "100"}
    assert over.replaced == ("rate",)
    assert over.intent.owner_of("rate") is KIT


def test_what_only_the_special_layers_ask_for_is_left_alone() -> None:
    over = overlaid(asked(BASE, {"mass": "2"}), OWN)
    assert "centre" not in over.intent.wanted
    assert over.intent.owner_of("centre") is FITTED
    assert over.intent.owner_of("mount.roll_deg") is FITTED
    assert over.intent.owner_of("tilt.any") is FITTED
    assert over.intent.owner_of("rest") is Owner.UNMANAGED


@pytest.mark.parametrize(
    ("layer", "kept"),
    [
        (BASE, {"rate": "100", "centre": "1487"}),
        (KIT, {"rate": "80", "centre": "1487"}),
    ],
)
def test_only_layers_more_special_than_the_asked_one_stand_over_it(
    layer: Owner, kept: dict[str, str]
) -> None:
    over = overlaid(asked(layer, {"rate": "80", "centre": "1500"}), OWN)
    assert values(over) == kept


@pytest.mark.parametrize("layer", [FITTED, Owner.UNMANAGED])
def test_nothing_stands_over_a_fitted_layer_or_a_backup(layer: Owner) -> None:
    over = overlaid(asked(layer, {"rate": "80", "centre": "1500"}), OWN)
    assert values(over) == {"rate": "80", "centre": "1500"}
    assert (over.replaced, over.waived, over.intent.claimed) == ((), (), {})


def test_a_waiver_of_the_aircraft_holds_for_a_baseline_too() -> None:
    waivers = {
        n: Waiver(name=n, reason="bench logger", place=HERE) for n in ("log", "gone")
    }
    own = replace(OWN, waivers=waivers)
    over = overlaid(asked(BASE, {"log": "200"}), own)
    assert over.waived == ("log",)
    assert set(over.intent.waivers) == {"log"}
