"""Properties of the coolant laws as mathematics."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.laws import coolant

temperatures = st.floats(-40.0, 140.0)
glycols = st.floats(0.0, 0.7)


@given(st.floats(20.0, 400.0), glycols)
def test_boiling_point_inverts_saturation_pressure(pressure: float, glycol: float) -> None:
    boiling = coolant.boiling_point(pressure, glycol)
    assert coolant.saturation_pressure(boiling, glycol) == pytest.approx(pressure, rel=1e-6)


@given(temperatures, temperatures, glycols)
def test_energy_is_mean_heat_capacity_times_difference(t1: float, t2: float, glycol: float) -> None:
    mean = coolant.heat_capacity(0.5 * (t1 + t2), glycol)
    difference = coolant.specific_energy(t2, glycol) - coolant.specific_energy(t1, glycol)
    assert difference == pytest.approx(mean * (t2 - t1), rel=1e-9, abs=1e-6)


@given(temperatures, glycols)
def test_every_property_stays_physical(temperature: float, glycol: float) -> None:
    assert 900.0 < coolant.density(temperature, glycol) < 1130.0
    assert 2300.0 < coolant.heat_capacity(temperature, glycol) < 4300.0
    assert 0.25 < coolant.conductivity(temperature, glycol) < 0.72
    assert 0.15 < coolant.viscosity(temperature, glycol) < 400.0
    assert 2.1e6 < coolant.latent_heat(temperature) < 2.6e6


@given(st.floats(-40.0, 139.0), glycols)
def test_warmer_is_thinner_and_has_more_vapour(temperature: float, glycol: float) -> None:
    warmer = temperature + 1.0
    assert coolant.viscosity(warmer, glycol) < coolant.viscosity(temperature, glycol)
    assert coolant.saturation_pressure(warmer, glycol) > coolant.saturation_pressure(temperature, glycol)
    assert coolant.latent_heat(warmer) < coolant.latent_heat(temperature)


@given(st.floats(8.0, 139.0), glycols)
def test_warmer_is_lighter(temperature: float, glycol: float) -> None:
    assert coolant.density(temperature + 1.0, glycol) < coolant.density(temperature, glycol)


@given(st.floats(0.0, 0.69), st.floats(20.0, 300.0))
def test_more_glycol_freezes_lower_and_boils_higher(glycol: float, pressure: float) -> None:
    more = glycol + 0.01
    assert coolant.freezing_point(more) < coolant.freezing_point(glycol)
    assert coolant.boiling_point(pressure, more) > coolant.boiling_point(pressure, glycol)
    assert coolant.heat_capacity(20.0, more) < coolant.heat_capacity(20.0, glycol)


@given(st.floats(-1e4, 1e4), st.floats(0.0, 1.0), st.floats(-1e3, 1e5))
def test_no_law_fails_far_outside_its_range(temperature: float, glycol: float, pressure: float) -> None:
    """A solver's trial step may lie anywhere."""
    assert coolant.viscosity(temperature, glycol) > 0.0
    assert coolant.saturation_pressure(temperature, glycol) > 0.0
    assert -100.0 < coolant.boiling_point(pressure, glycol) < 1500.0


def test_water_and_concentrate_are_the_ends_of_a_mixture() -> None:
    assert coolant.freezing_point(0.0) == 0.0
    assert coolant.glycol_of_mixture(0.0) == 0.0
    assert coolant.glycol_of_mixture(1.0) == coolant.CONCENTRATE_GLYCOL
