"""A fleet of n is n fleets of one, bit for bit; nothing depends on when it is looked at."""

import threading
from collections.abc import Callable, Iterator

import numpy as np
import pytest

from grading.observer.particles import TOLERANCE_FACTOR
from sim.compile import compiled
from sim.fleet import Fleet
from sim.solver import threads
from sim.solver.threads import BLOCK
from sim.vehicle import states as st
from sim.vehicle.parameters import DTYPE, healthy
from sim.vehicle.tolerances import draw
from tests.reference import draw as random_vehicles
from tests.sim.vehicles import driving


def mixed(n: int) -> np.ndarray:
    """Parameters (n,) of unlike vehicles, faults of many kinds among them."""
    return np.concatenate([random_vehicles.parameters(np.random.default_rng(i)) for i in range(n)])


def drive(fleet: Fleet, times: np.ndarray | None = None) -> np.ndarray:
    """Idle, then the road; states at times within the second part, counted from its start."""
    for name, value in {"ignition": 1.0, "engine": 1.0, "heater": 1.0, "blower": 3.0}.items():
        fleet.controls[name] = value
    fleet.apply_controls()
    fleet.advance(0.0, 240.0)
    fleet.controls["kmh"] = 60.0
    fleet.apply_controls()
    return fleet.advance(240.0, 600.0, np.zeros(0) if times is None else times + 240.0)


def same(one: Fleet, other: Fleet) -> bool:
    """Whether two fleets are equal to the last bit."""
    arrays = ("state", "parameters", "controls", "switches", "algebraic", "counts")
    return all(getattr(one, name).tobytes() == getattr(other, name).tobytes() for name in arrays)


def start(parameters: np.ndarray) -> Fleet:
    return Fleet.cold(parameters, -5.0)


@pytest.mark.parametrize("n", [1, 7, 1000])
def test_a_fleet_is_as_many_fleets_of_one(n: int) -> None:
    parameters = mixed(n)
    fleet = start(parameters)
    drive(fleet)
    for i in range(0, n, max(n // 25, 1)):
        alone = start(parameters[i : i + 1])
        drive(alone)
        assert same(alone, fleet.select(np.array([i]))), i


@pytest.mark.skipif(not compiled(), reason="laws in plain Python are stepped by one thread")
def test_threads_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    parameters, times = mixed(2 * BLOCK + 7), np.array([10.0, 200.0])
    by_threads, stepped_by = {}, set()
    take = threads._take

    def taking(blocks: Iterator[slice], step: Callable[[slice], None]) -> None:
        def noting(block: slice) -> None:
            stepped_by.add(threading.current_thread().name)
            step(block)

        take(blocks, noting)

    monkeypatch.setattr(threads, "_take", taking)
    for number in (1, 2, 3):
        monkeypatch.setattr(threads._Chosen, "threads", number)
        fleet = start(parameters)
        by_threads[number] = fleet, drive(fleet, times)
    assert len(stepped_by) > 1
    for number in (2, 3):
        assert same(by_threads[1][0], by_threads[number][0])
        assert by_threads[1][1].tobytes() == by_threads[number][1].tobytes()


def test_order_does_not_matter() -> None:
    parameters = mixed(50)
    order = np.random.default_rng(1).permutation(50)
    fleet, shuffled = start(parameters), start(parameters[order])
    drive(fleet)
    drive(shuffled)
    assert same(fleet.select(order), shuffled)


def test_nothing_depends_on_when_it_is_looked_at() -> None:
    parameters = mixed(20)
    fleets = [start(parameters) for _ in range(3)]
    drive(fleets[0])
    fine = drive(fleets[1], np.arange(0.0, 360.5, 0.5))
    coarse = drive(fleets[2], np.arange(0.0, 361.0, 60.0))
    assert same(fleets[0], fleets[1])
    assert same(fleets[0], fleets[2])
    assert np.array_equal(fine[:, ::120], coarse)
    assert np.array_equal(fine[:, -1], fleets[0].state)


def test_dense_output_is_what_a_drive_to_that_moment_gives() -> None:
    """Within the errors allowed; a step ends elsewhere, so not to the bit."""
    whole, part = start(healthy(1)), start(healthy(1))
    for fleet in (whole, part):
        fleet.controls["ignition"] = fleet.controls["engine"] = fleet.controls["heater"] = 1.0
        fleet.apply_controls()
    seen = whole.advance(0.0, 600.0, np.array([333.3]))[0, 0]
    part.advance(0.0, 333.3)
    assert seen[: st.TEMPERATURES] == pytest.approx(part.state[0, : st.TEMPERATURES], abs=0.01)


def test_the_same_vehicle_whatever_the_fleets_size() -> None:
    assert draw({}, "seed", 40)[:7].tobytes() == draw({}, "seed", 7).tobytes()
    assert draw({}, "seed", 5, first=30).tobytes() == draw({}, "seed", 40)[30:35].tobytes()


def test_a_copy_is_independent() -> None:
    fleet = start(mixed(5))
    drive(fleet)
    kept = fleet.copy()
    copy = fleet.copy()
    copy.parameters["core_clear"] = 0.1
    copy.controls["kmh"] = 0.0
    copy.apply_controls()
    copy.advance(0.0, 100.0)
    assert same(fleet, kept)
    assert not np.array_equal(fleet.state, copy.state)


def test_time_that_stands_still_changes_no_state() -> None:
    fleet = start(mixed(20))
    drive(fleet)
    before = fleet.state.copy()
    fleet.refresh()
    fleet.refresh()
    assert np.array_equal(fleet.state, before)


def test_parameters_of_another_kind_are_refused() -> None:
    with pytest.raises(TypeError, match="DTYPE"):
        Fleet.cold(np.zeros(1, np.dtype([(name, np.float32) for name in DTYPE.names or ()])), 20.0)


def test_a_loosely_integrated_fleet_is_wrong_by_less_than_instruments_are() -> None:
    """What is not a temperature included: a vacuum reservoir's check valve was once jumped over, and stood at twice the
    vacuum of its source. Where vacuum moves nothing, its error counts for nothing.
    """
    fleet = start(draw({"mode_vacuum": 1.0}, "loose", 200))
    loose = fleet.copy()
    loose.tolerance_factor = TOLERANCE_FACTOR
    allowed = {st.VACUUM: 1.0, st.CORE_AIR: 0.02, st.HUMIDITY: 2e-4, st.CHARGE: 0.01, st.CABIN: 0.5, st.FEED: 2.0}
    for seconds, kmh in ((30.0, 0.0), (570.0, 50.0), (60.0, 0.0)):
        for one in (fleet, loose):
            for name, value in {"ignition": 1.0, "engine": 1.0, "heater": 1.0, "blower": 2.0, "kmh": kmh}.items():
                one.controls[name] = value
            one.apply_controls()
            one.advance(0.0, seconds)
        for state, most in allowed.items():
            assert np.abs(fleet.state[:, state] - loose.state[:, state]).max() < most, (st.NAMES[state], seconds)


def test_a_step_past_a_thermostat_that_cannot_move_ends() -> None:
    """It was once taken again and again where the wax passed the whole stretch in which the lift gives by the very end
    of the step.
    """
    fleet = start(draw({"lift_most": 0.0, "hysteresis_K": 0.6}, "stuck", 200))
    fleet.tolerance_factor = TOLERANCE_FACTOR
    for name, value in {"ignition": 1.0, "engine": 1.0, "kmh": 50.0}.items():
        fleet.controls[name] = value
    fleet.apply_controls()
    for leg in range(24):
        fleet.advance(30.0 * leg, 30.0 * leg + 30.0)
    assert fleet.counts[:, 0].max() < 24 * 40


def test_imagined_vehicles_that_stand_opened_for_a_day_cost_no_more_than_a_drive() -> None:
    """While air came in past the cap's small valve also where the cap was off, each took 10,000 steps and more."""
    fleet = start(draw({}, "opened", 100))
    fleet.tolerance_factor = TOLERANCE_FACTOR
    drive(fleet)
    for name, value in {"ignition": 0.0, "engine": 0.0, "kmh": 0.0, "cap": 0.0}.items():
        fleet.controls[name] = value
    fleet.apply_controls()
    before = fleet.counts[:, 0].copy()
    fleet.advance(0.0, 24 * 3600.0)
    assert np.median(fleet.counts[:, 0] - before) < 1500


def test_what_is_kept_of_the_air_follows_the_air() -> None:
    """Films are worked out anew only where the air is another: quantities that have seen other air say the same."""
    fleet = driving(ambient=-10.0, kmh=0.0, heater=1.0, blower=4.0)
    fleet.advance(0.0, 600.0)
    for control, value in (("blower", 1.0), ("kmh", 80.0), ("recirculation", 1.0), ("blower", 0.0), ("kmh", 0.0)):
        fleet.controls[control] = value
        fleet.refresh()
        fresh = fleet.copy()
        fresh.algebraic[:] = 0.0
        fresh.refresh()
        for name in ("radiator_K", "core_K"):
            assert fleet.algebraic[name][0] == fresh.algebraic[name][0]
