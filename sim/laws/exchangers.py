"""Heat exchangers (radiator, heater core) by the effectiveness-NTU method."""

import math

from sim.compile import jit
from sim.laws.powers import power

STAGNANT_SHARE = 0.1
"""Coolant capacity rate, relative to that of the air, at which the inlet temperature has half its weight [-]. Source:
own estimate."""
LARGEST_OUTLET_FACTOR = 6.4
"""Upper limit of `outlet_conductance` over UA [-]: its value at three transfer units on the coolant side, (e^3 - 1) /
3."""


@jit
def effectiveness_crossflow(ntu: float, capacity_ratio: float) -> float:
    """Effectiveness [-] of a crossflow exchanger, both fluids unmixed, of `ntu` [-] and `capacity_ratio` [-], 0 to 1.

    eps = 1 - exp(NTU^0.22 / Cr (exp(-Cr NTU^0.78) - 1)), and 1 - exp(-NTU), exact, as Cr goes to 0. Accuracy: within
    0.011 of the exact series up to NTU 3, 0.020 up to NTU 10 (C: `ht`). Source: the textbook approximation, as in
    Incropera & DeWitt (recalled).

    >>> round(effectiveness_crossflow(2.5, 0.6), 4)
    0.7632
    """
    if ntu <= 0.0:
        return 0.0
    if capacity_ratio < 1e-6:
        return 1.0 - math.exp(-ntu)
    units = power(ntu, 0.78)
    return 1.0 - math.exp(ntu / units / capacity_ratio * (math.exp(-capacity_ratio * units) - 1.0))


@jit
def overall_conductance(ua_a: float, ua_b: float) -> float:
    """Conductance [W/K] of two films in series, `ua_a` [W/K] and `ua_b` [W/K], 0 and above.

    UA = a b / (a + b); 0 when either is 0. Exact. Source: resistances in series.

    >>> overall_conductance(300.0, 600.0)
    200.0
    """
    if ua_a <= 0.0 or ua_b <= 0.0:
        return 0.0
    return ua_a * ua_b / (ua_a + ua_b)


@jit
def outlet_conductance(ua: float, c_hot: float, c_cold: float) -> float:
    """Conductance K [W/K] from the coolant's *outlet* temperature to the air's inlet temperature: heat = K (T_out -
    T_air).

    With `ua` [W/K], the coolant's capacity rate `c_hot` [W/K] and the air's `c_cold` [W/K], 0 and above: K = eps Cmin /
    (1 - eps Cmin / c_hot), so that a coolant node at the outlet temperature rejects the effectiveness-NTU heat in the
    steady state.

    As `c_hot` goes to 0, K = UA (e^N - 1) / N with N = UA / c_hot grows without bound although the heat stays below
    c_hot (T_in - T_air). K is limited to 6.4 UA, exact up to N = 3, so that a node of small heat capacity does not
    become stiff; 95 % of the possible heat is transferred by then. 0 when `ua` or `c_cold` is 0. Source: definition of
    effectiveness, solved for the outlet.

    >>> k = outlet_conductance(180.0, 240.0, 100.6)
    >>> t_out = (240.0 * 85.0 + k * -10.0) / (240.0 + k)
    >>> eps = effectiveness_crossflow(180.0 / 100.6, 100.6 / 240.0)
    >>> round(k * (t_out + 10.0) / (eps * 100.6 * 95.0), 9)
    1.0
    """
    if ua <= 0.0 or c_cold <= 0.0:
        return 0.0
    limit = LARGEST_OUTLET_FACTOR * ua
    # 1 + x <= e^x and ln(1 + x) <= x^(1/2) already show here that the limit applies, as with the weep of a closed
    # thermostat; this saves the powers and exponentials.
    air_factor = 1.0 + ua / c_cold
    if c_hot <= 0.0 or LARGEST_OUTLET_FACTOR * c_hot * air_factor * air_factor <= ua:
        return limit
    smaller = min(c_hot, c_cold)
    rate = smaller * effectiveness_crossflow(ua / smaller, smaller / max(c_hot, c_cold))
    share = rate / c_hot
    if rate >= limit * (1.0 - share):
        return limit
    return rate / (1.0 - share)


@jit
def stagnant_conductance(ua: float, c_cold: float) -> float:
    """Conductance [W/K] from coolant of uniform temperature to the incoming air: C (1 - exp(-UA / C)).

    With `ua` [W/K] and the air's capacity rate C `c_cold` [W/K], 0 and above. This is the heat of stagnant coolant, and
    the upper bound for any coolant flow, per kelvin between the two inlets. Exact. Source: effectiveness at capacity
    ratio 0.

    >>> round(stagnant_conductance(180.0, 100.6), 1)
    83.8
    """
    return c_cold * (1.0 - math.exp(-ua / c_cold)) if c_cold > 0.0 else 0.0


@jit
def inlet_over_outlet(entry: float, outlet: float, air: float) -> float:
    """Temperature difference coolant to incoming air at the coolant inlet, over that at its outlet [-], at least 1.

    `entry`, `outlet`, `air` [degC]; at most 1e9, which is also returned when the outlet is at air temperature. Source:
    definition.

    >>> inlet_over_outlet(85.0, 35.0, 10.0)
    3.0
    """
    difference = outlet - air
    if difference == 0.0:
        return 1e9
    return min(max((entry - air) / difference, 1.0), 1e9)


@jit
def bounded_outlet_conductance(ua: float, c_hot: float, c_cold: float, over: float) -> float:
    """`outlet_conductance` limited to the heat of stagnant coolant: at most `over` times `stagnant_conductance` [W/K].

    `ua`, `c_hot`, `c_cold` [W/K] as there; `over` [-] from `inlet_over_outlet`. At very low flow the inlet temperature
    loses its weight, and stagnant coolant rejects heat by its own temperature alone. The bound is only evaluated where
    its cheaper lower estimate C UA / (C + UA) is exceeded. Source: as `stagnant_conductance`.

    >>> round(bounded_outlet_conductance(180.0, 0.0, 100.6, 1.5), 1)
    83.8
    """
    over = 1.0 + (over - 1.0) * c_hot / (c_hot + STAGNANT_SHARE * c_cold) if c_cold > 0.0 else over
    rate = outlet_conductance(ua, c_hot, c_cold)
    if rate <= over * overall_conductance(ua, c_cold):
        return rate
    return min(rate, over * stagnant_conductance(ua, c_cold))


@jit
def log_mean_difference(difference_a: float, difference_b: float) -> float:
    """Log-mean of the temperature differences [K] at the two ends, `difference_a` [K] and `difference_b` [K].

    (a - b) / ln(a / b); their mean where they are equal within 1e-6; 0 unless both are above 0. Exact.
    Source: textbook definition.

    >>> round(log_mean_difference(59.8, 30.0), 1)
    43.2
    """
    if difference_a <= 0.0 or difference_b <= 0.0:
        return 0.0
    excess = difference_a / difference_b - 1.0
    if abs(excess) < 1e-6:
        return 0.5 * (difference_a + difference_b)
    return difference_b * excess / math.log1p(excess)
