"""Surroundings of the engine: radiator fan, air under the bonnet, and the temperature sensor in coolant or steam."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.vehicle.states import BAY, RADIATOR, RUN, UPPER

# temperature of the air behind the radiator, between ambient (0) and the radiator's coolant (1) (estimate)
AIR_BEHIND = 0.75
# air temperature at which a viscous clutch engages, and span to full engagement (estimate)
GRIPS_C, GRIPS_K = 52.0, 12.0
# running time until it disengages after a cold start, and duration of that transition
COLD_GRIP_S, COLD_GRIP_FADES_S = 40.0, 15.0


@jit
def evaluate_surroundings(y: Any, p: Any, c: Any, s: Any, q: Any) -> None:
    """Fan, air movement and temperature under the bonnet, and the temperature sensor, into q.

    y, p, c, s, q as in ``sim.vehicle.states``. A viscous clutch runs on the pump's pulley. It engages by the
    temperature of the air behind the radiator, and for half a minute after a cold start, until its fluid has left the
    working chamber. A sensor in steam reads low and with delay, as its tip takes part of its heat from the housing. A
    computer without a sensor signal, or whose electric main pump does not answer, runs the electric fan. Source: common
    practice.
    """
    if p.fan_viscous > 0.5:
        air_C = c.ambient_C + AIR_BEHIND * (0.5 * (y[UPPER] + y[RADIATOR]) - c.ambient_C)
        grip = min(max((air_C - GRIPS_C) / GRIPS_K, 0.0), 1.0) * p.fan_works
        grip = max(grip, min(max((COLD_GRIP_S - y[RUN]) / COLD_GRIP_FADES_S, 0.0), 1.0))
        share = (p.viscous_slip + (1.0 - p.viscous_slip) * grip) * min(q.rpm / 2500.0, 1.2) * p.pump_drive
        q.fan_share = max(share, p.fan_forced)
    else:
        on = max(s.fan, (1.0 - q.sensor_ok) * c.ignition)
        if p.electric_rpm > 0.0:
            on = max(on, (1.0 - q.pump_answers) * c.ignition)
        q.fan_share = max(on * p.fan_works, p.fan_forced) if q.supply_V > 8.0 else 0.0
    q.air_moves = min(q.fan_share + c.kmh / 30.0, 1.0)
    q.bay_share = p.bay_share_open if c.bonnet > 0.5 else p.bay_share_closed
    q.bay_flush = 1.0 + c.kmh / 40.0 + q.fan_share
    q.bay_C = y[BAY]
    dry = q.missing_L / p.sensor_dry_L
    dry = dry * dry * dry
    q.sensor_dry = dry * dry / (1.0 + dry * dry)
