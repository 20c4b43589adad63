"""Voltages and currents: supply, blower circuit, valve circuit."""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws.actuators import BLOWER_CONTACT, BRUSH_CONTACT, ELECTRIC
from sim.laws.circuits import OPEN_OHM, controller_share, motor_current, motor_speed, pack_ohm, wheel_load
from sim.vehicle.air_side import flow_share

SAG_V = 3.0  # [V] drop of an almost empty battery
EMPTY = 0.01  # [-] charge at which half of the remaining voltage is gone too (estimate)


@jit
def evaluate_electrics(y: Any, p: Any, c: Any, q: Any, charge: float) -> None:
    """Node voltages [V] and currents [A] of the blower and valve circuits, into q.

    y, p, c, q as in ``sim.vehicle.states``; charge [0..1] of the battery; without any it supplies neither voltage nor
    current. Needs the door positions, as a restricted duct unloads the motor. Source: Kirchhoff's laws on one series
    circuit (textbook, M).
    """
    ignition = c.ignition
    charge_left = max(charge, 0.0)
    present = charge_left * charge_left / (charge_left * charge_left + EMPTY * EMPTY)
    q.battery_V = (p.battery_V - SAG_V * (1.0 - charge_left)) * present
    q.base_A = p.base_load_A * ignition * present
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
