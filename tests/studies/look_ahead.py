"""Which checks must be weighed by what they show at their end: ``python -m tests.studies.look_ahead [--per-fault N]``.

Every check on every vehicle, all faults equally likely, from the moment after the check's own preparations: its
information about the fault when it is read as things stand, and when it is carried out first. A check is marked in its
data (``changes_meanwhile``) where the two differ by MARKED on some vehicle.

MARKED is the information for which the reference goes on looking whatever it takes (``policy.TELLING_BITS``): what
differs by less moves none of its decisions. A check that knows one fault of fifty for certain tells 0.14 bit here.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass

import numpy as np

from grading.observer.foresight import PredictedCheck, read_now, simulated
from grading.observer.information import OutcomeSampler
from grading.observer.particles import Particles
from grading.reference.policy import TELLING_BITS
from grading.reference.preparation import Readiness, preparation
from scenarios.actions import Action
from scenarios.model import Catalogue, Job
from tests.packaged import packaged_catalogue

MARKED = TELLING_BITS
"""Difference of information [bit] from which a check is marked."""
PER_FAULT = 12


@dataclass(frozen=True)
class Compared:
    """Information of a check on a vehicle [bit], read as things stand and carried out."""

    vehicle: str
    check: str
    stands: float
    simulated: float

    @property
    def difference(self) -> float:
        """Of what is carried out over what is read as things stand [bit]."""
        return self.simulated - self.stands


def evenly(catalogue: Catalogue, job: Job, per_fault: int = PER_FAULT) -> Particles:
    """A job's possible vehicles as they arrive, so many of each fault, all faults equally likely."""
    prior_particles = Particles.sample_prior(catalogue, job)
    faults = range(len(prior_particles.faults))
    few = prior_particles.copy(
        np.concatenate([np.flatnonzero(prior_particles.label == fault)[:per_fault] for fault in faults])
    )
    few.log_weight, few.drawn = np.zeros(len(few.label)), np.ones(len(few.faults))
    return few


def compare(start: Particles) -> list[Compared]:
    """Both ways for every check that can be had from here; every vehicle's outcome is tried once."""
    groups: dict[tuple[Action, ...], list[str]] = {}
    checks = {check.id: check for check in start.workshop.catalogue.checks_of(start.workshop.vehicle)}
    for check in checks.values():
        before = preparation(start.workshop, check, Readiness())
        if before is not None and check.readings:
            groups.setdefault(tuple(before), []).append(check.id)
    out = []
    for before, names in groups.items():
        ready = start.copy()
        for action in before:
            ready.act(action)
        sampler = OutcomeSampler(ready, len(ready.label))

        def bits(shown: PredictedCheck, sampler: OutcomeSampler = sampler) -> float:
            of = sampler.without(shown.failed)
            return of.expected_information(of.outcomes(shown.looks))[0]

        mine = [checks[name] for name in names]
        stands = {shown.check.id: bits(shown) for shown in read_now(sampler, mine)}
        ends = {shown.check.id: bits(shown) for shown in simulated(ready, mine)}
        vehicle = start.workshop.vehicle.id
        out += [Compared(vehicle, name, stands[name], ends[name]) for name in names if name in ends]
    return out


def study(per_fault: int = PER_FAULT) -> list[Compared]:
    """Every check on every vehicle, in the weather of its first job."""
    catalogue = packaged_catalogue()
    first = {job.vehicle: job for job in reversed(catalogue.jobs.values())}
    return [one for job in first.values() for one in compare(evenly(catalogue, job, per_fault))]


def furthest(compared: list[Compared]) -> dict[str, Compared]:
    """Of each check, on the vehicle on which the two differ most; greatest difference first."""
    out: dict[str, Compared] = {}
    for one in sorted(compared, key=lambda one: -abs(one.difference)):
        out.setdefault(one.check, one)
    return out


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description="What checks tell at their start and at their end.")
    parser.add_argument("--per-fault", type=int, default=PER_FAULT, help="vehicles of each fault")
    checks = packaged_catalogue().checks
    print("| check | vehicle | as it stands [bit] | carried out [bit] | difference | marked |")
    print("| --- | --- | --- | --- | --- | --- |")
    for name, one in furthest(study(parser.parse_args().per_fault)).items():
        marked = "yes" if checks[name].changes_meanwhile else ""
        wrong = " (!)" if bool(marked) != (abs(one.difference) >= MARKED) else ""
        cells = f"{name} | {one.vehicle} | {one.stands:.3f} | {one.simulated:.3f} | {one.difference:+.3f}"
        print(f"| {cells} | {marked}{wrong} |")
    return 0


if __name__ == "__main__":
    sys.exit(main())
