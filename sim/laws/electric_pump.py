"""An electric main coolant pump: the speed that the engine computer asks for, and what its supply lets it reach."""

from __future__ import annotations

import math

from sim.compile import jit

PULSES = 0.1  # [-] mean speed of a pump that stands and pulses while the engine warms up (estimate)
BASE = 0.25  # [-] speed for a warm engine without load or heat demand (estimate)
HEAT = 0.35  # [-] speed that heat demand asks for at least (estimate)
LOAD, LOAD_KW = 0.4, 25.0  # [-] speed added at this brake work [kW] and above (estimate)
WARMS_C, WARM_C = 60.0, 75.0  # [degC] from pulses to the speed of a warm engine (estimate)
HOT_C, FULL_C = 96.0, 108.0  # [degC] from there on towards full speed (estimate)
RUN_ON = 0.5  # [-] speed after a hot engine was switched off (estimate)
RATED_A = 24.0  # [A] at full speed, some 330 W (common practice for small cars)
RATED_OHM = 0.56  # [ohm] voltage over current there, 13.5 V
ELECTRONICS_A = 0.15  # [A] of its electronics while supplied (estimate)
TURNS_FREELY = 0.2  # [-] share of the power that a rotor without vanes still takes (estimate)
RESETS_BELOW = 0.5  # [-] of its voltage at which the electronics reset and the pump stands (common practice)
JAMMED_A = 3.5  # [A] mean current of repeated attempts to start a jammed rotor (estimate)


@jit
def pump_demand(coolant: float, heat: float, work_kW: float) -> float:
    """Speed [-], of full speed, that the engine computer asks of the pump while the engine is on.

    coolant [degC] as the computer sees it; heat [-]: 1 where cabin heat is asked for; work_kW [kW]: brake work. Below
    WARMS_C the pump stands and pulses, so that the metal warms sooner, unless heat is asked for; then the speed grows
    with temperature and load. Engine speed has no part in it. Range: any. Source: common practice, no source.

    >>> pump_demand(20.0, 0.0, 3.0), pump_demand(20.0, 1.0, 3.0), pump_demand(120.0, 0.0, 0.0)
    (0.1, 0.35, 1.0)
    """
    warm = min(max((coolant - WARMS_C) / (WARM_C - WARMS_C), 0.0), 1.0)
    hot = min(max((coolant - HOT_C) / (FULL_C - HOT_C), 0.0), 1.0)
    asked = PULSES + warm * (BASE - PULSES + LOAD * min(work_kW / LOAD_KW, 1.0))
    asked = max(asked, HEAT * heat)
    return asked + (1.0 - asked) * hot


@jit
def reachable_speed(ground: float) -> float:
    """Speed n [-], of full speed, that the pump reaches with a bad ground R [ohm] in series.

    Its torque grows with n^2, and so does its current at the limit; its voltage grows with n: n + (R/R_rated) n^2 = 1,
    solved in the form free of cancellation. Range: R >= 0. Source: permanent-magnet motor and pump law (textbook).

    >>> reachable_speed(0.0), reachable_speed(2.0 * RATED_OHM)
    (1.0, 0.5)
    """
    return 2.0 / (1.0 + math.sqrt(1.0 + 4.0 * ground / RATED_OHM))


@jit
def pump_current(speed: float, volts: float, vanes: float, grip: float) -> float:
    """Current [A] of the supplied pump at a speed n [-] of full speed and a voltage v [-] of the rated at its plug.

    Power grows with n^3 and with the liquid moved; without vanes, or slipping on its shaft, the rotor turns nearly
    free. vanes [-]: head left of new ones; grip [-]: impeller speed over rotor speed. Range: 0 to 1, volts > 0. Source:
    affinity laws, power ~ n^3 (textbook).

    >>> pump_current(1.0, 1.0, 1.0, 1.0), round(pump_current(0.5, 1.0, 1.0, 1.0), 2)
    (24.15, 3.15)
    >>> round(pump_current(0.5, 0.5, 1.0, 1.0), 2), round(pump_current(1.0, 1.0, 1.0, 0.0), 2)
    (6.15, 4.95)
    """
    moved = vanes * grip * grip * grip
    power = RATED_A * speed * speed * speed * (TURNS_FREELY + (1.0 - TURNS_FREELY) * moved)
    return ELECTRONICS_A + (power / volts if power > 0.0 else 0.0)
