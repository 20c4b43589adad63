"""Flow through jacket and branches once more: the equations of the network solved, not split in closed form."""

from math import copysign, sqrt
from typing import cast

from scipy.optimize import brentq


def branch_flows(
    head: float, series: float, conductances: tuple[float, float, float], boost: float
) -> tuple[float, ...]:
    """Flows [L/min] of bypass, radiator and heater, and the difference across them [kPa].

    head [kPa] of the pump, series [kPa/(L/min)^2] before the branches, boost [kPa] of a pump in the heater branch. A
    branch that the boost drives backwards counts as still, as the vehicle has no node for it.
    """
    bypass, radiator, heater = conductances
    if boost <= 0.0:
        total = bypass + radiator + heater
        if head <= 0.0 or total <= 0.0:
            return 0.0, 0.0, 0.0, max(head, 0.0)
        across = head / (1.0 + series * total * total)
        root = sqrt(across)
        return bypass * root, radiator * root, heater * root, across

    def surplus(across: float) -> float:
        through = (bypass + radiator) * copysign(sqrt(abs(across)), across) + heater * sqrt(max(across + boost, 0.0))
        return head - across - series * through * abs(through)

    across = cast(float, brentq(surplus, -boost, head, xtol=1e-14))
    root = sqrt(max(across, 0.0))
    return bypass * root, radiator * root, heater * sqrt(max(across + boost, 0.0)), across
