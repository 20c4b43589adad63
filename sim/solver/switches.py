"""Switches that change over within a drive: electric fan, heat-sensitive contact, what stops an engine, and the
cut-out of a coolant heater.

Each has a margin that becomes positive where it must change over; the integrator locates that time inside its step. An
intermittent contact follows its own schedule, keyed by the vehicle, and needs no search. Arguments as in
``sim.vehicle.states``.
"""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws.actuators import BLEND_CONTACT, BLOWER_CONTACT, ELECTRIC
from sim.vehicle.states import BLOCK, METAL, OVERHEATING, SENSOR, TRIM

NEVER = 1e18  # s
SHORTEST_MEAN_S = 1.0  # shortest mean holding time of a loose contact; faster chatter would only hum (estimate)
COOLED_K = 6.0  # [K] hysteresis of a heat-sensitive contact (estimate)
FAN_NEAR_K = 0.0  # K
RUN_ON_K = 8.0  # [K] below that temperature at which a pump that runs on stops (estimate)
SEIZED_K_MIN = 600.0  # [K min] accumulated overheating that seizes the engine: 20 minutes at 160 degC (estimate)
CRANKING_V = 10.0  # open-circuit battery voltage below which the engine neither cranks nor keeps running (estimate)


@jit
def fan_margin(p: Any, s: Any, q: Any) -> float:
    """Margin of the electric fan's thermostatic switch [K]. Source: common practice, no source."""
    if p.fan_viscous > 0.5:
        return -1.0
    if s.fan > 0.5:
        return p.fan_on_C - p.fan_off_K - q.pcm_C
    return q.pcm_C - p.fan_on_C


@jit
def fan_near(y: Any, p: Any) -> bool:
    """Whether the temperature at the fan's sensor [degC] is within FAN_NEAR_K of its switching range.

    Source: definition.
    """
    return p.fan_viscous < 0.5 and y[SENSOR] + p.sensor_offset_K > p.fan_on_C - p.fan_off_K - FAN_NEAR_K


@jit
def stop_margin(p: Any, c: Any, s: Any, q: Any) -> float:
    """Margin of stop-start [K]; the engine keeps running when driven or revved. Source: common practice, no source."""
    if p.stops_itself < 0.5 or c.engine < 0.5:
        return 1.0 if s.stopped > 0.5 else -1.0
    if c.kmh > 0.0 or c.rpm > p.idle_rpm:
        return 1.0 if s.stopped > 0.5 else -1.0
    if s.stopped > 0.5:
        return p.restart_C - q.pcm_C
    return q.pcm_C - p.stop_C


@jit
def contact_margin(y: Any, p: Any, s: Any) -> float:
    """Margin of a heat-sensitive contact [K]. Source: common practice, no source."""
    if p.contact_of < 0.5 or p.contact_mean_s > 0.0:
        return -1.0
    warm = y[TRIM] if p.contact_of == BLOWER_CONTACT or p.contact_of == BLEND_CONTACT else y[BLOCK]
    if s.open > 0.5:
        return p.contact_heat_C - COOLED_K - warm
    return warm - p.contact_heat_C


@jit
def battery_margin(c: Any, s: Any, q: Any) -> float:
    """Margin of an engine that a flat battery stops or fails to start [V]; resets when the engine is no longer
    demanded.

    Source: common practice, no source.
    """
    if c.engine < 0.5:
        return 1.0 if s.drained > 0.5 else -1.0
    return -1.0 if s.drained > 0.5 else CRANKING_V - q.battery_V


@jit
def cut_margin(y: Any, p: Any, s: Any) -> float:
    """Margin of the coolant heater's cut-out [K]: by the temperature of its elements. Source: common practice, no
    source.
    """
    if p.coolant_heater_kW <= 0.0:
        return -1.0
    if s.heater_cut > 0.5:
        return p.heater_cut_C - p.heater_back_K - y[METAL]
    return y[METAL] - p.heater_cut_C


@jit
def run_on_margin(p: Any, c: Any, s: Any, q: Any) -> float:
    """Margin of an electric main pump that runs with the engine off [K]; resets when the engine is on. Source: common
    practice, no source.
    """
    if p.electric_rpm <= 0.0:
        return -1.0
    if c.engine > 0.5:
        return 1.0 if s.runs_on > 0.5 else -1.0
    if s.runs_on > 0.5:
        return p.run_on_C - RUN_ON_K - q.pcm_C
    return q.pcm_C - p.run_on_C


@jit
def switches_due(y: Any, p: Any, c: Any, s: Any, q: Any) -> int:
    """Switches that must change over [-], one bit each: 1 fan, 2 stop-start, 4 contact, 8 seized, 16 flat battery, 32
    cut-out of the coolant heater, 64 main pump running on.

    q belongs to y. Source: see module.
    """
    which = 1 if fan_margin(p, s, q) > 0.0 else 0
    if stop_margin(p, c, s, q) > 0.0:
        which += 2
    if contact_margin(y, p, s) > 0.0:
        which += 4
    if s.seized < 0.5 and y[OVERHEATING] > SEIZED_K_MIN:
        which += 8
    if battery_margin(c, s, q) > 0.0:
        which += 16
    if cut_margin(y, p, s) > 0.0:
        which += 32
    if run_on_margin(p, c, s, q) > 0.0:
        which += 64
    return which


@jit
def hold_door(p: Any, c: Any, s: Any, q: Any) -> None:
    """Keep the position of a blend door whose geared motor is about to lose contact; q from before.

    Source: common practice, no source.
    """
    powered = c.ignition * p.blend_supply * p.blend_motor * q.contact > 0.5
    if p.contact_of == BLEND_CONTACT and p.blend_drive == ELECTRIC and s.open < 0.5 and powered:
        s.blend, s.asked = q.blend, q.heat_asked


@jit
def switch_over(which: int, p: Any, c: Any, s: Any, q: Any) -> None:
    """Change over the switches of the bits of which [-]; q from before. Source: see module."""
    if which & 1:
        s.fan = 1.0 - s.fan
    if which & 2:
        s.stopped = 1.0 - s.stopped
    if which & 4:
        hold_door(p, c, s, q)
        s.open = 1.0 - s.open
    if which & 8:
        s.seized = 1.0
    if which & 16:
        s.drained = 1.0 - s.drained
    if which & 32:
        s.heater_cut = 1.0 - s.heater_cut
        s.heater_code = max(s.heater_code, s.heater_cut)
    if which & 64:
        s.runs_on = 1.0 - s.runs_on


@jit
def holding_time(p: Any, s: Any) -> float:
    """Time [s] until a loose contact next changes: 0.3 to 1.7 of its mean holding time, a third of that while open.

    Mean times below SHORTEST_MEAN_S count as that. Keyed by the vehicle and its count of changes, so that a vehicle has
    a single history independent of queries. Source: own estimate.
    """
    mixed = (p.contact_key + 0.618033988749895 * (s.toggles + 1.0)) * 9973.0
    share = mixed - float(int(mixed))
    return max(p.contact_mean_s, SHORTEST_MEAN_S) * (0.3 + 1.4 * share) * (0.33 if s.open > 0.5 else 1.0)


@jit
def next_toggle(p: Any, c: Any, s: Any, q: Any, now: float) -> float:
    """Time [s] of the next change of a loose contact, after making those due by now [s]; q from before.

    Source: see module.
    """
    if p.contact_of < 0.5 or p.contact_mean_s <= 0.0:
        return NEVER
    if s.toggles == 0.0 and s.next <= 0.0:
        s.next = holding_time(p, s)
    while s.next <= now:
        hold_door(p, c, s, q)
        s.open = 1.0 - s.open
        s.toggles += 1.0
        s.next += holding_time(p, s)
    return s.next
