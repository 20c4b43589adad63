"""What a customer complains of in the month after: each complaint by a part that brings it."""

from __future__ import annotations

import types
from collections.abc import Mapping

import numpy as np
import pytest

from grading.marks.comeback import Comeback, follow
from sim.fleet import Fleet
from sim.vehicle.parameters import healthy
from sim.world import Weather, World

Part = Mapping[str, float]
MILD_C, WARM_C = 2.0, 25.0
COLD = "the air at the vents stays cold"
REAR = {"rear_G": 2.5, "rear_L": 1.2}
"""Parameters of a vehicle with a rear heater."""


def month(
    mornings: list[float], part: Part, warm_enough_C: float = 35.0, like: Part = types.MappingProxyType({})
) -> Comeback:
    """Days of a vehicle with one part as given, beside the same vehicle in sound order."""
    both = np.concatenate([healthy(1, {**like, **part}), healthy(1, {**like})])
    return follow(World(Fleet.cold(both, mornings[0]), Weather(mornings[0])), mornings, warm_enough_C)


@pytest.mark.parametrize(
    ("part", "what"),
    [
        ({}, ""),
        ({"lift_least": 1.0}, COLD),
        ({"blend_most": 0.3}, COLD),
        ({"pack_1_ohm": 1000.0}, "hardly any air on blower speed 1"),
        ({"pack_2_ohm": 1000.0}, "hardly any air on blower speed 2"),
        ({"pack_3_ohm": 1000.0}, "hardly any air on blower speed 3"),
        ({"blower_m3_s": 0.045}, "hardly any air on blower speed 1"),
        ({"blower_m3_s": 0.055}, "less air than before on blower speed 1"),
        ({"blower_m3_s": 0.07}, ""),
        ({"mode_moves": 0.0, "mode_rest": 1.0}, "the air does not go to the floor when it should"),
        ({"mode_moves": 0.0, "mode_rest": 0.0}, "the air does not go to the face when it should"),
        ({"gauge_works": 0.0, "gauge_rest": 0.2}, "the temperature gauge stands where it should not"),
        ({"gauge_works": 0.0, "gauge_rest": 0.3}, ""),  # mid-scale is 0.5
        ({"carpet_g": 500.0}, "the carpet is wet with coolant"),
        ({"carpet_g": 40.0}, ""),
    ],
)
def test_a_complaint_of_the_first_day(part: dict[str, float], what: str) -> None:
    assert month([MILD_C], part) == Comeback(1 if what else None, what, False)


def test_air_that_is_warm_enough_is_not_complained_of() -> None:
    assert month([MILD_C], {"blend_most": 0.3}, 5.0).what == ""
    assert month([MILD_C], {}, 80.0).what == ""  # nor what the sound vehicle does no better


def test_a_rear_heater_is_felt_in_the_rear() -> None:
    assert month([MILD_C], {}, like=REAR).what == ""
    assert month([MILD_C], {"rear_air_share": 1.0}, like=REAR).what == "the air at the rear vents stays cold"


@pytest.mark.parametrize(
    ("mornings", "day", "dangerous"),
    [([WARM_C], 1, True), ([MILD_C, WARM_C], 2, True), ([MILD_C, MILD_C, WARM_C], 3, False)],
)
def test_an_engine_that_overheats_within_two_days_was_handed_back_dangerous(
    mornings: list[float], day: int, dangerous: bool
) -> None:
    """A thermostat that stays shut, found out by the first warm day."""
    assert month(mornings, {"lift_most": 0.0}) == Comeback(day, "the needle goes into the red", dangerous)


def test_what_is_cold_is_not_dangerous() -> None:
    assert month([MILD_C], {"lift_least": 1.0}).dangerous is False


def test_a_heater_that_does_not_shut_is_felt_in_the_warm_spell() -> None:
    stuck = {"valve_least": 1.0, "blend_least": 1.0}
    assert month([MILD_C] * 23, stuck).day is None
    assert month([MILD_C] * 24, stuck) == Comeback(
        24, "warm air at the vents in warm weather, with the control at cold", False
    )


def test_a_jam_in_the_warm_spell_finds_a_fan_that_does_not_run() -> None:
    weak = {"fan_works": 0.0, "still_kg_s": 0.0, "radiator_clear": 0.4}
    assert month([30.0] * 25, weak) == Comeback(25, "the needle goes into the red at idle", False)


def test_coolant_is_looked_at_on_the_day_of_rest() -> None:
    """Of a bottle that holds 1.2 litres cold, all are gone; half a litre is not missed."""
    bottle = {"bottle_L": 1.2}
    assert month([MILD_C] * 6, {"bottle_L": 0.0}, like=bottle).day is None
    assert month([MILD_C] * 7, {"bottle_L": 0.0}, like=bottle) == Comeback(7, "coolant has to be topped up", False)
    assert month([MILD_C] * 7, {"bottle_L": 0.7}, like=bottle).day is None
