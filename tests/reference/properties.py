"""The property laws once more, in plain Python: glycol coolant, steam, moist air. Temperatures in [degC]."""

from math import exp, log, sqrt

WATER_OVER_GLYCOL = 18.015 / 62.068
"""Molar masses [-]."""


def litre_mass(t: float, x: float) -> float:
    """Mass of a litre of coolant [kg] at glycol share x [-]."""
    return (1000.8 - 0.16112 * t - 0.0024441 * t**2 + x * (145.37 - 0.46623 * t)) / 1000.0


def capacity_line(x: float) -> tuple[float, float]:
    """Heat capacity at 0 degC [J/(kg K)] and its slope [J/(kg K2)]."""
    return 4181.9 - 1515.5 * x - 923.37 * x**2, 9.8169 * x - 0.046731


def thickness(t: float, x: float, exponent: float) -> float:
    """Factor on every resistance [-]: viscosity over 0.82 mPa s, to the exponent."""
    log_viscosity = -3.5544 - 0.10691 * x + (544.31 + 433.70 * x) / (max(t, -60.0) + 133.3)
    return exp(exponent * (log_viscosity - log(0.82)))


def ice_begins(x: float) -> float:
    """Freezing point [degC]."""
    return -26.481 * x - 51.188 * x**2 - 78.727 * x**3


def frozen(t: float, freezing: float) -> float:
    """Share of coolant that is ice [-]."""
    if t >= freezing:
        return 0.0
    return 1.0 / (1.0 + (1.0 + 1.8 * abs(freezing)) / (freezing - t))


def frozen_per_kelvin(t: float, freezing: float) -> float:
    """How much more of it is ice a kelvin colder [1/K]."""
    if t >= freezing:
        return 0.0
    width = 1.0 + 1.8 * abs(freezing)
    return width / (freezing - t + width) ** 2


def ice_factor(t: float, freezing: float) -> float:
    """Factor on a resistance from ice_factor [-]."""
    return exp(15.0 * frozen(t, freezing))


def saturated(t: float, kpa: float) -> float:
    """Water in saturated air [kg/kg]."""
    t = min(max(t, -100.0), 200.0)
    vapour = 0.61094 * exp(17.625 * t / (243.04 + t))
    return 0.62198 * vapour / max(kpa - vapour, 0.01 * vapour)


def boiling_pressure(t: float, x: float) -> float:
    """Vapour pressure over coolant [kPa], Raoult."""
    moles_water, moles_glycol = 1.0 - x, x * WATER_OVER_GLYCOL
    t = max(t, -60.0)
    of_water = exp(16.44943 - 3919.344 / (231.2638 + t))
    of_glycol = exp(16.614802 - 4809.9529 / (203.454 + t))
    return (moles_water * of_water + moles_glycol * of_glycol) / (moles_water + moles_glycol)


def evaporation_heat(t: float) -> float:
    """Heat of evaporation [J/kg]."""
    return 2.49869e6 - 2208.85 * t - 2.22295 * t**2


def air_density(t: float, kpa: float) -> float:
    """Dry air [kg/m3]."""
    return kpa / (0.287055 * (t + 273.15))


def exchanged(ua: float, hot: float, cold: float, entry: float, outlet: float, air: float) -> float:
    """Heat [W] from coolant to air, whose temperatures [degC] are given; the rest as in ``outlet_factor``.

    As much as the outlet says, but no more than coolant of one temperature could give: of the hotter of the
    two while it flows, of the outlet's where it stands.
    """
    by_outlet = outlet_factor(ua, hot, cold) * (outlet - air)
    if cold <= 0.0:
        return 0.0
    warmer = max(entry, outlet) if outlet >= air else min(entry, outlet)
    arriving = hot / (hot + cold / 10.0)
    bound = cold * (1.0 - exp(-ua / cold)) * (arriving * warmer + (1.0 - arriving) * outlet - air)
    return min(by_outlet, bound) if outlet >= air else max(by_outlet, bound)


def outlet_factor(ua: float, hot: float, cold: float) -> float:
    """Heat over difference of coolant outlet and air inlet [W/K], crossflow; ua and capacity rates [W/K]."""
    if ua <= 0.0 or cold <= 0.0:
        return 0.0
    ceiling = 6.4 * ua
    if hot <= 0.0:
        return ceiling
    least, most = (hot, cold) if hot < cold else (cold, hot)
    ratio, units = least / most, ua / least
    # the closed form has 0/0 where the ratio vanishes
    effectiveness = (
        1.0 - exp(-units) if ratio < 1e-6 else 1.0 - exp((exp(-ratio * units**0.78) - 1.0) * units**0.22 / ratio)
    )
    heat = effectiveness * least
    remaining = 1.0 - heat / hot
    return ceiling if ceiling * remaining <= heat else heat / remaining


def cushion(free_L: float, give: float, limp_L: float, amount: float, below: float) -> tuple[float, float]:
    """Gauge pressure [kPa] and gas [L] of a loop with free_L [L] beside its liquid, walls that give [L/kPa].

    limp_L [L]: what hoses lose as they go flat from 15 to 30 kPa of vacuum; amount [kPa L] of air at loop temperature;
    below [kPa]: atmosphere less vapour. Root of (p + below)(free_L + walls(p)) = amount: the straight pieces of the
    walls' law are intersected from high pressure to low, and the root kept that lies on its own piece.
    """
    pieces = [(free_L, give, -15.0)]
    if limp_L > 0.0:
        pieces += [(free_L + limp_L, give + limp_L / 15.0, -30.0), (free_L - limp_L, give, -1e9)]
    else:
        pieces = [(free_L, give, -1e9)]
    p, empty, slope = 0.0, free_L, give
    for empty, slope, lowest in pieces:
        half = 0.5 * (empty + slope * below)
        p = (sqrt((0.5 * (empty - slope * below)) ** 2 + slope * amount) - half) / slope
        if p >= lowest:
            break
    return p, empty + slope * p
