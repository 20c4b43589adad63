"""Every check tells some fault from a sound vehicle: one that never does is broken or badly set."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from grading.observer.particles import Particles
from grading.reference.preparation import Readiness, preparation
from scenarios.actions import Action
from scenarios.model import Check
from sim.observation.categories import Categories
from sim.observation.instruments import INSTRUMENTS
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
MILD_C = 9.0
TELLS = 2.0
"""Spreads of its instrument by which a tenth of a fault's vehicles differ from the middle sound one."""
WARM = (
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("engine", ("start",)),
    Action("drive", (20.0, 50.0)),
)
OF_GAS = ("combustion-leak-test", "bubbles-at-the-filler", "tailpipe")
CONTEXT = {
    "read-handbook": "it gives the figures that others are held against",
    "neck-metal-voltage": "it says where a voltage in the coolant comes from; no fault here is a bad ground strap",
    "manifold-vacuum": "it clears the source of vacuum; no fault here is an engine without any",
}
"""Checks that tell no fault by themselves, and why they are there."""


def told(moment: Particles, check: Check) -> set[str]:
    """Faults that a check's readings tell from a sound vehicle at a moment."""
    out: set[str] = set()
    sound = [fault.id for fault in moment.faults].index("none")
    for spec, true, _ in moment.act(Action("check", (check.id,))).readings:
        instrument = INSTRUMENTS[spec.instrument]
        seen = instrument.response(np.asarray(true, dtype=np.float64))
        for k, fault in enumerate(moment.faults):
            ends = np.quantile(seen[moment.label == k], (0.1, 0.9))
            apart = np.abs(ends - np.median(seen[moment.label == sound])).max()
            if apart > (0.5 if isinstance(instrument, Categories) else TELLS * instrument.spread):
                out.add(fault.id)
    return out


@pytest.fixture(scope="module")
def found() -> dict[str, set[str]]:
    """Faults that each check tells on some vehicle of the catalogue, from cold or after a drive."""
    out: dict[str, set[str]] = {name: set() for name in CATALOGUE.checks}
    jobs = {job.vehicle: job for job in CATALOGUE.jobs.values()}
    for name, job in jobs.items():
        if "air-conditioning" in CATALOGUE.vehicles[name].equipment:  # in colder air it rests in every vehicle
            job = replace(job, ambient_C=max(job.ambient_C, MILD_C))
        start = Particles.sample_prior(CATALOGUE, job)
        start = start.copy(np.arange(0, len(start.label), 6))
        warm, driven = start.copy(), Readiness()
        for action in WARM:
            driven.note(warm.workshop, warm.act(action).minutes)
        for check in CATALOGUE.checks_of(CATALOGUE.vehicles[name]):
            for moment, readiness in ((start, Readiness()), (warm, driven)):
                if out[check.id] and check.id not in OF_GAS:
                    break
                before = preparation(moment.workshop, check, readiness)
                if before is None:
                    continue
                tried = moment.copy()
                for action in before:
                    tried.act(action)
                out[check.id] |= told(tried, check)
    return out


@pytest.mark.slow
def test_every_check_tells_some_fault(found: dict[str, set[str]]) -> None:
    assert {name for name, faults in found.items() if not faults} == set(CONTEXT)


@pytest.mark.slow
@pytest.mark.parametrize("check", OF_GAS)
def test_gas_and_sweet_steam_mean_the_head_gasket(found: dict[str, set[str]], check: str) -> None:
    """Common practice, no source. A vehicle driven very short of coolant may have ruined its gasket on the way."""
    assert "head-gasket-leak" in found[check] and found[check] <= {"head-gasket-leak", "coolant-low"}
