"""Demands of driver and control units, and the resulting engine speed, valve and door positions."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws.actuators import (
    BLEND_CONTACT,
    ELECTRIC,
    SENSOR_CONTACT,
    VALVE_CONTACT,
    position,
    vacuum_force,
    valve_target,
)
from sim.laws.circuits import OPEN_OHM, VALVE_COIL_OHM, load_share
from sim.laws.electric_heat import LEAST_ISOLATION_KOHM
from sim.laws.engine_heat import brake_work
from sim.vehicle.states import SENSOR, VACUUM


@jit
def evaluate_actuation(y: Any, p: Any, c: Any, s: Any, q: Any) -> None:
    """Engine speed and load, contacts, commands, the computer's coolant temperature, valve and door positions, into q.

    y, p, c, s, q as in ``sim.vehicle.states``. Source: common practice, no source; laws in ``sim.laws.actuators`` and
    ``sim.laws.engine_heat``.
    """
    q.runs = 1.0 if c.engine > 0.5 and s.stopped < 0.5 and s.seized < 0.5 and s.drained < 0.5 else 0.0
    if p.interlock < 0.5 or p.isolation_kohm < LEAST_ISOLATION_KOHM:
        q.runs = 0.0
    q.rpm = max(c.rpm, p.idle_rpm, p.rpm_per_kmh * c.kmh) * q.runs
    q.work_kW = brake_work(c.kmh, p.rolling_N, p.drag_N_per_kmh2, p.accessory_kW, c.load_kW) * q.runs
    q.contact = 0.0 if s.open > 0.5 and (p.contact_shake < 0.5 or c.kmh > 0.0) else 1.0
    sensor_open = p.contact_of == SENSOR_CONTACT and q.contact < 0.5
    q.sensor_ok = 0.0 if sensor_open or p.sensor_short > 0.5 or p.sensor_ohm_extra > OPEN_OHM / 1000.0 else 1.0
    q.sensor_C = y[SENSOR]
    q.pcm_C = q.sensor_C + p.sensor_offset_K if q.sensor_ok > 0.5 else p.sensor_default_C
    q.heat_asked = c.heater * p.command
    q.blower_command = c.blower
    if p.automatic > 0.5:
        held = 1.0 - min(max((q.pcm_C - p.lockout_C) / 10.0, 0.0), 1.0)
        q.blower_command *= 1.0 - max(held, p.lockout_stuck)
    valve_power, blend_power = p.valve_supply, p.blend_supply
    if p.valve_drive == ELECTRIC:
        valve_power *= load_share(p.valve_fuse, VALVE_COIL_OHM, p.valve_ground_ohm)
        valve_power *= c.ignition * (q.contact if p.contact_of == VALVE_CONTACT else 1.0)
    if p.blend_drive == ELECTRIC:
        blend_power *= c.ignition * (q.contact if p.contact_of == BLEND_CONTACT else 1.0)
    target = valve_target(q.heat_asked)
    q.valve = position(
        p.valve_drive, target, s.valve, p.valve_rest, p.valve_linkage, valve_power,
        p.valve_coil, y[VACUUM], 0.0, False, p.valve_least, p.valve_most,
    )  # fmt: skip
    if p.valve_drive == ELECTRIC and p.valve_stays > 0.5 and valve_power * p.valve_coil <= 0.5:
        q.valve = min(max(s.valve, p.valve_least), p.valve_most)
    q.blend = position(
        p.blend_drive, q.heat_asked, s.blend, p.blend_rest, p.blend_linkage * p.blend_learned, blend_power,
        p.blend_motor, y[VACUUM], s.asked, True, p.blend_least, p.blend_most,
    )  # fmt: skip
    held = p.mode_moves
    if p.mode_vacuum > 0.5:
        held *= vacuum_force(y[VACUUM])
    q.mode = p.mode_rest + held * (c.vents - p.mode_rest)
    q.recirculation = c.recirculation if p.recirculation_moves > 0.5 else p.recirculation_rest
