"""Switches that change over inside a drive: electric fan, an engine that stops itself, a contact that heat opens.

Each has a margin that turns positive where it must change over; the integrator finds that moment inside its step. A
contact that comes and goes of itself has moments of its own, keyed by the vehicle, and needs no search.
"""

from __future__ import annotations

from typing import Any

from sim.actuators import BLEND_CONTACT, BLOWER_CONTACT
from sim.compile import jit
from sim.states import BLOCK, TRIM

NEVER = 1e18  # s
COOLED_K = 6.0  # K below which a contact that heat has opened closes again (ours)


@jit
def fan_margin(p: Any, s: Any, q: Any) -> float:
    """Positive once the electric fan's switch must change over [K]. Source: common practice, no source."""
    if p.fan_viscous > 0.5:
        return -1.0
    if s.fan > 0.5:
        return p.fan_on_C - p.fan_off_K - q.pcm_C
    return q.pcm_C - p.fan_on_C


@jit
def stop_margin(p: Any, c: Any, s: Any, q: Any) -> float:
    """Positive once an engine that stops itself must stop or start [K]; it runs when driven or revved.

    Source: common practice, no source.
    """
    if p.stops_itself < 0.5 or c.engine < 0.5:
        return 1.0 if s.stopped > 0.5 else -1.0
    if c.kmh > 0.0 or c.rpm > p.idle_rpm:
        return 1.0 if s.stopped > 0.5 else -1.0
    if s.stopped > 0.5:
        return p.restart_C - q.pcm_C
    return q.pcm_C - p.stop_C


@jit
def contact_margin(y: Any, p: Any, s: Any) -> float:
    """Positive once heat must open or close a loose contact [K]. Source: common practice, no source."""
    if p.contact_of < 0.5 or p.contact_mean_s > 0.0:
        return -1.0
    warm = y[TRIM] if p.contact_of == BLOWER_CONTACT or p.contact_of == BLEND_CONTACT else y[BLOCK]
    if s.open > 0.5:
        return p.contact_heat_C - COOLED_K - warm
    return warm - p.contact_heat_C


@jit
def due(y: Any, p: Any, c: Any, s: Any, q: Any) -> int:
    """Which switches must change over [-], a bit each: 1 fan, 2 engine, 4 contact; q belongs to y.

    Source: see module.
    """
    which = 1 if fan_margin(p, s, q) > 0.0 else 0
    if stop_margin(p, c, s, q) > 0.0:
        which += 2
    if contact_margin(y, p, s) > 0.0:
        which += 4
    return which


@jit
def change_over(which: int, s: Any) -> None:
    """Change over the switches named by the bits of which [-]. Source: see module."""
    if which & 1:
        s.fan = 1.0 - s.fan
    if which & 2:
        s.stopped = 1.0 - s.stopped
    if which & 4:
        s.open = 1.0 - s.open


@jit
def holding_time(p: Any, s: Any) -> float:
    """How long [s] a loose contact stays as it now is: 0.3 to 1.7 of its mean time, a third of that while open.

    Keyed by the vehicle and the count of changes, so that a vehicle has one and the same history whatever is asked of
    it. Source: ours.
    """
    mixed = (p.contact_key + 0.618033988749895 * (s.toggles + 1.0)) * 9973.0
    share = mixed - float(int(mixed))
    return p.contact_mean_s * (0.3 + 1.4 * share) * (0.33 if s.open > 0.5 else 1.0)


@jit
def next_toggle(p: Any, s: Any, now: float) -> float:
    """When [s] a loose contact next comes or goes; changes over what is due by now [s]. Source: see module."""
    if p.contact_of < 0.5 or p.contact_mean_s <= 0.0:
        return NEVER
    if s.toggles == 0.0 and s.next <= 0.0:
        s.next = holding_time(p, s)
    while s.next <= now:
        s.open = 1.0 - s.open
        s.toggles += 1.0
        s.next += holding_time(p, s)
    return s.next
