"""Properties of the laws of air as mathematics."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.laws import air

pressures = st.floats(50.0, 110.0)


@given(st.floats(-40.0, 60.0), pressures)
def test_dew_point_inverts_saturation(temperature: float, pressure: float) -> None:
    ratio = air.saturation_humidity_ratio(temperature, pressure)
    assert air.dew_point(ratio, pressure) == pytest.approx(temperature, abs=1e-7)


@given(st.floats(-40.0, 79.0), pressures)
def test_density_follows_the_gas_law(temperature: float, pressure: float) -> None:
    product = air.density(temperature, pressure) * (temperature + 273.15) / pressure
    assert product == pytest.approx(1.0 / air.GAS_CONSTANT)


@given(st.floats(-400.0, 10_000.0))
def test_pressure_falls_by_the_weight_of_the_air(altitude: float) -> None:
    """dp/dz = -rho g with the standard lapse of 6.5 K/km, within 0.1 %."""
    step = 10.0
    fall = air.standard_atmosphere_pressure(altitude - step) - air.standard_atmosphere_pressure(altitude + step)
    density = air.density(15.0 - 0.0065 * altitude, air.standard_atmosphere_pressure(altitude))
    assert 1e3 * fall / (2.0 * step) == pytest.approx(9.80665 * density, rel=1e-3)


@given(st.floats(-1e4, 1e4), st.floats(0.0, 1e4))
def test_no_law_fails_far_outside_its_range(temperature: float, pressure: float) -> None:
    assert air.saturation_humidity_ratio(temperature, pressure) >= 0.0
    assert air.density(temperature, pressure) >= 0.0
    assert air.dew_point(temperature, pressure) > -120.0
    assert air.standard_atmosphere_pressure(100.0 * temperature) >= 0.0
