"""Coolant against CoolProp 8, SAE J814, ASTM D3306 and ASHRAE.

Pressures are absolute. A mixture by volume is one of antifreeze concentrate (see `sim.laws.coolant.glycol_of_mixture`),
but under Raoult's law one of pure glycol of 1113 kg/m3.
"""

import math
from collections.abc import Callable
from functools import partial

from CoolProp.CoolProp import PropsSI
from scipy.optimize import root_scalar

from sim.laws import coolant
from tests.published.value import Letter, PublishedValue

ATMOSPHERE = 101.325
"""One standard atmosphere [kPa]."""
ABSOLUTE_ZERO = -273.15
"""[degC]."""

PROPERTIES: dict[str, tuple[str, float, str, float, Callable[[float, float], float]]] = {
    "density": ("D", 1.0, "kg/m3", 0.005, coolant.density),
    "heat capacity": ("C", 1.0, "J/(kg K)", 0.02, coolant.heat_capacity),
    "conductivity": ("L", 1.0, "W/(m K)", 0.03, coolant.conductivity),
    "viscosity": ("V", 1e3, "mPa s", 0.10, coolant.viscosity),
}
"""Of each property: CoolProp's name, its unit in ours, ours, the tolerance [share of the value], Lukewarm's law."""

POINTS: dict[float, tuple[float, ...]] = {
    0.3: (0.0, 20.0, 90.0),
    0.4: (-20.0, 20.0, 90.0),
    0.5: (-30.0, 0.0, 20.0, 60.0, 90.0, 100.0),
    0.6: (-30.0, 20.0, 90.0),
}
"""Temperatures [degC] by glycol mass fraction [-]."""

FREEZING = 1.0
"""Tolerance of freezing points against the correlation [K]."""
FREEZING_J814 = 1.5
"""Tolerance of freezing points by volume [K]: concentrates differ."""
BOILING_J814 = 1.0
"""Tolerance of boiling points by volume [K]: concentrates differ."""
BOILING_RAOULT = 0.3
"""Tolerance of boiling points against the same law with CoolProp's water [K]."""


def coolprop(output: str, temperature: float, glycol: float) -> float:
    """CoolProp's property at 200 kPa [its own SI unit]."""
    fluid = f"INCOMP::MEG[{glycol}]" if glycol > 0.0 else "Water"
    return PropsSI(output, "T", temperature - ABSOLUTE_ZERO, "P", 2e5, fluid)


def raoult_pressure(temperature: float, glycol: float) -> float:
    """Absolute pressure [kPa] at which coolant boils: water by CoolProp, glycol by Antoine (constants M)."""
    water, glycol_moles = (1.0 - glycol) / 18.015, glycol / 62.068
    share = water / (water + glycol_moles)
    of_water = PropsSI("P", "T", temperature - ABSOLUTE_ZERO, "Q", 0, "Water") / 1e3
    of_glycol = 10.0 ** (8.0908 - 2088.936 / (203.454 + temperature)) * ATMOSPHERE / 760.0
    return share * of_water + (1.0 - share) * of_glycol


def raoult_boiling_point(pressure: float, glycol: float) -> float:
    """Boiling point [degC] at absolute `pressure` [kPa] by `raoult_pressure`, solved by SciPy."""
    solved = root_scalar(lambda t: math.log(raoult_pressure(t, glycol) / pressure), bracket=(20.0, 200.0))
    return float(solved.root)


def _property(name: str, glycol: float, temperature: float) -> PublishedValue:
    output, scale, unit, share, law = PROPERTIES[name]
    expected = coolprop(output, temperature, glycol) * scale
    return PublishedValue(
        key=f"coolant/{name}, {glycol} at {temperature:g}",
        what=f"{name}, glycol mass fraction {glycol}, {temperature:g} °C",
        source="CoolProp `INCOMP::MEG`",
        letter="C",
        expected=expected,
        unit=unit,
        tolerance=share * expected,
        compute=partial(law, temperature, glycol),
    )


def _freezing(glycol: float) -> PublishedValue:
    return PublishedValue(
        key=f"coolant/freezing, {glycol}",
        what=f"freezing point, glycol mass fraction {glycol}",
        source="CoolProp `INCOMP::MEG`",
        letter="C",
        expected=PropsSI("T_FREEZE", "T", 300.0, "P", 2e5, f"INCOMP::MEG[{glycol}]") + ABSOLUTE_ZERO,
        unit="°C",
        tolerance=FREEZING,
        compute=partial(coolant.freezing_point, glycol),
    )


def _freezing_by_volume(source: str, letter: Letter, percent: int, expected: float) -> PublishedValue:
    return PublishedValue(
        key=f"coolant/freezing, {percent} vol%, {source}",
        what=f"freezing point, {percent} vol% concentrate",
        source=source,
        letter=letter,
        expected=expected,
        unit="°C",
        tolerance=FREEZING_J814,
        compute=lambda: coolant.freezing_point(coolant.glycol_of_mixture(percent / 100.0)),
    )


def _boiling_by_volume(source: str, letter: Letter, percent: int, expected: float) -> PublishedValue:
    return PublishedValue(
        key=f"coolant/boiling, {percent} vol%, {source}",
        what=f"boiling point at 1 atm, {percent} vol% concentrate",
        source=source,
        letter=letter,
        expected=expected,
        unit="°C",
        tolerance=BOILING_J814,
        compute=lambda: coolant.boiling_point(ATMOSPHERE, coolant.glycol_of_mixture(percent / 100.0)),
    )


PURE_HALF = 0.5 * 1113.0 / (0.5 * 1113.0 + 0.5 * 998.2)
"""Mass fraction [-] of 50 vol% pure glycol."""


def _boiling_under_cap(glycol: float, name: str, pressure: float) -> PublishedValue:
    return PublishedValue(
        key=f"coolant/boiling, {name} at {pressure:.1f} kPa",
        what=f"boiling point at {pressure:.1f} kPa absolute, {name}",
        source="Raoult's law, water by CoolProp, glycol's Antoine constants recalled",
        letter="C",
        expected=raoult_boiling_point(pressure, glycol),
        unit="°C",
        tolerance=BOILING_RAOULT,
        compute=partial(coolant.boiling_point, pressure, glycol),
    )


def _latent_heat(temperature: float) -> PublishedValue:
    kelvin = temperature - ABSOLUTE_ZERO
    expected = PropsSI("H", "T", kelvin, "Q", 1, "Water") - PropsSI("H", "T", kelvin, "Q", 0, "Water")
    return PublishedValue(
        key=f"coolant/latent heat at {temperature:g}",
        what=f"latent heat of water, {temperature:g} °C",
        source="CoolProp `Water`",
        letter="C",
        expected=expected / 1e3,
        unit="kJ/kg",
        tolerance=0.005 * expected / 1e3,
        compute=lambda: coolant.latent_heat(temperature) / 1e3,
    )


def _ashrae_heat_capacity(temperature: float, expected: float) -> PublishedValue:
    return PublishedValue(
        key=f"coolant/heat capacity, 50 vol% at {temperature:g}, ASHRAE",
        what=f"heat capacity, 50 vol% concentrate, {temperature:g} °C",
        source="ASHRAE Handbook Fundamentals",
        letter="M",
        expected=expected,
        unit="kJ/(kg K)",
        tolerance=0.02 * expected,
        compute=lambda: coolant.heat_capacity(temperature, coolant.glycol_of_mixture(0.5)) / 1e3,
    )


CAPS = (0.0, 90.0, 103.4, 110.0)
"""Gauge pressures of radiator caps [kPa]."""
THIN_AIR = 83.5
"""Absolute pressure of the air at about 1600 m [kPa]."""

VALUES = [
    *(_property(name, x, t) for name in PROPERTIES for x, temperatures in POINTS.items() for t in temperatures),
    *(_freezing(x) for x in (0.3, 0.4, 0.5, 0.6)),
    *(_freezing_by_volume("SAE J814", "F", v, t) for v, t in ((40, -24.0), (50, -37.0), (60, -52.0))),
    _freezing_by_volume("ASTM D3306 (at most)", "M", 50, -36.4),
    *(_boiling_by_volume("SAE J814", "F", v, t) for v, t in ((40, 106.0), (50, 108.0), (60, 111.0), (70, 114.0))),
    _boiling_by_volume("ASTM D3306 (at least)", "M", 50, 107.8),
    *(
        _boiling_under_cap(x, name, pressure)
        for x, name in ((PURE_HALF, "50 vol% pure glycol"), (0.0, "water"))
        for pressure in (*(ATMOSPHERE + cap for cap in CAPS), THIN_AIR)
    ),
    _latent_heat(100.0),
    _latent_heat(125.0),
    _ashrae_heat_capacity(20.0, 3.281),
    _ashrae_heat_capacity(80.0, 3.51),
    PublishedValue(
        key="coolant/expansion",
        what="expansion by volume from 20 to 90 °C, glycol mass fraction 0.5",
        source="CoolProp `INCOMP::MEG`",
        letter="C",
        expected=100.0 * (coolprop("D", 20.0, 0.5) / coolprop("D", 90.0, 0.5) - 1.0),
        unit="%",
        tolerance=0.3,
        compute=lambda: 100.0 * (coolant.density(20.0, 0.5) / coolant.density(90.0, 0.5) - 1.0),
    ),
]
