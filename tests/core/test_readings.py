"""Looks at the aircraft: which of them agree, and what is told of them."""

import pytest

from benchlink.core.readings import (
    MEASURES,
    Measured,
    Quantity,
    agree,
    settled,
)

ROLL, VOLTS, CHANNEL = Quantity.ROLL, Quantity.PACK_VOLTS, Quantity.CHANNEL


def seen(quantity: Quantity, value: float, number: int = 0) -> Measured:
    return Measured(quantity=quantity, value=value, number=number)


def test_every_quantity_has_a_measure_with_a_unit_of_ours() -> None:
    for quantity in Quantity:
        measure = MEASURES[quantity]
        assert measure.units[measure.unit].ours(1) == 1
        assert measure.least < measure.most
        assert measure.near > 0


@pytest.mark.parametrize(
    ("quantity", "unit", "number", "ours"),
    [
        (ROLL, "rad", 3.14159265, 180),
        (Quantity.YAW_RATE, "rad/s", -0.5, -28.6479),
        (Quantity.ACCELERATION_DOWN, "m/s2", -9.80665, -1),
        (CHANNEL, "s", 0.0015, 1500),
        (CHANNEL, "ms", 1.5, 1500),
        (VOLTS, "mV", 15900, 15.9),
        (Quantity.CURRENT, "mA", 310, 0.31),
        (Quantity.TEMPERATURE, "K", 304.65, 31.5),
        (Quantity.TEMPERATURE, "F", 212, 100),
        (Quantity.UPTIME, "min", 2, 120),
        (Quantity.MOTOR_SPEED, "rev/s", 50, 3000),
    ],
)
def test_a_unit_of_the_board_becomes_ours(
    quantity: Quantity, unit: str, number: float, ours: float
) -> None:
    assert MEASURES[quantity].units[unit].ours(number) == pytest.approx(ours, rel=1e-4)


def test_looks_agree_where_all_of_it_is_near_whatever_the_order() -> None:
    first = (seen(ROLL, 1.0), seen(CHANNEL, 1500, 1), seen(CHANNEL, 1000, 2))
    second = (seen(CHANNEL, 1004, 2), seen(ROLL, 1.4), seen(CHANNEL, 1500, 1))
    assert agree(first, second)
    assert not agree(first, (seen(ROLL, 9.0), *first[1:]))
    assert not agree(first, first[:2])


def test_a_value_that_two_of_three_looks_tell_is_the_latest_of_those() -> None:
    copies = [[seen(VOLTS, v)] for v in (15.9, 85.9, 15.8)]
    (reading,) = settled(copies)
    assert (reading.value, reading.between) == (15.8, None)
    (reading,) = settled([*copies, [seen(VOLTS, 35.8)]])
    assert reading.value == 15.8


def test_a_value_that_no_two_looks_tell_alike_is_not_steady() -> None:
    (reading,) = settled([[seen(ROLL, v)] for v in (5.0, -12.0, 20.0)])
    assert reading.between == (-12.0, 20.0)


def test_what_came_but_once_is_no_reading() -> None:
    assert settled([[seen(ROLL, 1), seen(CHANNEL, 1500, 3)], [seen(ROLL, 1)]]) == (
        settled([[seen(ROLL, 1)], [seen(ROLL, 1)]])
    )
    assert settled([[seen(ROLL, 1)]]) == ()
