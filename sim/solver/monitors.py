"""Diagnostic monitors of the engine computer and the heater control: those that decide at once, and those within a
step.

Monitors have no effect on the vehicle, so steps do not end for them. The time of a result is found on the step's dense
output and does not depend on sampling. Arguments as in ``sim.vehicle.states``; y, f0 and new, f1: states and rates at
the two ends of a step of h [s].
"""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws.actuators import ELECTRIC
from sim.laws.warm_up import advance_expected
from sim.vehicle.code_memory import (
    CIRCUIT_HIGH,
    CIRCUIT_LOW,
    PUMP_SILENT,
    PUMP_SLOW,
    RAN,
    TOO_COLD,
    TOO_HOT,
    end_trip,
    fail,
)
from sim.vehicle.electrics import PUMP_LEAST_V
from sim.vehicle.states import SENSOR

OVERHEATED_C = 118.0  # coolant temperature above which P0217 is set (estimate)
MONITOR_K = 11.0  # below the thermostat's rating, 20 degF: the temperature a sound engine must reach (13 CCR 1968.2, M)
COLD_START_K = 19.4  # further below that, 35 degF: the limit of a cold start (13 CCR 1968.2, M)
COLDEST_C = -7.0  # ambient temperature, 20 degF, below which the thermostat is not monitored (13 CCR 1968.2, M)
SLOW_KMH = 15.0  # road speed up to which the engine counts as idling (estimate)
MOST_IDLE = 0.5  # share of idling above which the monitor is discarded (estimate, after 13 CCR 1968.2, M)
WARM_UP_K, WARM_UP_C = 22.0, 71.0  # rise since the start, and temperature, that make a warm-up (SAE J1979, M)
DOOR_TOLERANCE = 0.15  # deviation of a door motor's feedback from its command, as a share of its travel (estimate)
SLOW_SHARE = 0.08  # shortfall of an electric main pump's speed, of full speed, that sets a code (estimate)
NO_CURRENT_A = 0.5  # [A] current below which a commanded blower counts as disconnected (estimate)


@jit
def monitor_goal(p: Any) -> float:
    """Coolant temperature [degC] that a sound engine must reach. Source: 13 CCR 1968.2 (from memory)."""
    return p.regulates_C - MONITOR_K


@jit
def monitor_instant(p: Any, c: Any, s: Any, q: Any, m: Any) -> None:
    """Monitors that decide at once: start and end of a trip, open and shorted circuits, door and blower faults.

    q belongs to the present state. Source: see ``sim.vehicle.code_memory``.
    """
    if c.ignition < 0.5:
        end_trip(m, s)
        return
    if s.trip < 0.5 and q.runs > 0.5:
        _begin_trip(p, c, s, q, m)
    elif s.trip > 0.5 and c.engine < 0.5:
        s.watched = 0.0
    if q.sensor_ok < 0.5:
        s.watched = 0.0
        fail(m, s, CIRCUIT_LOW if p.sensor_short > 0.5 else CIRCUIT_HIGH, q.pcm_C)
    elif q.pcm_C > OVERHEATED_C:
        fail(m, s, TOO_HOT, q.pcm_C)
    _monitor_heater_control(p, s, q)
    _monitor_main_pump(p, s, q, m)


@jit
def _monitor_main_pump(p: Any, s: Any, q: Any, m: Any) -> None:
    """Monitor of an electric main pump: that it answers, and turns as fast as demanded."""
    if p.electric_rpm <= 0.0 or q.battery_V < PUMP_LEAST_V:
        return
    if q.pump_answers < 0.5:
        fail(m, s, PUMP_SILENT, q.pcm_C)
    elif q.pump_demand - q.pump_speed > SLOW_SHARE:
        fail(m, s, PUMP_SLOW, q.pcm_C)


@jit
def _begin_trip(p: Any, c: Any, s: Any, q: Any, m: Any) -> None:
    s.trip = 1.0
    s.started_C = q.pcm_C
    s.expected_C = max(q.pcm_C, c.ambient_C)  # after a soak nothing is colder than the ambient air
    s.ran_s = 0.0
    s.idled_s = 0.0
    cold = q.sensor_ok > 0.5 and q.pcm_C < monitor_goal(p) - COLD_START_K and c.ambient_C >= COLDEST_C
    s.watched = 1.0 if cold else 0.0
    m[CIRCUIT_LOW, RAN] = 1.0
    m[CIRCUIT_HIGH, RAN] = 1.0
    m[TOO_HOT, RAN] = 1.0
    if p.electric_rpm > 0.0:
        m[PUMP_SILENT, RAN] = 1.0
        m[PUMP_SLOW, RAN] = 1.0


@jit
def _monitor_heater_control(p: Any, s: Any, q: Any) -> None:
    """Monitors of the heater control: feedback of a door motor, current of an electronic blower controller."""
    moved = (
        p.blend_most < 1.0 or p.blend_learned < 1.0
    ) and p.blend_motor * p.blend_supply > 0.5  # all it knows is its own feedback
    if p.blend_drive == ELECTRIC and not moved and abs(q.heat_asked - q.blend) > DOOR_TOLERANCE:
        s.door_code = 1.0
    if p.blower_electronic > 0.5 and q.blower_command > 0.5 and q.blower_A < NO_CURRENT_A:
        s.blower_code = 1.0


@jit
def _sensor_at(y: Any, f0: Any, new: Any, f1: Any, h: float, share: float) -> float:
    """Sensor temperature [degC] at a share of a step, by cubic Hermite interpolation."""
    a = (1.0 + 2.0 * share) * (1.0 - share) * (1.0 - share)
    b = share * (1.0 - share) * (1.0 - share) * h
    d = share * share * (share - 1.0) * h
    return a * y[SENSOR] + (1.0 - a) * new[SENSOR] + b * f0[SENSOR] + d * f1[SENSOR]


@jit
def _warmest(y: Any, f0: Any, new: Any, f1: Any, h: float, until: float) -> float:
    """Highest sensor temperature [degC] in a step up to a share of it, sampled at its quarters."""
    most = y[SENSOR]
    for k in range(1, 5):
        most = max(most, _sensor_at(y, f0, new, f1, h, 0.25 * k * until))
    return most


@jit
def monitor_step(y: Any, f0: Any, new: Any, f1: Any, h: float, p: Any, c: Any, s: Any, q: Any, m: Any) -> None:
    """Monitors within a step of h [s] from (y, f0) to (new, f1), with contacts and commands of q.

    Source: see ``sim.vehicle.code_memory``.
    """
    if s.trip < 0.5:
        return
    _monitor_main_pump(p, s, q, m)
    runs = q.runs > 0.5
    if q.sensor_ok > 0.5:
        most = _warmest(y, f0, new, f1, h, 1.0) + p.sensor_offset_K
        if most > OVERHEATED_C:
            fail(m, s, TOO_HOT, max(y[SENSOR] + p.sensor_offset_K, OVERHEATED_C))
        if most >= max(s.started_C + WARM_UP_K, WARM_UP_C):
            s.warmed = 1.0
        if s.watched > 0.5:
            _monitor_thermostat(y, f0, new, f1, h, p, c, s, q, m)
    if runs:
        s.ran_s += h
        s.idled_s += h if c.kmh <= SLOW_KMH else 0.0


@jit
def _monitor_thermostat(y: Any, f0: Any, new: Any, f1: Any, h: float, p: Any, c: Any, s: Any, q: Any, m: Any) -> None:
    """Pass when the coolant reaches the goal; decide at the time by which a sound engine must have reached it."""
    goal = monitor_goal(p)
    expected, at = advance_expected(
        s.expected_C, h, goal, q.rpm, q.work_kW, c.ambient_C, p.expected_kJ_K, p.expected_W_K,
        p.heat_at_1000, p.heat_speed_exponent, p.heat_per_work, p.cold_extra,
    )  # fmt: skip
    s.expected_C = expected
    until = 1.0 if at < 0.0 else at / h
    if _warmest(y, f0, new, f1, h, until) + p.sensor_offset_K >= goal:
        m[TOO_COLD, RAN] = 1.0
    elif at < 0.0:
        return
    else:
        idled = s.idled_s + (at if c.kmh <= SLOW_KMH else 0.0)
        if idled <= MOST_IDLE * (s.ran_s + at):
            fail(m, s, TOO_COLD, _sensor_at(y, f0, new, f1, h, until) + p.sensor_offset_K)
        else:
            s.watched = 0.0
            return
    s.watched = 0.0
    s.ready = 1.0
