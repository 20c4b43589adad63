"""Roadworthiness of a vehicle at hand-back. Common practice where no source is given."""

from __future__ import annotations

import numpy as np

from scenarios.daily_use import IDLE_MINUTES, NIGHT_MINUTES, trips
from scenarios.language import N_
from scenarios.physics_failure import AFTER_THE_JOB, require_solved
from sim.observation.leaks import wet_hose_ends
from sim.observation.quantities import QUANTITIES
from sim.world import MINUTE, STOPPED, World, running

SCREEN = 2.0
LEAST_AIR = 1.0 / 3.0
"""Share of a healthy vehicle's air flow to the screen, blower on 4, below which the glass does not clear (ours)."""
FREEZING_C, LEAST_WARMTH_K = 5.0, 10.0
"""Ambient temperature up to which that air must be warm [degC], and by how much after the first trip [K] (ours)."""
DRIPS_G_H = 30.0
"""Leak rate from which coolant drips instead of drying [g/h at 50 kPa] (ours)."""
NO_DEMISTING = N_("the windscreen cannot be demisted")
ON_THE_EXHAUST = N_("coolant drips onto the exhaust")


def unroadworthy(world: World, ambient_C: float) -> str:
    """Why the first vehicle of a world must not be driven, in English; empty if it may. Advances the world.

    The second vehicle is the same without faults; ambient_C: of the next morning [degC]. Raises PhysicsFailed.
    """
    world.set(**STOPPED, bonnet=0.0, cap=1.0, recirculation=0.0, occupants=0.0)
    world.wait(NIGHT_MINUTES * MINUTE)
    world.set(ambient_C=ambient_C, heater=1.0, blower=4.0, vents=SCREEN, occupants=1.0)
    minutes, kmh = trips(1)[0]
    for leg, way in ((minutes, running(kmh=kmh)), (IDLE_MINUTES, running())):
        world.set(**way)
        world.wait(leg * MINUTE)
    require_solved(world.fleet, AFTER_THE_JOB)
    if not _demists(world, ambient_C):
        return NO_DEMISTING
    if float(wet_hose_ends(world.fleet)[0] * world.fleet.parameters["over_exhaust"][0]) > DRIPS_G_H:
        return ON_THE_EXHAUST
    return ""


def _demists(world: World, ambient_C: float) -> bool:
    """Whether air, in cold weather warm air, reaches the screen. An inoperative system must be repaired before the
    vehicle is used (2014/45/EU, Annex I, 3.6, M).
    """
    air, outlet, warmth = (
        np.asarray(QUANTITIES[name](world.fleet)) for name in ("blower air", "mode door position", "vent temperature")
    )
    if air[0] < LEAST_AIR * air[1] or abs(outlet[0] - outlet[1]) > 0.5:
        return False
    return ambient_C > FREEZING_C or bool(warmth[0] >= ambient_C + LEAST_WARMTH_K)
