"""Gas that holds the loop at the pressure of its cap: the cap's flow begins with a kink."""

from __future__ import annotations

import numpy as np

from grading.observer.particles import TOLERANCE_FACTOR
from scenarios.planting import plant
from sim.fleet import Fleet
from sim.vehicle.parameters import healthy
from sim.world import running
from tests.packaged import packaged_catalogue

SEVERITIES = np.linspace(0.0, 1.0, 41)
MOST_STEPS = 150
"""A drive of twenty minutes takes some 45; where each step ended just below the cap's pressure it took thousands."""


def test_a_loop_that_gas_holds_at_its_caps_pressure_takes_no_more_steps_than_others() -> None:
    catalogue = packaged_catalogue()
    fault = catalogue.faults["head-gasket-leak"]
    parameters = healthy(len(SEVERITIES), catalogue.vehicles["pickup"].parameters)
    low, high = fault.severity
    plant(parameters, fault, low + (high - low) * SEVERITIES, np.full(len(SEVERITIES), 0.4))
    fleet = Fleet.cold(parameters, 6.0)
    fleet.tolerance_factor = TOLERANCE_FACTOR
    for name, value in {"heater": 1.0, "blower": 2.0, **running(kmh=50.0)}.items():
        fleet.controls[name] = value
    fleet.apply_controls()
    fleet.advance(0.0, 1200.0)
    assert (fleet.algebraic["pressure_kPa"] > parameters["cap_kPa"]).sum() > 20
    assert fleet.counts[:, 0].max() < MOST_STEPS
