"""What is about the engine: its fan, the air under the bonnet, and the sensor that stands in coolant or steam."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.vehicle.states import BAY, RADIATOR, RUN, UPPER

AIR_BEHIND = 0.75  # how far the air behind the radiator lies from ambient to the radiator's coolant (ours)
GRIPS_C, GRIPS_K = 52.0, 12.0  # air at which a viscous clutch begins to grip, and from there to all of it (ours)
COLD_GRIP_S, COLD_GRIP_FADES_S = 40.0, 15.0  # running time after which it has let go from cold, and how long that takes


@jit
def evaluate_surroundings(y: Any, p: Any, c: Any, s: Any, q: Any) -> None:
    """Fan, moving air and temperature under the bonnet, and the temperature sensor, into q.

    A viscous clutch turns with the pump's pulley. It grips by the air behind the radiator, and for half a minute from
    cold, until its fluid has left the working chamber. A sensor that stands in steam reads low and late: its tip takes
    part of its heat from the housing. A computer that has lost its sensor runs the electric fan to be safe. Source:
    common practice.
    """
    if p.fan_viscous > 0.5:
        behind = c.ambient_C + AIR_BEHIND * (0.5 * (y[UPPER] + y[RADIATOR]) - c.ambient_C)
        grip = min(max((behind - GRIPS_C) / GRIPS_K, 0.0), 1.0) * p.fan_works
        grip = max(grip, min(max((COLD_GRIP_S - y[RUN]) / COLD_GRIP_FADES_S, 0.0), 1.0))
        share = (p.viscous_slip + (1.0 - p.viscous_slip) * grip) * min(q.rpm / 2500.0, 1.2) * p.pump_drive
        q.fan_share = max(share, p.fan_forced)
    else:
        on = max(s.fan, (1.0 - q.sensor_ok) * c.ignition)
        q.fan_share = max(on * p.fan_works, p.fan_forced) if q.supply_V > 8.0 else 0.0
    q.air_moves = min(q.fan_share + c.kmh / 30.0, 1.0)
    q.bay_share = p.bay_share_open if c.bonnet > 0.5 else p.bay_share_closed
    q.bay_flush = 1.0 + c.kmh / 40.0 + q.fan_share
    q.bay_C = y[BAY]
    dry = q.missing_L / p.sensor_dry_L
    dry = dry * dry * dry
    q.sensor_dry = dry * dry / (1.0 + dry * dry)
