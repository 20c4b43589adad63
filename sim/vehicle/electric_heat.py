"""Coolant heater and heat pump of an electric vehicle: request, limits, and heat."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws import air
from sim.laws.electric_heat import (
    AIR_MOST_C,
    RELIEF_K,
    charge_limit,
    coolant_share,
    heat_pump_share,
    refrigerant_share,
    supply_share,
)


@jit
def heat_request(p: Any, q: Any) -> float:
    """Share of their power [-] that the climate control asks of coolant heater and heat pump, at READY, as far as the
    drive battery's charge and the 12 V supply allow; needs q.heat_asked, q.supply_V.

    p, q as in ``sim.vehicle.states``. Source: common practice; limits in ``sim.laws.electric_heat``.
    """
    return q.runs * min(1.0, 2.0 * q.heat_asked) * charge_limit(p.drive_charge) * supply_share(q.supply_V)


@jit
def evaluate_coolant_heater(p: Any, c: Any, s: Any, q: Any) -> None:
    """Voltage [V] at the 12 V plug, request [-] and power [W] of the coolant heater, into q; needs the electrics.

    p, c, s, q as in ``sim.vehicle.states``. The climate control asks for less where its map says that the heat pump
    does part of the work. The heater has no power without its outlet sensor, without its 12 V supply, and while it has
    cut itself out. Source: common practice; laws in ``sim.laws.electric_heat``.
    """
    q.heater_plug_V = q.supply_V * c.ignition * p.coolant_heater_fuse * p.coolant_heater_supply
    relief = RELIEF_K * min(heat_pump_share(c.ambient_C), 1.0) if p.heat_pump_kW > 0.0 else 0.0
    q.coolant_heater_asked = heat_request(p, q) * coolant_share(q.pcm_C, p.heater_goal_C - relief) * q.sensor_ok
    share = q.coolant_heater_asked * p.coolant_heater_works * supply_share(q.heater_plug_V)
    q.coolant_heater_W = 1000.0 * p.coolant_heater_kW * share if s.heater_cut < 0.5 else 0.0


@jit
def evaluate_heat_pump(p: Any, c: Any, q: Any) -> None:
    """Heat [W] of the heat pump to the air before the heater core, and the temperature [degC] of that air, into q.

    p, c, q as in ``sim.vehicle.states``; needs q.core_air_kg_s, q.intake_C. Its air gets no warmer than AIR_MOST_C.
    Source: heat balance of the air; laws in ``sim.laws.electric_heat``.
    """
    capacity_rate = q.core_air_kg_s * air.HEAT_CAPACITY
    if capacity_rate < 0.2:
        return
    heat = 1000.0 * p.heat_pump_kW * heat_pump_share(c.ambient_C) * refrigerant_share(p.refrigerant)
    most = max(AIR_MOST_C - q.intake_C, 0.0) * capacity_rate
    q.heat_pump_W = min(heat * heat_request(p, q), most)
    q.core_in_C = q.intake_C + q.heat_pump_W / capacity_rate
