"""Coolant laws over their whole range against CoolProp 8 (letter C): `INCOMP::MEG[x]` and `Water` at 200 kPa."""

import pytest
from CoolProp.CoolProp import PropsSI

from sim.laws import coolant
from tests.published.values.coolant import ABSOLUTE_ZERO, PROPERTIES, coolprop, raoult_pressure

GLYCOL = (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6)
"""Mass fractions [-]."""
TEMPERATURES = tuple(range(-50, 101, 10))
"""[degC], of which those above freezing are taken: the correlation ends at 100 degC."""
FREEZING = 0.2
"""Tolerance [K]."""
SATURATION = 0.004
"""Tolerance of pressure [share of the value]."""
LATENT_HEAT = 0.001
"""Tolerance [share of the value]."""
WATER_BEYOND = {"density": 0.005, "heat capacity": 0.025, "conductivity": 0.02, "viscosity": 0.07}
"""Tolerances against water from 100 to 140 degC, where the laws extrapolate [share of the value]."""


@pytest.mark.parametrize("name", PROPERTIES)
@pytest.mark.parametrize("glycol", GLYCOL)
def test_property_from_freezing_to_100_degrees(name: str, glycol: float) -> None:
    output, scale, _, tolerance, law = PROPERTIES[name]
    liquid = [float(t) for t in TEMPERATURES if t > coolant.freezing_point(glycol) + 1.0]
    assert len(liquid) >= 10
    for temperature in liquid:
        expected = coolprop(output, temperature, glycol) * scale
        assert law(temperature, glycol) == pytest.approx(expected, rel=tolerance), temperature


@pytest.mark.parametrize("name", PROPERTIES)
@pytest.mark.parametrize("temperature", [110.0, 125.0, 140.0])
def test_property_of_water_above_100_degrees(name: str, temperature: float) -> None:
    output, scale, _, _, law = PROPERTIES[name]
    expected = PropsSI(output, "T", temperature - ABSOLUTE_ZERO, "P", 5e5, "Water") * scale
    assert law(temperature, 0.0) == pytest.approx(expected, rel=WATER_BEYOND[name])


@pytest.mark.parametrize("glycol", [x for x in GLYCOL if x > 0.0])
def test_freezing_point(glycol: float) -> None:
    expected = PropsSI("T_FREEZE", "T", 300.0, "P", 2e5, f"INCOMP::MEG[{glycol}]") + ABSOLUTE_ZERO
    assert coolant.freezing_point(glycol) == pytest.approx(expected, abs=FREEZING)


@pytest.mark.parametrize("glycol", [0.0, 0.3, 0.5, 0.7])
def test_saturation_pressure_by_raoult(glycol: float) -> None:
    for temperature in range(5, 141, 15):
        expected = raoult_pressure(temperature, glycol)
        assert coolant.saturation_pressure(float(temperature), glycol) == pytest.approx(expected, rel=SATURATION)


def test_latent_heat() -> None:
    for temperature in range(5, 141, 15):
        kelvin = temperature - ABSOLUTE_ZERO
        expected = PropsSI("H", "T", kelvin, "Q", 1, "Water") - PropsSI("H", "T", kelvin, "Q", 0, "Water")
        assert coolant.latent_heat(float(temperature)) == pytest.approx(expected, rel=LATENT_HEAT)


@pytest.mark.parametrize("glycol", [0.0, 0.3, 0.5])
def test_energy_between_two_temperatures(glycol: float) -> None:
    """Heat from 10 to 90 degC against the enthalpy difference of CoolProp, within 1 %."""
    expected = coolprop("H", 90.0, glycol) - coolprop("H", 10.0, glycol)
    given = coolant.specific_energy(90.0, glycol) - coolant.specific_energy(10.0, glycol)
    assert given == pytest.approx(expected, rel=0.01)
