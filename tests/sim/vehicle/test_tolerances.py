"""Vehicles of a type differ as their tolerances say, and the same seed makes the same vehicles."""

from __future__ import annotations

import numpy as np
import pytest

from sim.vehicle.parameters import PARAMETERS, healthy
from sim.vehicle.tolerances import TRUNCATION_SD, draw, uniform


def test_vehicle_i_is_the_same_whatever_the_size_and_order_of_the_fleet() -> None:
    whole = draw({}, "a", 50)
    assert np.array_equal(whole[13:20], draw({}, "a", 7, first=13))
    assert np.array_equal(whole[:1], draw({}, "a", 1))


def test_another_seed_makes_other_vehicles() -> None:
    assert not np.array_equal(draw({}, "a", 5), draw({}, "b", 5))


@pytest.fixture(scope="module")
def many() -> np.ndarray:
    """Many vehicles of one type."""
    return draw({}, "spread", 2000)


@pytest.mark.parametrize(
    "name", [p.name for p in PARAMETERS.values() if p.spread > 0.0 and (p.default or p.spread_kind == "offset")]
)
def test_spread_is_as_stated(name: str, many: np.ndarray) -> None:
    parameter = PARAMETERS[name]
    values = many[name]
    deviation = np.log(values / parameter.default) if parameter.spread_kind == "factor" else values - parameter.default
    assert abs(float(deviation.mean())) < 0.05 * parameter.spread
    assert float(deviation.std()) == pytest.approx(parameter.spread, rel=0.08)
    assert float(np.abs(deviation).max()) <= TRUNCATION_SD * parameter.spread * (1.0 + 1e-9)


def test_what_has_no_spread_is_as_the_type_says() -> None:
    fleet = draw({"jacket_L": 4.0}, "x", 10)
    assert np.all(fleet["jacket_L"] == 4.0)


def test_any_two_tolerances_are_unrelated() -> None:
    fleet = draw({}, "pairs", 2000)
    names = [p.name for p in PARAMETERS.values() if p.spread > 0.0 and (p.default or p.spread_kind == "offset")]
    table = np.array([np.argsort(np.argsort(fleet[name])) for name in names], dtype=float)
    related = np.corrcoef(table) - np.eye(len(names))
    assert float(np.abs(related).max()) < 0.1


def test_an_unknown_parameter_is_refused() -> None:
    with pytest.raises(KeyError):
        healthy(1, {"no_such": 1.0})


def test_keyed_numbers_depend_on_every_part_of_their_key() -> None:
    keys = [("a", 1), ("a", 2), ("b", 1), ("a1",), ("a", "1", "x")]
    values = [uniform(*key) for key in keys]
    assert len(set(values)) == len(values)
    assert all(0.0 < value < 1.0 for value in values)
    assert uniform("a", 1) == uniform("a", 1)
