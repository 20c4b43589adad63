"""The vehicle of a record beside its twins: the same without a fault, and the same as if nothing had been repaired.

All go through the record in one workshop. Time, walks, controls and caps opened for a check are the same for all; work
is done to the record's own vehicle alone. Where the fault comes and goes, many unrepaired vehicles stand for one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from scenarios.actions import Action
from scenarios.arrival import arriving_vehicle, open_workshop
from scenarios.model import Catalogue, Change, Fault, Job
from scenarios.planting import plant
from scenarios.workshop import Performed, Workshop
from sim.repairs import OPERATIONS, renew
from sim.vehicle import states as st
from sim.vehicle.records import concatenate_records
from sim.vehicle.tolerances import uniform
from sim.world import World

HEALTHY, OWN = 0, 1
"""Places of the twin without a fault and of the record's own vehicle; the others are unrepaired."""
BANK = 40
"""Unrepaired vehicles where the fault comes and goes."""
LOOK_SECONDS = 15.0
"""How often somebody in a vehicle would notice that a fault shows (ours)."""
TOLERANCE_FACTOR, TOLERANCE_FACTOR_OF_MANY = 10.0, 2000.0
"""Error of the temperatures, in times the usual one: an air probe spreads by more than a kelvin. The second is where
many unrepaired vehicles stand for one, and only the moments of a contact matter.
"""
CONTACT_PREFIX = "contact_"
"""How the parameters begin that make a loose contact come and go."""
TELLS_ONLY = frozenset({"clear codes"})
"""Operations that mend nothing, and so are done to all."""


class _Looking(World):
    """A world in which somebody looks every LOOK_SECONDS."""

    looks: Callable[[], None] | None = None

    def wait(self, seconds: float) -> None:
        """Let time pass, looking now and then."""
        if self.looks is None:
            super().wait(seconds)
            return
        left = seconds
        while left > 0.0:
            super().wait(min(left, LOOK_SECONDS))
            left -= LOOK_SECONDS
            self.looks()


class Twins:
    """Vehicles (n,): a healthy one, the record's own, and one or more unrepaired.

    comes_and_goes: whether a contact of its own luck makes the fault show at times; faulty: whether anything is wrong.
    """

    def __init__(self, catalogue: Catalogue, job: Job, seed: int) -> None:
        """Bring the vehicles of a job and seed into the workshop. Raises PhysicsFailed."""
        own, good = arriving_vehicle(catalogue, job, seed)
        self.catalogue, self.good = catalogue, good
        self.comes_and_goes = bool(own["contact_of"][0] > 0.5 and own["contact_mean_s"][0] > 0.0)
        self.faulty = own.tobytes() != good.tobytes()
        bank = _contact_variants(catalogue, job, seed, own) if self.comes_and_goes else own
        parameters = concatenate_records([good, own, bank])
        self.workshop = open_workshop(_without_work(catalogue), job, parameters, np.repeat(good, len(parameters)))
        self.workshop.fleet.tolerance_factor = TOLERANCE_FACTOR_OF_MANY if self.comes_and_goes else TOLERANCE_FACTOR
        self._world = _Looking(self.workshop.fleet, self.workshop.world.weather, self.workshop.world.now)
        self.workshop.world = self._world

    def watch(self, looks: Callable[[Workshop], None]) -> None:
        """From now on look now and then while time passes."""
        self._world.looks = lambda: looks(self.workshop)

    def perform(self, action: Action) -> Performed:
        """Do an action to all, its work to the record's own vehicle alone. Raises NotPossible."""
        done = self.workshop.perform(action)
        if action.verb == "repair":
            repair = self.catalogue.repairs[action.text(0)]
            self._work(repair.renews, repair.does)
        elif action.verb == "check" and len(action.arguments) == 1:
            self._work((), self.catalogue.checks[action.text(0)].does)
        return done

    def _work(self, renews: tuple[str, ...], does: tuple[str, ...]) -> None:
        """Renew parts and do operations, to the own vehicle alone."""
        if not renews and not does:
            return
        fleet = self.workshop.fleet
        mine = fleet.select(np.array([OWN]))
        renew(mine, renews, self.good)
        for name in does:
            OPERATIONS[name](mine)
        fleet.unshare_parameters()
        for name in ("parameters", "controls", "switches", "algebraic", "state", "codes"):
            getattr(fleet, name)[OWN] = getattr(mine, name)[0]

    @property
    def ran_minutes(self) -> float:
        """How long the healthy engine has run in this job [min]."""
        return float(self.workshop.fleet.state[HEALTHY, st.RUN]) / 60.0


def _without_work(catalogue: Catalogue) -> Catalogue:
    """The catalogue with repairs and checks that take their time and change nothing."""
    repairs = {r.id: replace(r, renews=(), does=(), opens_cap=False) for r in catalogue.repairs.values()}
    checks = {c.id: replace(c, does=tuple(d for d in c.does if d in TELLS_ONLY)) for c in catalogue.checks.values()}
    return replace(catalogue, repairs=repairs, checks=checks)


def _contact_variants(catalogue: Catalogue, job: Job, seed: int, own: np.ndarray) -> np.ndarray:
    """The own vehicle (1,) as it arrives, BANK times, its loose contact coming and going at other moments in each."""
    many = np.repeat(own, BANK)
    for planted in job.faults:
        fault = _contact_alone(catalogue.faults[planted.fault])
        variant = np.array([uniform("twin", job.id, seed, fault.id, k) for k in range(BANK)])
        plant(many, fault, np.ones(BANK), variant)
    return many


def _contact_alone(fault: Fault) -> Fault:
    """The fault as far as it is a contact's own luck."""

    def variant(change: Change) -> bool:
        return change.parameter.startswith(CONTACT_PREFIX) and change.between is not None

    return replace(fault, changes=tuple(filter(variant, fault.changes)))
