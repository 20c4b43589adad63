"""Effectiveness over a grid against the exact series of `ht` (letter C)."""

import pytest
from ht.core import LMTD
from ht.hx import effectiveness_from_NTU

from sim.laws import exchangers
from tests.published.values.exchangers import CLOSED_FORM, CLOSED_FORM_BEYOND

STEADY_STATE = 1e-9
"""Tolerance of one heat worked out in two ways [share of the value]."""


@pytest.mark.parametrize("capacity_ratio", [0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0])
@pytest.mark.parametrize("ntu", [0.1, 0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0])
def test_effectiveness_near_the_exact_series(ntu: float, capacity_ratio: float) -> None:
    exact = effectiveness_from_NTU(NTU=ntu, Cr=capacity_ratio, subtype="crossflow")
    tolerance = CLOSED_FORM if ntu <= 3.0 else CLOSED_FORM_BEYOND
    assert exchangers.effectiveness_crossflow(ntu, capacity_ratio) == pytest.approx(exact, abs=tolerance)


@pytest.mark.parametrize("ntu", [0.1, 1.0, 5.0])
def test_effectiveness_of_a_boiler(ntu: float) -> None:
    exact = effectiveness_from_NTU(NTU=ntu, Cr=0.01, subtype="boiler")
    assert exchangers.effectiveness_crossflow(ntu, 0.0) == pytest.approx(exact, rel=1e-12)


@pytest.mark.parametrize(("hot", "cold"), [((100.0, 60.0), (30.0, 40.2)), ((90.0, 70.0), (-10.0, 50.0))])
def test_log_mean(hot: tuple[float, float], cold: tuple[float, float]) -> None:
    expected = LMTD(Thi=hot[0], Tho=hot[1], Tci=cold[0], Tco=cold[1])
    assert exchangers.log_mean_difference(hot[0] - cold[1], hot[1] - cold[0]) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("litres_per_minute", "kilowatts", "air_outlet"), [(8.0, 7.4, 64.0), (2.0, 6.0, 50.0), (0.5, 2.8, 18.0)]
)
def test_heater_core_of_the_trade(litres_per_minute: float, kilowatts: float, air_outlet: float) -> None:
    """UA 180 W/K (P), air 0.10 kg/s, coolant 85 and air -10 degC: figures worked out from UA elsewhere (C)."""
    c_air = 0.10 * 1006.0
    c_coolant = litres_per_minute / 60e3 * 1021.0 * 3600.0
    smaller = min(c_air, c_coolant)
    effectiveness = exchangers.effectiveness_crossflow(180.0 / smaller, smaller / max(c_air, c_coolant))
    heat = effectiveness * smaller * 95.0
    assert heat / 1e3 == pytest.approx(kilowatts, abs=0.15)
    assert -10.0 + heat / c_air == pytest.approx(air_outlet, abs=1.5)
