"""Engine coolant: mixtures of ethylene glycol and water.

Throughout, `temperature` is in [degC], -40 to 140, and `glycol` is the mass fraction of ethylene glycol [-], 0 to 0.7.
The polynomials are minimax fits to CoolProp's `INCOMP::MEG` (glycol 0.05 to 0.6, from freezing to 100 degC) and its
water (0 to 100 degC) at 200 kPa; each function states its largest deviation from them. Above 100 degC and above 0.6
they extrapolate.
"""

import math

from sim.compile import jit

CONCENTRATE_DENSITY = 1125.0
"""Density of antifreeze concentrate at 20 degC [kg/m3], +-15 between brands. Source: common practice."""
CONCENTRATE_GLYCOL = 0.95
"""Mass fraction of glycol in antifreeze concentrate [-], +-0.02; the rest is water and additives. Source: recalled."""
WATER_DENSITY = 998.2
"""Density of water at 20 degC [kg/m3], +-0.1. Source: CoolProp `Water`."""
LATENT_ICE = 333.6e3
"""Latent heat of fusion of ice [J/kg]. Source: textbook (M)."""
MOLAR_MASS_RATIO = 18.015 / 62.068
"""Molar mass of water over that of ethylene glycol [-]. Source: standard atomic weights."""

# ln(p/kPa) = A - B / (C + T): water fitted to CoolProp between 5 and 140 degC, within 0.31 %; glycol is log10(p/mmHg) =
# 8.0908 - 2088.936 / (203.454 + T), constants recalled, converted to natural logarithm and kPa.
_WATER_A, _WATER_B, _WATER_C = 16.44943, 3919.344, 231.2638
_GLYCOL_A, _GLYCOL_B, _GLYCOL_C = 16.614802, 4809.9529, 203.454


@jit
def glycol_of_mixture(volume_fraction: float) -> float:
    """Glycol mass fraction [-] of a mixture made with `volume_fraction` [-] of antifreeze concentrate, 0 to 1.

    x = 0.95 v rho_c / (v rho_c + (1 - v) rho_w), with the volumes measured before mixing. A workshop's 50/50 is close
    to 0.50. Accuracy: +-0.02, as concentrates differ. Source: mass balance with the constants above.

    >>> round(glycol_of_mixture(0.5), 3)
    0.503
    """
    concentrate = volume_fraction * CONCENTRATE_DENSITY
    return CONCENTRATE_GLYCOL * concentrate / (concentrate + (1.0 - volume_fraction) * WATER_DENSITY)


@jit
def density(temperature: float, glycol: float) -> float:
    """Density [kg/m3] at `temperature` [degC], -40 to 140, and `glycol` mass fraction [-], 0 to 0.7.

    Polynomial in both. Accuracy: 0.2 % of CoolProp up to 100 degC, 0.5 % of its water at 140 degC.
    Source: fitted to CoolProp 8 `INCOMP::MEG` and `Water`.

    >>> round(density(90.0, 0.5))
    1018
    """
    return 1000.8 + 145.37 * glycol - (0.16112 + 0.46623 * glycol + 0.0024441 * temperature) * temperature


@jit
def heat_capacity_coefficients(glycol: float) -> tuple[float, float]:
    """(c0 [J/(kg K)], c1 [J/(kg K2)]) of the heat capacity c0 + c1 T, for `glycol` mass fraction [-], 0 to 0.7.

    Linear in T, so that the energy between two temperatures is exact in closed form.
    Accuracy: see `heat_capacity`.
    Source: fitted to CoolProp 8 `INCOMP::MEG` and `Water`.

    >>> heat_capacity_coefficients(0.0)
    (4181.9, -0.046731)
    """
    return 4181.9 - (1515.5 + 923.37 * glycol) * glycol, -0.046731 + 9.8169 * glycol


@jit
def heat_capacity(temperature: float, glycol: float) -> float:
    """Heat capacity [J/(kg K)] at `temperature` [degC], -40 to 140, and `glycol` mass fraction [-], 0 to 0.7.

    cp = c0(x) + c1(x) T. Accuracy: 1.4 % of CoolProp up to 100 degC (rms 0.5 %), 2.5 % of its water at 140 degC.
    Source: fitted to CoolProp 8 `INCOMP::MEG` and `Water`.

    >>> round(heat_capacity(20.0, 0.5))
    3291
    """
    c0, c1 = heat_capacity_coefficients(glycol)
    return c0 + c1 * temperature


@jit
def specific_energy(temperature: float, glycol: float) -> float:
    """Thermal energy [J/kg] relative to 0 degC, at `temperature` [degC], -40 to 140, for `glycol` mass fraction [-], 0
    to 0.7.

    u = c0 T + c1 T^2 / 2: the exact integral of `heat_capacity`. Accuracy: see `heat_capacity`. Source: fitted to
    CoolProp 8 `INCOMP::MEG` and `Water`.

    >>> round(specific_energy(1.0, 0.5) - specific_energy(0.0, 0.5), 3) == round(heat_capacity(0.5, 0.5), 3)
    True
    """
    c0, c1 = heat_capacity_coefficients(glycol)
    return (c0 + 0.5 * c1 * temperature) * temperature


@jit
def conductivity(temperature: float, glycol: float) -> float:
    """Thermal conductivity [W/(m K)] at `temperature` [degC], -40 to 140, `glycol` mass fraction [-], 0 to 0.7.

    Polynomial in both. Accuracy: 0.8 % of CoolProp up to 100 degC, 2 % of its water at 140 degC.
    Source: fitted to CoolProp 8 `INCOMP::MEG` and `Water`.

    >>> round(conductivity(90.0, 0.5), 3)
    0.431
    """
    at_zero = 0.5598 - (0.40713 - 0.086904 * glycol) * glycol
    slope = 0.0018659 - 0.0024296 * glycol
    bend = -6.4232e-6 + 1.1443e-5 * glycol
    return at_zero + (slope + bend * temperature) * temperature


@jit
def viscosity(temperature: float, glycol: float) -> float:
    """Dynamic viscosity [mPa s] at `temperature` [degC], -40 to 140, `glycol` mass fraction [-], 0 to 0.7.

    Vogel's law, ln mu = a(x) + b(x) / (T + 133.3).
    Accuracy: 6 % of CoolProp up to 100 degC (rms 3.5 %), 7 % of its water at 140 degC.
    Source: fitted to CoolProp 8 `INCOMP::MEG` and `Water`.

    >>> round(viscosity(20.0, 0.5), 1)
    3.9
    """
    return math.exp(log_viscosity(temperature, glycol))


@jit
def log_viscosity(temperature: float, glycol: float) -> float:
    """Natural logarithm [-] of `viscosity` in mPa s, at `temperature` [degC] and `glycol` mass fraction [-].

    Range and accuracy as there. Source: as `viscosity`.

    >>> round(log_viscosity(20.0, 0.5), 2)
    1.36
    """
    # Clamped at -60 degC: the formula has a pole at -133 degC, which a solver's trial step must not reach.
    return -3.5544 - 0.10691 * glycol + (544.31 + 433.70 * glycol) / (max(temperature, -60.0) + 133.3)


@jit
def freezing_point(glycol: float) -> float:
    """Temperature [degC] at which ice begins to form, for `glycol` mass fraction [-], 0 to 0.6.

    Cubic. Accuracy: 0.2 K of CoolProp; above 0.6 real mixtures form a glass or freeze at a higher temperature again.
    Source: fitted to CoolProp 8 `T_FREEZE` of `INCOMP::MEG`.

    >>> round(freezing_point(0.5), 1)
    -35.9
    """
    return -(26.481 + (51.188 + 78.727 * glycol) * glycol) * glycol


@jit
def ice_share(temperature: float, freezing: float) -> float:
    """Mass fraction [-] of ice in coolant at `temperature` [degC] whose freezing point is `freezing` [degC].

    f = d / (d + D) with d the depth below freezing and D = 1 - 1.8 T_f: the remaining liquid is enriched to the
    composition that freezes at that temperature. Pure water freezes over one or two kelvin, since a node has a single
    temperature. Accuracy: 0.08 of the lever rule on `freezing_point`, glycol 0.1 to 0.3, down to -20 degC. Source:
    lever rule (textbook, M), fitted.

    >>> round(ice_share(-20.0, freezing_point(0.2)), 2)
    0.44
    """
    below = freezing - temperature
    return below / (below + 1.0 - 1.8 * freezing) if below > 0.0 else 0.0


@jit
def ice_slope(temperature: float, freezing: float) -> float:
    """Derivative of `ice_share` per kelvin of cooling [1/K], at `temperature` [degC] and `freezing` point [degC].

    Exact. Source: as `ice_share`.

    >>> round(ice_slope(-20.0, freezing_point(0.2)), 3)
    0.02
    """
    below = freezing - temperature
    if below <= 0.0:
        return 0.0
    width = 1.0 - 1.8 * freezing
    return width / ((below + width) * (below + width))


@jit
def _water_mole_fraction(glycol: float) -> float:
    return (1.0 - glycol) / (1.0 - glycol + MOLAR_MASS_RATIO * glycol)


@jit
def saturation_pressure(temperature: float, glycol: float) -> float:
    """Absolute pressure [kPa] at which coolant of `temperature` [degC], 0 to 140, and `glycol` [-], 0 to 0.7, boils.

    Raoult's law, p = y p_water(T) + (1 - y) p_glycol(T) with y the mole fraction of water. Accuracy: water 0.4 % of
    CoolProp from 5 to 140 degC; expressed as a boiling point, 1 K of SAE J814. Source: water fitted to CoolProp 8,
    Antoine constants of glycol recalled.

    >>> round(saturation_pressure(100.0, 0.0), 1)
    101.3
    """
    warm = max(temperature, -60.0)
    water = _water_mole_fraction(glycol)
    return water * math.exp(_WATER_A - _WATER_B / (_WATER_C + warm)) + (1.0 - water) * math.exp(
        _GLYCOL_A - _GLYCOL_B / (_GLYCOL_C + warm)
    )


@jit
def boiling_point(pressure: float, glycol: float) -> float:
    """Boiling temperature [degC] at absolute `pressure` [kPa], 20 to 300, for `glycol` mass fraction [-], 0 to 0.7.

    Inverse of `saturation_pressure`, by three Newton steps in ln p.
    Accuracy: 1e-5 K as an inverse; 1 K of SAE J814.
    Source: as `saturation_pressure`.

    >>> round(boiling_point(101.325, 0.5), 1)
    107.1
    """
    log_pressure = math.log(max(pressure, 1.0))
    # Glycol contributes little vapour, so the boiling point of water alone is a starting value within a few kelvin.
    start = log_pressure - math.log(max(_water_mole_fraction(glycol), 0.1))
    temperature = _WATER_B / (_WATER_A - min(start, 12.0)) - _WATER_C
    for _ in range(3):
        error = math.log(saturation_pressure(temperature, glycol)) - log_pressure
        temperature -= error * (_WATER_C + temperature) ** 2 / _WATER_B
    return temperature


@jit
def latent_heat(temperature: float) -> float:
    """Latent heat of evaporation of water [J/kg] at `temperature` [degC], 0 to 140.

    Quadratic. Accuracy: 0.1 % of CoolProp. Almost only the water of a coolant evaporates. Source: fitted to CoolProp 8
    `Water`.

    >>> round(latent_heat(100.0) / 1e3)
    2256
    """
    return 2.49869e6 - (2208.85 + 2.22295 * temperature) * temperature
