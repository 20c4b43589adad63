"""Air laws over their range against CoolProp 8 and `fluids` (letter C)."""

import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from fluids import ATMOSPHERE_1976

from sim.laws import air
from tests.published.values.air import ABSOLUTE_ZERO, DENSITY, DEW, HUMIDITY

ATMOSPHERE_TO_5_KM = 0.0006
"""Tolerance of pressure from -400 to 5000 m [share of the value]."""
VAPOUR = 0.004
"""Tolerance of vapour pressure from 1 to 60 degC [share of the value]."""


@pytest.mark.parametrize("pressure", [70.0, 84.5, 101.325])
def test_density(pressure: float) -> None:
    for temperature in range(-40, 81, 20):
        expected = PropsSI("D", "T", temperature - ABSOLUTE_ZERO, "P", 1e3 * pressure, "Air")
        assert air.density(float(temperature), pressure) == pytest.approx(expected, rel=DENSITY)


@pytest.mark.parametrize("altitude", [-400.0, 250.0, 750.0, 2500.0, 4000.0, 5000.0])
def test_standard_atmosphere(altitude: float) -> None:
    expected = ATMOSPHERE_1976(altitude).P / 1e3
    assert air.standard_atmosphere_pressure(altitude) == pytest.approx(expected, rel=ATMOSPHERE_TO_5_KM)


def test_vapour_pressure() -> None:
    for temperature in range(1, 61):
        expected = PropsSI("P", "T", temperature - ABSOLUTE_ZERO, "Q", 0, "Water") / 1e3
        assert air.vapour_pressure(float(temperature)) == pytest.approx(expected, rel=VAPOUR)


@pytest.mark.parametrize("pressure", [70.0, 101.325])
def test_saturated_air(pressure: float) -> None:
    for temperature in range(1, 50, 4):
        expected = HAPropsSI("W", "T", temperature - ABSOLUTE_ZERO, "P", 1e3 * pressure, "R", 1.0)
        assert air.saturation_humidity_ratio(float(temperature), pressure) == pytest.approx(expected, rel=HUMIDITY)
        assert air.dew_point(expected, pressure) == pytest.approx(temperature, abs=DEW)
