"""A vehicle whose equations cannot be solved fails alone, is told of, and is never stepped for ever."""

from __future__ import annotations

import numpy as np
import pytest

from sim.fleet import Fleet
from sim.solver.integrator import MAX_STEPS, MAX_STEPS_PER_S, NOT_FINITE, OK, TOO_MANY_STEPS
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import Leg, Weather, World, running
from tests.sim.test_fleet import same, start
from tests.sim.vehicles import driving

AMBIENT_C = -5.0
TOLERANCE_FACTORS = (1.0, 10.0)
RUNNY = {"leak_hose": 1e6}
"""A tonne of coolant a second and kilopascal, far beyond what a data file may say: it asks for ten thousand steps a
second."""


def unlike(n: int, wrong: dict[int, dict[str, float]]) -> Fleet:
    """Cold vehicles, some with parameters of their own, ready to idle."""
    parameters = healthy(n)
    parameters["heat_at_1000"] *= np.linspace(0.9, 1.1, n)
    for i, values in wrong.items():
        for name, value in values.items():
            parameters[name][i] = value
    fleet = start(parameters)
    for name, value in {"ignition": 1.0, "engine": 1.0, "heater": 1.0, "blower": 2.0}.items():
        fleet.controls[name] = value
    fleet.apply_controls()
    return fleet


def advanced(fleet: Fleet, tolerance_factor: float) -> Fleet:
    """The fleet after two legs."""
    fleet.tolerance_factor = tolerance_factor
    fleet.advance(0.0, 60.0)
    fleet.controls["kmh"] = 40.0
    fleet.apply_controls()
    fleet.advance(60.0, 120.0)
    return fleet


@pytest.mark.parametrize("tolerance_factor", TOLERANCE_FACTORS)
def test_vehicles_that_fail_do_so_alone(tolerance_factor: float) -> None:
    wrong = {1: {"wax_s": np.nan}, 3: RUNNY, 4: {"duct_W_K": np.nan}}
    fleet = advanced(unlike(6, wrong), tolerance_factor)
    why = [OK, NOT_FINITE, OK, TOO_MANY_STEPS, NOT_FINITE, OK]
    assert fleet.failures["why"].tolist() == why
    assert fleet.failed.tolist() == [reason != OK for reason in why]
    assert fleet.failures["at_s"][[0, 1, 2, 5]].tolist() == [0.0, 0.0, 0.0, 0.0]
    assert 0.0 < fleet.failures["at_s"][3] < 60.0
    for i in range(6):  # a fleet of n is n fleets of one, failed or not
        assert same(advanced(unlike(6, wrong).select(np.array([i])), tolerance_factor), fleet.select(np.array([i]))), i
    well = advanced(unlike(6, {}), tolerance_factor)
    others = np.array([0, 2, 5])
    assert same(well.select(others), fleet.select(others))


@pytest.mark.parametrize("tolerance_factor", TOLERANCE_FACTORS)
def test_a_vehicle_takes_no_more_steps_than_it_may(tolerance_factor: float) -> None:
    fleet = unlike(1, {0: RUNNY})
    fleet.tolerance_factor = tolerance_factor
    for leg in range(3):
        fleet.advance(60.0 * leg, 60.0 * (leg + 1))
    assert fleet.failures["why"][0] == TOO_MANY_STEPS
    assert fleet.counts[0, 0] <= MAX_STEPS + MAX_STEPS_PER_S * 60.0  # and none in the legs after it had failed


def test_what_has_failed_stays_as_it_was_and_is_finite() -> None:
    fleet = unlike(2, {0: {"wax_s": np.nan}, 1: RUNNY})
    seen, _ = fleet.advance_with_switches(0.0, 60.0, np.array([0.0, 20.0, 40.0, 60.0]))
    left, at = fleet.state.copy(), fleet.failures.copy()
    assert np.isfinite(seen).all() and np.isfinite(left).all()
    assert (seen[:, -1] == left).all()
    later, _ = fleet.advance_with_switches(60.0, 90.0, np.array([75.0, 90.0]))
    assert (later == left[:, None]).all() and (fleet.state == left).all() and (fleet.failures == at).all()
    fleet.controls["heater"] = 0.0
    fleet.apply_controls()  # hands still move its controls
    assert (fleet.algebraic["heat_asked"] == 0.0).all()
    assert np.isfinite(fleet.algebraic.view(np.float64)).all()


def test_a_vehicle_that_cannot_even_be_filled_has_failed() -> None:
    parameters = healthy(2)
    parameters["glycol"][1] = np.nan
    fleet = Fleet.cold(parameters, AMBIENT_C)
    assert fleet.failures["why"].tolist() == [OK, NOT_FINITE]
    assert np.isfinite(fleet.state).all() and np.isfinite(fleet.algebraic.view(np.float64)).all()


def test_which_vehicles_have_failed_survives_every_way_of_copying() -> None:
    fleet = advanced(unlike(3, {1: RUNNY}), 10.0)
    told = fleet.failures.copy()
    for other in (fleet.copy(), fleet.snapshot(), fleet.what_if_view()):
        assert (other.failures == told).all()
        other.failures["why"] = NOT_FINITE
        assert (fleet.failures == told).all()
    order = np.array([1, 2, 1])
    assert (fleet.select(order).failures == told[order]).all()
    assert (Fleet.joined(fleet, fleet.select(order)).failures == told[[0, 1, 2, 1, 2, 1]]).all()


def boiling(parameters: dict[str, float], rpm: float, minutes: float) -> World:
    """A world of one vehicle that has overheated, standing, at an engine speed."""
    world = World(Fleet.cold(healthy(1, parameters), 25.0), Weather(25.0))
    world.run([Leg(60.0 * minutes, running(rpm=rpm))])
    assert world.fleet.state[0, st.JACKET] > 115.0
    return world


def test_opening_the_cap_of_a_boiling_engine_is_soon_worked_out() -> None:
    """What steam takes from the jacket was once told to the solver as if the cap were on: a hundred thousand steps."""
    world = boiling({"lift_most": 0.0, "jacket_L": 2.1, "metal_kJ_K": 8.0}, 2500.0, 15.0)
    before = world.fleet.counts[0, 0]
    world.run([Leg(60.0, {"cap": 0.0, "engine": 0.0})])
    assert world.fleet.counts[0, 0] - before < 1000
    assert not world.fleet.failed[0]


def test_the_last_drops_of_coolant_are_soon_worked_out() -> None:
    """Vapour goes with what is left of it, by thousands of kPa a kilogram: once thirty steps a second, with the bottle
    held back by it.
    """
    fleet = driving(ambient=20.0)
    for state, value in {
        st.METAL: 200.0, st.JACKET: 200.0, st.WAX: 200.0, st.BLOCK: 200.0, st.COOLANT: 0.006, st.GAS: 100.0,
        st.CORE_AIR: 0.3, st.BOTTLE: 1.3, st.LOST: 5.0,
    }.items():  # fmt: skip
        fleet.state[:, state] = value
    fleet.controls["ignition"] = fleet.controls["engine"] = 0.0
    fleet.apply_controls()
    fleet.advance(0.0, 600.0)
    assert not fleet.failed[0] and fleet.counts[0, 0] < 3000


def test_air_locked_in_the_core_of_a_boiling_engine_is_soon_worked_out() -> None:
    """With all of the gas in the core, a little more of it opens the neck to steam: once 250 steps a second."""
    fleet = driving({"has_bottle": 0.0, "gas_ingress": 0.05}, ambient=20.0)
    for state, value in {
        st.METAL: 165.0, st.JACKET: 143.0, st.UPPER: 112.0, st.WAX: 140.0, st.BLOCK: 120.0, st.COOLANT: 1.4,
        st.GAS: 35.46, st.CORE_AIR: 0.35, st.BOTTLE: 0.0, st.LOST: 4.0,
    }.items():  # fmt: skip
        fleet.state[:, state] = value
    fleet.apply_controls()
    fleet.advance(0.0, 30.0)
    assert not fleet.failed[0] and fleet.counts[0, 0] < 1500


def test_coolant_that_melts_is_soon_worked_out() -> None:
    """Where it does its heat capacity falls to a thirtieth, and a step across was once thrown back for ever."""
    fleet = driving({"glycol": 0.026}, ambient=-15.0, kmh=50.0, heater=1.0, blower=3.0)
    for leg in range(40):
        fleet.controls["kmh"] = 110.0 if leg % 2 else 40.0
        fleet.apply_controls()
        before = fleet.counts[0, 0]
        fleet.advance(30.0 * leg, 30.0 * (leg + 1))
        assert fleet.counts[0, 0] - before < 700, leg
    assert not fleet.failed[0]


@pytest.mark.parametrize("tolerance_factor", TOLERANCE_FACTORS)
def test_a_switch_that_is_due_again_at_once_waits_for_the_steps_end(tolerance_factor: float) -> None:
    """An engine said to restart warmer than it stops was once switched two hundred and fifty times a step."""
    fleet = driving({"stops_itself": 1.0, "stop_C": -60.0, "restart_C": 200.0}, ambient=10.0)
    fleet.tolerance_factor = tolerance_factor
    fleet.advance(0.0, 240.0)
    assert not fleet.failed[0] and fleet.counts[0, 0] < 2000


@pytest.mark.parametrize("mean_s", [1e-12, 1e-3])
def test_a_loose_contact_that_hums_is_soon_worked_out(mean_s: float) -> None:
    """Each coming and going was once counted, also where time did not move between them."""
    fleet = driving({"contact_of": 1.0, "contact_mean_s": mean_s}, blower=2.0)
    fleet.advance(0.0, 600.0)
    assert not fleet.failed[0] and fleet.counts[0, 0] < 6000
