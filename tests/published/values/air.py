"""Air against CoolProp 8 and the US Standard Atmosphere 1976 as the library `fluids` computes it."""

from functools import partial

from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from fluids import ATMOSPHERE_1976

from sim.laws import air
from tests.published.value import PublishedValue

ABSOLUTE_ZERO = -273.15
"""[degC]."""
DENSITY = 0.002
"""Tolerance of density [share of the value]."""
HEAT_CAPACITY = 0.004
"""Tolerance of the constant heat capacity [share of the value]."""
PRESSURE = 0.02
"""Tolerance of the standard atmosphere up to 3000 m [kPa]."""
HUMIDITY = 0.01
"""Tolerance of the saturation humidity ratio [share of the value]."""
DEW = 0.2
"""Tolerance of the dew point [K]."""


def _density(temperature: float) -> PublishedValue:
    expected = PropsSI("D", "T", temperature - ABSOLUTE_ZERO, "P", 101325, "Air")
    return PublishedValue(
        key=f"air/density at {temperature:g}",
        what=f"density at 101.325 kPa, {temperature:g} °C",
        source="CoolProp `Air`",
        letter="C",
        expected=expected,
        unit="kg/m3",
        tolerance=DENSITY * expected,
        compute=partial(air.density, temperature, 101.325),
    )


def _heat_capacity(temperature: float) -> PublishedValue:
    expected = PropsSI("C", "T", temperature - ABSOLUTE_ZERO, "P", 101325, "Air")
    return PublishedValue(
        key=f"air/heat capacity at {temperature:g}",
        what=f"heat capacity at 101.325 kPa, {temperature:g} °C",
        source="CoolProp `Air`",
        letter="C",
        expected=expected,
        unit="J/(kg K)",
        tolerance=HEAT_CAPACITY * expected,
        compute=lambda: air.HEAT_CAPACITY,
    )


def _pressure(altitude: float) -> PublishedValue:
    return PublishedValue(
        key=f"air/pressure at {altitude:g} m",
        what=f"standard atmosphere, {altitude:g} m",
        source="US Standard Atmosphere 1976 by `fluids`",
        letter="C",
        expected=ATMOSPHERE_1976(altitude).P / 1e3,
        unit="kPa",
        tolerance=PRESSURE,
        compute=partial(air.standard_atmosphere_pressure, altitude),
    )


def _saturation(temperature: float, pressure: float) -> PublishedValue:
    expected = 1e3 * HAPropsSI("W", "T", temperature - ABSOLUTE_ZERO, "P", 1e3 * pressure, "R", 1.0)
    return PublishedValue(
        key=f"air/saturation at {temperature:g} and {pressure:g} kPa",
        what=f"humidity ratio of saturated air, {temperature:g} °C, {pressure:g} kPa",
        source="CoolProp humid air",
        letter="C",
        expected=expected,
        unit="g/kg",
        tolerance=HUMIDITY * expected,
        compute=lambda: 1e3 * air.saturation_humidity_ratio(temperature, pressure),
    )


def _dew_point(humidity_ratio: float) -> PublishedValue:
    state = ("T", 313.15, "P", 101325, "W", humidity_ratio)
    return PublishedValue(
        key=f"air/dew point of {humidity_ratio:g}",
        what=f"dew point of air with {1e3 * humidity_ratio:g} g/kg, 101.325 kPa",
        source="CoolProp humid air",
        letter="C",
        expected=HAPropsSI("D", *state) + ABSOLUTE_ZERO,
        unit="°C",
        tolerance=DEW,
        compute=partial(air.dew_point, humidity_ratio, 101.325),
    )


VALUES = [
    *(_density(t) for t in (-30.0, -10.0, 0.0, 20.0, 60.0)),
    *(_heat_capacity(t) for t in (-30.0, 20.0, 60.0)),
    *(_pressure(z) for z in (0.0, 1000.0, 1500.0, 2000.0, 3000.0)),
    *(_saturation(t, p) for t, p in ((5.0, 101.325), (20.0, 101.325), (20.0, 84.56), (40.0, 101.325))),
    *(_dew_point(w) for w in (0.005, 0.010, 0.020)),
]
