"""What a foreman asks beyond minutes per bit: the complaint first, the price of the part, a rival looked at."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import grading.reference.policy as policy
from grading.observer.particles import Particles
from grading.reference import foreman
from grading.reference.foreman import (
    CONFIRMED,
    CONFIRMING_BITS,
    CONFIRMING_SHARE,
    FELT_WARM,
    MOST_MINUTES,
    SHOWN_BY,
    STARTING_AGAIN,
    WRONG_REPAIR_MINUTES,
    balanced_particles,
    confirming,
    is_verified,
    repair_cost,
    rivals,
    shows_complaint,
    unchecked_part,
    verifying,
    wrong_repair,
)
from grading.reference.options import CONFIRMS, VERIFIES, Option, Prospect, evaluated_options
from grading.reference.policy import Advice, advise
from grading.reference.preparation import Readiness
from scenarios.actions import Action
from scenarios.model import COMPLAINTS, Job
from sim.fleet import Fleet
from sim.observation.quantities import QUANTITIES
from sim.vehicle.parameters import healthy
from tests.grading.reference.small_course import FEED, LEVEL, RETURN, START, WARM_UP, cold, option, small
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()


def complaining_of(*kinds: str) -> Job:
    """A job with these complaints."""
    return replace(small()[1], complains_of=kinds)


def test_every_complaint_but_overheating_shows_in_something_that_is_read() -> None:
    assert set(COMPLAINTS) - set(SHOWN_BY) == {"overheating"}
    assert set(FELT_WARM) <= set(SHOWN_BY)
    assert {name for names in SHOWN_BY.values() for name in names} <= set(QUANTITIES)
    for job in CATALOGUE.jobs.values():
        checks = CATALOGUE.checks_of(CATALOGUE.vehicles[job.vehicle])
        shown = any(shows_complaint(check, job) for check in checks)
        assert shown or job.complains_of == ("overheating",), job.id


@pytest.mark.parametrize(
    ("check", "complaint", "shows"),
    [
        ("vent-temperature", "cold", True),
        ("vent-temperature", "no air", False),
        ("blower-each-speed", "no air", True),
        ("vent-first-minutes", "cold", False),  # all vehicles are cold then
        ("vent-first-minutes", "slow", True),
        ("rear-vent-temperature", "cold in the rear", True),
        ("gauge", "overheating", False),
        ("gauge", "gauge", True),
    ],
)
def test_a_check_shows_the_complaint_that_it_reads(check: str, complaint: str, shows: bool) -> None:
    assert shows_complaint(CATALOGUE.checks[check], complaining_of(complaint)) == shows
    assert is_verified(CATALOGUE, complaining_of(complaint), {"belt", check, "of another catalogue"}) == shows
    assert shows_complaint(CATALOGUE.checks[check], complaining_of("overheating", complaint)) == shows


def vents(**facts: Any) -> Option:
    return option("vent-temperature", **{"minutes": 17.0, "bits": 1.7, "before": WARM_UP, **facts})


@pytest.mark.parametrize(
    ("other", "first"),
    [
        (option(LEVEL, minutes=4.0, bits=0.12, best_when=("cold",)), True),
        (option(LEVEL, minutes=4.0, bits=0.1, best_when=("cold",)), False),  # tells too little
        (option(LEVEL, minutes=6.0, bits=0.115, best_when=("cold",)), False),  # at too low a rate
        (option(LEVEL, minutes=6.1, bits=0.9, best_when=("cold",)), False),  # takes too long
        (option(LEVEL, minutes=4.0, bits=0.12, best_when=(), opens_cap=True), True),
        (option(LEVEL, minutes=4.0, bits=0.9, best_when=(), opens_cap=False), False),  # can wait
        (option(LEVEL, minutes=4.0, bits=0.9, best_when=("cold",), before=(START,)), False),
    ],
)
def test_the_complaint_comes_before_all_but_quick_looks_at_the_cold_engine(other: Option, first: bool) -> None:
    job, shows = complaining_of("cold"), vents()
    readiness = Readiness()
    assert verifying([other, shows], job, readiness) is (other if first else shows)
    readiness.minutes_run = 3.0  # the engine is cold no more
    assert verifying([other, shows], job, readiness) is shows
    started = vents(before=())
    assert verifying([other, started], job, Readiness()) is started  # it need not be started, so nothing is lost


def test_what_runs_the_engine_comes_last_of_those_on_a_cold_one() -> None:
    bubbles = replace(CATALOGUE.checks["flow-at-the-neck"], best_when=("cold",))
    runs = Option(bubbles, (), 3.0, 0.9, 0.5)
    stands = option(LEVEL, minutes=4.0, bits=0.5, best_when=("cold",))
    job, shows = complaining_of("cold"), vents()
    assert verifying([runs, stands, shows], job, Readiness()) is stands
    assert verifying([runs, shows], job, Readiness()) is runs


def test_of_checks_that_show_the_complaint_the_best_for_its_minutes() -> None:
    worse, better = vents(minutes=20.0), vents()
    assert verifying([worse, better, option(FEED, bits=9.0)], complaining_of("cold"), Readiness()) is better
    assert verifying([option(FEED)], complaining_of("cold"), Readiness()) is None
    assert verifying([vents()], complaining_of("overheating"), Readiness()) is None


def test_the_reference_verifies_the_complaint_first() -> None:
    catalogue = small()[0]
    done: set[str] = set()
    belief, readiness = cold(), Readiness()
    advice = advise(belief, readiness, done)
    assert advice.best is not None and advice.best.check.id == LEVEL  # it wants a cold engine
    advice = advise(belief, readiness, {LEVEL})
    assert advice.best is not None and (advice.best.check.id, advice.worth) == ("vent-temperature", True)
    assert advice.best.purpose == VERIFIES
    assert is_verified(catalogue, belief.job, {"vent-temperature"})


def test_the_cheapest_cure_counts() -> None:
    vehicle = CATALOGUE.vehicles["hatch"]
    faults = CATALOGUE.faults
    assert repair_cost(CATALOGUE, vehicle, faults["air-locked"]) == (60.0, False)  # bled, not refilled
    assert repair_cost(CATALOGUE, vehicle, faults["core-clogged"]) == (580.0, True)
    assert repair_cost(CATALOGUE, vehicle, faults["core-fins-blocked"]) == (90.0, False)
    assert repair_cost(CATALOGUE, vehicle, faults["radiator-blocked"]) == (370.0, True)
    assert repair_cost(CATALOGUE, vehicle, replace(faults["air-locked"], cured_by=())) == (0.0, False)


def believing(chances: dict[str, float], vehicle: str = "hatch") -> Particles:
    """Vehicles of a job with this vehicle, with these beliefs in faults and none in others."""
    job = next(job for job in CATALOGUE.jobs.values() if job.vehicle == vehicle)
    prior_particles = Particles.sample_prior(CATALOGUE, job)
    names = [fault.id for fault in prior_particles.faults]
    wanted = np.array([chances.get(name, 0.0) for name in names])
    with np.errstate(divide="ignore"):
        prior_particles.log_weight = np.log(wanted)[prior_particles.label]
    prior_particles.drawn = np.bincount(prior_particles.label, minlength=len(names)).astype(float)
    return prior_particles


@pytest.mark.parametrize(
    ("chances", "minutes"),
    [
        ({"air-locked": 1.0}, WRONG_REPAIR_MINUTES),
        ({"core-clogged": 1.0}, 580.0 + STARTING_AGAIN),
        ({"core-clogged": 0.5, "air-locked": 0.5}, 320.0 + STARTING_AGAIN),
        ({"head-gasket-leak": 1.0}, MOST_MINUTES),
    ],
)
def test_a_wrong_repair_costs_work_part_and_starting_again(chances: dict[str, float], minutes: float) -> None:
    assert wrong_repair(believing(chances)) == pytest.approx(minutes)


def named(particles: Particles) -> set[str]:
    """Ids of the rivals."""
    return {particles.faults[k].id for k in rivals(particles)}


def test_a_rival_is_one_that_only_its_rarity_speaks_against(monkeypatch: pytest.MonkeyPatch) -> None:
    belief = believing({"thermostat-stuck-open": 0.96, "thermostat-missing": 0.03, "gauge-stuck": 0.01})
    names = [fault.id for fault in belief.faults]
    before = np.full(len(names), 1e-3)
    monkeypatch.setattr(foreman, "prior", lambda *of: before)
    before[names.index("thermostat-stuck-open")] = 0.32  # the odds to a rare one were 320, and are 32 and 96 now
    assert named(belief) == {"thermostat-missing", "gauge-stuck"}
    before[names.index("gauge-stuck")] = 0.32 * 0.0834  # odds of 12, eight times that now
    assert named(belief) == {"thermostat-missing"}
    before[names.index("gauge-stuck")] = 0.32 * 0.0832
    assert named(belief) == {"thermostat-missing", "gauge-stuck"}
    before[names.index("gauge-stuck")] = 1e-3
    for chance, rival in ((0.0041, True), (0.0039, False)):
        assert bool(named(believing({"thermostat-stuck-open": 1.0 - chance, "gauge-stuck": chance}))) == rival


def test_before_an_expensive_repair_every_other_fault_is_a_rival() -> None:
    rest = {"air-locked": 0.02, "none": 0.02}
    low = {"core-clogged": CONFIRMED - 0.01, **rest}
    assert named(believing(low)) == {"air-locked", "none"}
    sure = believing({"core-clogged": 0.999, "air-locked": 0.001})
    assert named(sure) == set()


def test_doubt_gives_each_side_half() -> None:
    belief = believing({"core-clogged": 0.9, "air-locked": 0.06, "none": 0.03, "gauge-stuck": 0.01})
    names = [fault.id for fault in belief.faults]
    two = balanced_particles(belief, [names.index("air-locked"), names.index("none")])
    chances = dict(zip(names, two.belief(), strict=True))
    assert chances["core-clogged"] == pytest.approx(0.5)
    assert (chances["air-locked"], chances["none"]) == (pytest.approx(1.0 / 3.0), pytest.approx(1.0 / 6.0))
    assert chances["gauge-stuck"] == 0.0
    assert belief.belief().max() == pytest.approx(0.9)


def test_the_check_that_best_parts_the_sides_confirms() -> None:
    """Four vehicles, the first two of the declared fault; a check of no use, a slow and a quick good one."""
    sample = object.__new__(Particles)
    sample.label, sample.drawn, sample.log_weight = np.array([0, 0, 1, 2]), np.ones(3), np.log(np.full(4, 0.25))
    sample.faults, sample.pairs = [None] * 3, []  # type: ignore[list-item]
    silent, tells = np.ones((2, 4)), np.array([[1.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 1.0]])
    among_rivals = np.array([[1.0, 1.0, 1.0, 0.0], [1.0, 1.0, 0.0, 1.0]])  # parts them from each other alone
    found = [option(FEED, 1.0), option("gauge", 1.0), option(LEVEL, 9.0), option(RETURN, 12.0)]
    ahead = Prospect(sample, found, [silent, among_rivals, tells, tells])
    assert confirming(ahead, 0, 100.0) is found[2]
    assert confirming(ahead, 0, 8.9) is None
    for p, told in ((0.815, True), (0.805, False)):
        half = np.array([[p, p, 1.0 - p, 1.0 - p], [1.0 - p, 1.0 - p, p, p]])
        bits = 1.0 + p * np.log2(p) + (1.0 - p) * np.log2(1.0 - p)
        assert (bits > CONFIRMING_BITS) == told
        assert (confirming(Prospect(sample, found[:1], [half]), 0, 9.0) is found[0]) == told


@pytest.mark.parametrize(
    ("fault", "done", "looks"),
    [
        ("cabin-filter-blocked", set(), {"filter-pulled"}),
        ("cabin-filter-blocked", {"filter-pulled"}, set()),
        # a core is not condemned from bottle and carpet
        ("heater-core-leak", {"overflow-level", "carpet-feel"}, {"pressure-test-heater-pinched"}),
        ("thermostat-stuck-open", set(), set()),
    ],
)
def test_a_part_that_can_be_looked_at_is_not_condemned_unseen(
    fault: str, done: set[str], looks: set[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """However sure the belief is."""
    monkeypatch.setattr(policy, "_rollout_advice", lambda *asked: Advice(None, False))
    belief = believing({fault: 1.0})
    assert set(unchecked_part(belief, done)) == looks
    advice = advise(belief, Readiness(), done)
    best = advice.best
    assert ({best.check.id} if best else set()) == looks and advice.worth == bool(looks)
    assert best is None or best.purpose == CONFIRMS


def test_looking_must_not_take_more_than_its_share(monkeypatch: pytest.MonkeyPatch) -> None:
    belief = believing({"cabin-filter-blocked": 1.0})
    for most, found in ((8.5, True), (8.4, False)):
        assert (policy._looking(belief, Readiness(), set(), most) is not None) == found
    ran = Readiness()
    ran.minutes_run = 20.0
    core = believing({"heater-core-leak": 1.0})
    looking = policy._looking(core, ran, set(), 60.0)
    assert looking is not None and looking.before[-1] == Action("wait", (420.0,))  # it is let cool for that


def test_a_rival_is_parted_before_the_declaration(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing was seen that tells the two apart: one is only commoner."""
    monkeypatch.setattr(policy, "_rollout_advice", lambda *asked: Advice(None, False))
    belief = believing({"valve-seized-shut": 0.97, "blend-cable-off": 0.03})
    monkeypatch.setattr(foreman, "prior", lambda *of: belief.belief() + 1e-6)
    advice = advise(belief, Readiness(), set())
    assert advice.best is not None and (advice.worth, advice.best.purpose) == (True, CONFIRMS)
    assert advice.best.minutes <= CONFIRMING_SHARE * WRONG_REPAIR_MINUTES
    parts = {spec.quantity for spec in advice.best.check.readings}
    assert parts & {"valve by hand", "valve stem travel", "blend cable end", "blend door position", "blend door sound"}


def test_the_blower_of_an_automatic_heating_is_looked_at_warm() -> None:
    """It is held back while the engine is cold: a swapped relay would show nothing."""
    catalogue = packaged_catalogue()
    swap = catalogue.checks["relay-swap"]
    automatic, manual = catalogue.vehicles["saloon"], catalogue.vehicles["hatch"]
    assert swap.on(automatic).best_when == ("warm",) and swap.on(manual) == swap
    at_first = catalogue.checks["vent-first-minutes"]
    assert "cold" in at_first.best_when and at_first.on(automatic) == at_first
    assert all(check == check.on(automatic) for check in catalogue.checks_of(automatic))
    for vehicle, warms in ((automatic, True), (manual, False)):
        fleet = Fleet.cold(healthy(1, vehicle.parameters), 3.0)
        fleet.controls["ignition"], fleet.controls["blower"] = 1.0, 4.0
        fleet.apply_controls()
        assert (float(QUANTITIES["blower air, relay swapped"](fleet)[0]) == 0.0) == warms
        job = next(job for job in catalogue.jobs.values() if job.vehicle == vehicle.id)
        others = set(catalogue.checks) - {"relay-swap"}
        ((option, _),) = evaluated_options(Particles.sample_prior(catalogue, job), Readiness(), others)
        assert any(action.verb == "drive" for action in option.before) == warms
