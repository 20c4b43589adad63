"""Voltages and currents: supply, blower circuit, valve circuit."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws.actuators import BLOWER_CONTACT, BRUSH_CONTACT, ELECTRIC
from sim.laws.circuits import OPEN_OHM, controller_share, motor_current, motor_speed, pack_ohm, wheel_load
from sim.laws.electric_pump import (
    ELECTRONICS_A,
    JAMMED_A,
    RESETS_BELOW,
    RUN_ON,
    pump_current,
    pump_demand,
    reachable_speed,
)
from sim.vehicle.air_side import flow_share

SAG_V = 3.0  # [V] drop of an almost empty battery
PUMP_LEAST_V = 8.0  # [V] battery voltage below which the electronics of an electric main pump stop it (estimate)
EMPTY = 0.01  # [-] charge at which half of the remaining voltage is gone too (estimate)


@jit
def evaluate_main_pump(p: Any, c: Any, s: Any, q: Any) -> None:
    """Demand, answer, speed and current of an electric main pump, into q; needs q.battery_V and the demands.

    p, c, s, q as in ``sim.vehicle.states``. Without a temperature signal the computer asks for full speed; without a
    command the pump itself runs at full speed while it is supplied. Source: common practice;
    ``sim.laws.electric_pump``.
    """
    on = c.ignition > 0.5 or s.runs_on > 0.5
    q.pump_demand = 0.0
    if c.engine > 0.5 and c.ignition > 0.5:
        heat = min(10.0 * q.heat_asked, 1.0) if c.blower > 0.5 else 0.0
        q.pump_demand = pump_demand(q.pcm_C, heat, q.work_kW) if q.sensor_ok > 0.5 else 1.0
    elif s.runs_on > 0.5:
        q.pump_demand = RUN_ON
    charged = q.battery_V > PUMP_LEAST_V or (q.runs > 0.5 and p.charging_works > 0.5)
    supplied = on and charged and min(p.pump_fuse, p.pump_relay, p.pump_wire) > 0.5
    q.pump_answers = 1.0 if supplied and p.pump_command > 0.5 else 0.0
    q.pump_speed, q.pump_A = 0.0, 0.0
    if not supplied:
        return
    wanted = q.pump_demand if p.pump_command > 0.5 else 1.0
    if p.pump_free < 0.5 or p.pump_motor < 0.5:
        q.pump_A = ELECTRONICS_A
        if p.pump_motor > 0.5 and wanted > 0.0:
            q.pump_A += JAMMED_A
        return
    reachable = reachable_speed(p.pump_ground_ohm)
    if wanted > reachable:  # the ground takes the rest of the voltage; the electronics may not live on what is left
        q.pump_speed = reachable if reachable > RESETS_BELOW else 0.0
        q.pump_A = pump_current(reachable, reachable, p.pump_vanes, p.pump_grip)
    else:
        q.pump_speed = wanted
        q.pump_A = pump_current(wanted, 1.0, p.pump_vanes, p.pump_grip)


@jit
def evaluate_electrics(y: Any, p: Any, c: Any, s: Any, q: Any, charge: float) -> None:
    """Node voltages [V] and currents [A] of the blower and valve circuits, into q.

    y, p, c, s, q as in ``sim.vehicle.states``; charge [0..1] of the battery; without any it supplies neither voltage
    nor current. Needs the door positions, as a restricted duct unloads the motor. Source: Kirchhoff's laws on one
    series circuit (textbook, M).
    """
    ignition = c.ignition
    charge_left = max(charge, 0.0)
    present = charge_left * charge_left / (charge_left * charge_left + EMPTY * EMPTY)
    q.battery_V = (p.battery_V - SAG_V * (1.0 - charge_left)) * present
    q.base_A = p.base_load_A * ignition * present
    if p.electric_rpm > 0.0:
        evaluate_main_pump(p, c, s, q)
        q.base_A += q.pump_A * present
    if q.runs > 0.5 and p.charging_works > 0.5:
        source, inner = p.charging_V, 0.0
    else:
        source = q.battery_V - p.battery_ohm * q.base_A
        inner = p.battery_ohm
    command = q.blower_command * ignition
    contacts = inner + p.blower_relay_ohm + p.blower_switch_ohm
    if p.blower_fuse < 0.5 or p.loom_burnt > 0.5 or (p.contact_of == BLOWER_CONTACT and q.contact < 0.5):
        contacts += OPEN_OHM
    regulated = 1.0
    if p.blower_electronic > 0.5:
        regulated = controller_share(command) * p.controller_works
        before = contacts + (0.0 if regulated > 0.0 else OPEN_OHM)
    else:
        before = contacts + pack_ohm(command, p.pack_1_ohm, p.pack_2_ohm, p.pack_3_ohm, p.pack_whole)
    motor = p.motor_ohm + p.brush_ohm
    if p.contact_of == BRUSH_CONTACT and q.contact < 0.5:
        motor += OPEN_OHM
    ohms = before + p.blower_joint_ohm + motor + p.blower_ground_ohm
    torque = p.motor_torque * wheel_load(flow_share(p, q), p.wheel_grip)
    applied_V = source * regulated
    speed = motor_speed(applied_V, ohms, p.motor_back_V, torque, p.bearing_drag)
    current = motor_current(applied_V, ohms, p.motor_back_V, torque, p.bearing_drag, speed)
    q.supply_V = source - inner * current
    q.blower_A = current
    q.blower_speed = speed
    q.blower_ground_V = current * p.blower_ground_ohm
    # Back-probed at the motor connector: the voltage left after everything upstream.
    q.blower_feed_V = max(applied_V - current * (before + p.blower_joint_ohm), 0.0)
    q.blower_V = max(q.blower_feed_V - q.blower_ground_V, 0.0)
    # The valve's loose contact is inside its coil, behind the connector that is measured.
    q.valve_V = q.supply_V * ignition * p.valve_supply * p.valve_fuse if p.valve_drive == ELECTRIC else 0.0
