"""Checks carried out beforehand: what they would show is what they show, whether or not they share a run."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from grading.observer.foresight import read_now, simulated
from grading.observer.information import OutcomeSampler
from grading.observer.particles import Particles
from grading.reference.options import DOUBT_BITS, DOUBT_FACTOR, evaluated_options
from grading.reference.preparation import Readiness, preparation
from scenarios.actions import Action
from scenarios.model import BAY, SEAT, ReadingSpec
from scenarios.workshop import Workshop
from sim.solver.integrator import OK
from tests.packaged import packaged_catalogue
from tests.scenarios.workshops import a_check, workshop

CATALOGUE = packaged_catalogue()
WITHIN_K = 0.02
"""Agreement of temperatures between a run that stops at other checks' minutes and one of its own [K]: a run starts
afresh where it stops.
"""


def pair(job: str, *faults: str, most: int = 24) -> Particles:
    """Vehicles of some faults of a job's vehicle, equally likely."""
    prior_particles = Particles.sample_prior(CATALOGUE, CATALOGUE.jobs[job])
    names = [fault.id for fault in prior_particles.faults]
    keep = [
        np.flatnonzero(prior_particles.label == label)[:most] for label in sorted(names.index(name) for name in faults)
    ]
    two = prior_particles.copy(np.concatenate(keep))
    two.log_weight, two.drawn = np.zeros(len(two.label)), np.ones(len(two.faults))
    return two


def job_of(vehicle: str) -> str:
    """A job with this vehicle."""
    return next(job.id for job in CATALOGUE.jobs.values() if job.vehicle == vehicle)


def test_checks_that_share_a_run_show_what_each_alone_shows() -> None:
    two = pair(job_of("hatch"), "thermostat-stuck-open", "none")
    for action in (Action("engine", ("start",)), Action("drive", (15.0, 50.0))):
        two.act(action)
    two.workshop.fleet.tolerance_factor = 1.0
    names = ("lower-radiator-hose-infrared", "lower-radiator-hose-touch", "housing-infrared-taped")
    checks = [CATALOGUE.checks[name] for name in names]
    assert len({check.held for check in checks}) == 1
    minute, state = two.workshop.minute, two.workshop.fleet.state.tobytes()
    found = list(simulated(two, checks))
    assert [shown.check.id for shown in found] == list(names)
    for shown in found:
        alone = two.workshop.copy().perform(Action("check", (shown.check.id,))).readings
        assert [name for name, _ in shown.looks] == [look.spec.instrument for look in alone]
        for (_, true), look in zip(shown.looks, alone, strict=True):
            assert true == pytest.approx(look.true, abs=WITHIN_K)
        assert not shown.failed.any()
    assert (two.workshop.minute, two.workshop.fleet.state.tobytes()) == (minute, state)


def test_readings_at_several_settings_are_a_run_of_their_own() -> None:
    check = CATALOGUE.checks["vent-at-idle-and-revved"]
    assert check.held is None
    two = pair(job_of("hatch"), "pump-impeller-eroded", "none", most=4)
    two.act(Action("engine", ("start",)))
    (shown,) = simulated(two, [check])
    alone = two.workshop.copy().perform(Action("check", (check.id,))).readings
    assert [true.tolist() for _, true in shown.looks] == [look.true.tolist() for look in alone]


def test_what_cannot_be_done_now_is_left_out() -> None:
    two = pair(job_of("hatch"), "none", most=2)  # its engine stands
    assert list(simulated(two, [CATALOGUE.checks["vent-at-idle-and-revved"]])) == []


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ({}, {"minutes": 7.0}, True),
        ({}, {"place": SEAT}, False),
        ({}, {"drive_kmh": 50.0}, False),
        ({}, {"opens_cap": True}, False),
        ({"sets": {"heater": 1.0}}, {}, False),
        ({"sets": {"heater": 1.0}}, {"sets": {"heater": 0.0}}, False),
        ({"sets": {"heater": 1.0}}, {"sets": {"heater": 1.0}}, True),
    ],
)
def test_a_run_is_shared_where_the_same_is_held(one: dict[str, Any], other: dict[str, Any], alike: bool) -> None:
    def check(sets: dict[str, float] | None = None, **facts: Any) -> Any:
        return a_check(readings=(ReadingSpec("it", "coolant temperature", "air probe", sets or {}),), **facts)

    assert (check(**one).held == check(**other).held) == alike
    if not alike:
        with pytest.raises(ValueError, match="cannot share a run"):
            workshop().look_together([check(**one), check(**other)])


def test_a_reading_says_when_it_is_taken() -> None:
    early = ReadingSpec("early", "coolant temperature", "air probe", at=2.0)
    check = a_check(minutes=5.0, readings=(early,))
    assert (check.read_at, a_check(minutes=5.0, readings=(replace(early, at=None),)).read_at) == (2.0, 5.0)
    shop = workshop()
    shop.perform(Action("go", (BAY,)))
    looks = shop.look_together([replace(check, id="late", minutes=9.0, readings=(replace(early, at=None),)), check])
    assert {name: look.minute for name, (look,) in looks.items()} == pytest.approx({"late": 9.5, "look": 2.5})


def test_vacuum_is_weighed_by_what_the_reservoir_holds_at_the_end() -> None:
    """Read at once it stands at 58 to 67 kPa in all of them; in four minutes a leaking check valve has let it go."""
    pickup = pair(job_of("pickup"), "check-valve-leaking", "none")
    check = CATALOGUE.checks["vacuum-held"]
    before = preparation(pickup.workshop, check, Readiness())
    assert before is not None
    ready = pickup.copy()
    for action in before:
        ready.act(action)
    (stands,), (shown,) = read_now(OutcomeSampler(ready), [check]), simulated(ready, [check])
    sampler = OutcomeSampler(ready)
    assert sampler.expected_information(sampler.outcomes(stands.looks))[0] < 0.05
    assert sampler.expected_information(sampler.outcomes(shown.looks))[0] > 0.9
    others = {name for name in CATALOGUE.checks if name != check.id}
    ((option, _),) = evaluated_options(pickup, Readiness(), others)
    assert option.bits > 0.9
    ((brief, _),) = evaluated_options(pickup, Readiness(), others, longest=option.minutes - 0.1)
    assert brief.bits < 0.05


def test_what_could_not_come_near_the_best_rate_is_read_as_it_stands() -> None:
    """Three faults leave 1.58 bit, so a check's rate can be no more than that over its minutes; and what a few vehicles
    promise, with an allowance, tells of some before that.
    """
    pickup = pair(job_of("pickup"), "check-valve-leaking", "blower-fuse-blown", "none")
    others = {name for name in CATALOGUE.checks if name not in ("vacuum-held", "blower-listen")}
    before = {option.check.id: option for option, _ in evaluated_options(pickup, Readiness(), others)}
    quick, held = before["blower-listen"], before["vacuum-held"]
    assert held.bits > 0.8
    whole, promised = 1.0 / (quick.rate * held.minutes), DOUBT_FACTOR * held.bits + DOUBT_BITS
    assert promised < 0.95 * float(np.log2(3.0))
    cases = ((0.95 * promised, held.bits), (1.05 * promised, 0.0), (1.01 * float(np.log2(3.0)), 0.0))
    for bits_wanted, bits in cases:
        reach = bits_wanted * whole
        found = {option.check.id: option for option, _ in evaluated_options(pickup, Readiness(), others, reach=reach)}
        assert found.keys() == before.keys()
        assert found["vacuum-held"].bits == pytest.approx(bits, abs=0.05)


def test_vehicles_that_fail_on_the_way_tell_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    pickup = pair(job_of("pickup"), "check-valve-leaking", "none", most=6)
    look = Workshop.look_together

    def failing(self: Workshop, checks: Any) -> Any:
        looks = look(self, checks)
        self.fleet.failures["why"][:3] = OK + 1
        return looks

    monkeypatch.setattr(Workshop, "look_together", failing)
    ((option, _),) = evaluated_options(
        pickup, Readiness(), {name for name in CATALOGUE.checks if name != "vacuum-held"}
    )
    assert option.check.id == "vacuum-held"
    assert pickup.weights()[:3].tolist() == [0.0] * 3 and (pickup.weights()[3:] > 0.0).all()
