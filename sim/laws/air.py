"""Moist air at the pressures and temperatures a vehicle meets."""

import math

from sim.compile import jit

GAS_CONSTANT = 0.287055
"""Specific gas constant of dry air [kJ/(kg K)], 1e-5. Source: US Standard Atmosphere 1976 (recalled)."""
HEAT_CAPACITY = 1006.0
"""Specific heat capacity of dry air at constant pressure [J/(kg K)], 0.4 % from -30 to 60 degC. Source: CoolProp
`Air`."""
MOLAR_MASS_RATIO = 0.62198
"""Molar mass of water over that of dry air [-]. Source: ASHRAE Handbook Fundamentals (recalled)."""

# Magnus formula p = 0.61094 exp(17.625 T / (243.04 + T)) kPa, Alduchov and Eskridge 1996 (recalled).
_MAGNUS_P, _MAGNUS_A, _MAGNUS_C = 0.61094, 17.625, 243.04


@jit
def density(temperature: float, pressure: float) -> float:
    """Density of dry air [kg/m3] at `temperature` [degC], -40 to 80, and absolute `pressure` [kPa], 50 to 110.

    rho = p / (R T). Accuracy: 0.15 % of CoolProp.
    Source: ideal gas law.

    >>> round(density(20.0, 101.325), 3)
    1.204
    """
    return pressure / (GAS_CONSTANT * (max(temperature, -200.0) + 273.15))


@jit
def standard_atmosphere_pressure(altitude: float) -> float:
    """Absolute pressure [kPa] at `altitude` [m], -400 to 11000.

    p = 101.325 (1 - 2.25577e-5 h)^5.25588. Accuracy: 0.02 % up to 3000 m, with geometric height taken as geopotential
    height. Source: US Standard Atmosphere 1976, constants recalled.

    >>> round(standard_atmosphere_pressure(1500.0), 2)
    84.56
    """
    return 101.325 * max(1.0 - 2.25577e-5 * altitude, 0.0) ** 5.25588


@jit
def vapour_pressure(temperature: float) -> float:
    """Saturation pressure [kPa] of water vapour over liquid water at `temperature` [degC], -40 to 60.

    Magnus formula. Accuracy: 0.4 % of CoolProp from 0 to 60 degC; below 0 degC over supercooled water, not over ice.
    Source: Alduchov and Eskridge 1996, constants recalled.

    >>> round(vapour_pressure(20.0), 2)
    2.33
    """
    warm = min(max(temperature, -100.0), 200.0)
    return _MAGNUS_P * math.exp(_MAGNUS_A * warm / (_MAGNUS_C + warm))


@jit
def saturation_humidity_ratio(temperature: float, pressure: float) -> float:
    """Humidity ratio [kg water/kg dry air] at saturation, at `temperature` [degC], -40 to 60, and `pressure` [kPa].

    w = 0.622 pv / (p - pv), for absolute pressures from 50 to 110 kPa. Accuracy: 1 % (no enhancement factor). Source:
    ideal gas mixture; `vapour_pressure`.

    >>> round(saturation_humidity_ratio(20.0, 101.325), 4)
    0.0147
    """
    vapour = vapour_pressure(temperature)
    return MOLAR_MASS_RATIO * vapour / max(pressure - vapour, 0.01 * vapour)


@jit
def dew_point(humidity_ratio: float, pressure: float) -> float:
    """Dew point [degC] of air of `humidity_ratio` [kg/kg] at absolute `pressure` [kPa].

    Inverse of `saturation_humidity_ratio`, for ratios of 1e-5 to 0.15; ratios below 1e-6 are taken as 1e-6. Accuracy:
    0.2 K. Source: as `vapour_pressure`.

    >>> round(dew_point(0.0147, 101.325), 1)
    20.0
    """
    ratio = max(humidity_ratio, 1e-6)
    log_vapour = math.log(max(pressure, 1.0) * ratio / (MOLAR_MASS_RATIO + ratio) / _MAGNUS_P)
    return _MAGNUS_C * log_vapour / (_MAGNUS_A - log_vapour)
