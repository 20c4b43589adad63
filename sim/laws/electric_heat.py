"""Heat sources of an electric vehicle: limits of the high-voltage coolant heater and the heat pump."""

from __future__ import annotations

import math

from sim.compile import jit

LEAST_ISOLATION_KOHM = 200.0
"""Isolation resistance [kohm] below which the drive does not switch its high voltage on: 500 ohm/V at 400 V. Source:
UN Regulation No. 100 and ISO 6469-3 (from memory)."""
REDUCES_K = 15.0  # [K] below its set point at which the coolant heater starts to reduce its power (estimate)
RELIEF_K = 24.0  # [K] by which the set point is lowered while the heat pump gives its full heat (estimate)
LIMITED_FROM, LIMITED_TO, LEAST_SHARE = (
    0.15,
    0.08,
    0.2,
)  # [-] charge where derating starts and ends, share left (estimate)
SHED_V, SHED_SPAN_V = 11.5, 0.3  # [V] 12 V supply at which load shedding switches the heat off (estimate)
AIR_MOST_C = (
    46.0  # [degC] warmest air that the heat pump delivers (estimate; 41.5 at -1 degC measured, see ``heat_pump_share``)
)
ENOUGH_REFRIGERANT, LEAST_REFRIGERANT = 0.8, 0.3  # [-] refrigerant charge for full heat, and for none (estimate)
VAPOUR_A, VAPOUR_B = 10.301, 2499.5  # ln(p/bar) = A - B/T: R1234yf, 3.16 bar at 0 degC and 16.4 at 60 (tables, M)


@jit
def charge_limit(charge: float) -> float:
    """Permitted share of heater power [-] at a state of charge of the drive battery [-].

    1 above LIMITED_FROM and LEAST_SHARE below LIMITED_TO, linear between, to keep charge for driving. Range: 0 to 1.
    Source: common practice, figures own estimate.

    >>> charge_limit(0.7), charge_limit(0.05)
    (1.0, 0.2)
    """
    share = min(max((charge - LIMITED_TO) / (LIMITED_FROM - LIMITED_TO), 0.0), 1.0)
    return LEAST_SHARE + (1.0 - LEAST_SHARE) * share


@jit
def supply_share(volts: float) -> float:
    """Share of the heat [-] left by load shedding at a 12 V supply [V]: 0 up to SHED_V, 1 from SHED_SPAN_V above it.

    A coolant heater's controller works from 9 to 16 V (data sheets); the vehicle sheds comfort loads earlier to save a
    battery that is not being charged. Range: 0 to 16 V. Source: common practice, figures own estimate.

    >>> supply_share(14.0), supply_share(11.0)
    (1.0, 0.0)
    """
    return min(max((volts - SHED_V) / SHED_SPAN_V, 0.0), 1.0)


@jit
def coolant_share(coolant: float, goal: float) -> float:
    """Share of its power [-] that a coolant heater delivers at an outlet coolant temperature [degC].

    1 up to REDUCES_K below its set point goal [degC], falling linearly to 0 there. Source: coolant heaters reduce
    their power gradually towards the set outlet temperature (data sheets); the span is an own estimate.

    >>> coolant_share(20.0, 75.0), coolant_share(67.5, 75.0)
    (1.0, 0.5)
    """
    return min(max((goal - coolant) / REDUCES_K, 0.0), 1.0)


@jit
def heat_pump_share(ambient: float) -> float:
    """Heat of an air-source heat pump [-], relative to that at 0 degC, at an ambient temperature [degC].

    Linear with 3 % per kelvin below 10 degC, constant above. Falls to zero between -10 and -20 degC, where the suction
    pressure nears atmospheric and the pump is switched off. Range: -40 to 50 degC. Accuracy: 0.1. Source:
    4.2 kW at -1 degC (Adv. Mech. Eng. 2019, doi 10.1177/1687814019845806), 3.6 kW at -5 degC (Energies 2020, 13, Tang
    et al.) and 3.1 kW at -10 degC, measured on three systems; cut-off: common practice, no source.

    >>> heat_pump_share(0.0), round(heat_pump_share(-15.0), 3), heat_pump_share(-25.0)
    (1.0, 0.275, 0.0)
    """
    cutoff = min(max((ambient + 20.0) / 10.0, 0.0), 1.0)
    return cutoff * (1.0 + 0.03 * min(ambient, 10.0))


@jit
def refrigerant_share(refrigerant: float) -> float:
    """Heat of a heat pump [-] with a share of its refrigerant [-], relative to a full charge.

    Range: 0 to 1. Source: capacity falls with the charge once the evaporator is starved (common practice); figures own
    estimate.

    >>> refrigerant_share(1.0), refrigerant_share(0.3)
    (1.0, 0.0)
    """
    share = (refrigerant - LEAST_REFRIGERANT) / (ENOUGH_REFRIGERANT - LEAST_REFRIGERANT)
    return min(max(share, 0.0), 1.0)


@jit
def refrigerant_pressure(temperature: float) -> float:
    """Saturation pressure [bar] of R1234yf at a temperature [degC]: exp(A - B/T).

    Range: -30 to 80 degC. Accuracy: 2 %. Source: fitted to table values, 3.16 bar at 0 degC and 16.4 at 60 degC (M).

    >>> round(refrigerant_pressure(20.0), 1)
    5.9
    """
    return math.exp(VAPOUR_A - VAPOUR_B / (max(temperature, -100.0) + 273.15))
