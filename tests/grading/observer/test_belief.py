"""Keeping the imagined vehicles few changes no belief; moving them gives the evidence that many more would give."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import kstest

from grading.observer.information import expected_information
from grading.observer.particles import Particles
from grading.observer.prior import RELATED_WEIGHT, UNRELATED_WEIGHT, complaint_likelihood, prior
from grading.observer.resampling import KEPT, MAX_PER_FAULT, pareto_sample, resample, selection_numbers, thinned
from grading.observer.tempering import temper
from scenarios.actions import Action
from tests.grading.workbench import FIND, SEED, bench, play, with_fault

WARM = (
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
)


def prior_particles(scale: int = 1, seed: str = "imagined") -> Particles:
    catalogue, job = with_fault(bench(), "coolant-low")
    return Particles.sample_prior(catalogue, job, seed, scale)


def watched(particles: Particles, *actions: Action) -> Particles:
    """After a session's actions and readings."""
    done = play(particles.catalogue, particles.job, *actions)
    for entry in done.recorder.entries:
        if entry.kind == "action":
            particles.act(entry.action, entry.steps, entry.noticed)
    return particles


def test_thinning_changes_no_belief_and_leaves_few() -> None:
    many = watched(prior_particles(scale=30), FIND[0])
    few = replace(many, scale=1)
    kept = thinned(few)
    assert len(kept.label) < 1.2 * KEPT < len(many.label)
    assert kept.belief() == pytest.approx(many.belief(), abs=0.01)
    assert (np.diff(kept.label) >= 0).all()


def test_thinning_keeps_the_same_vehicles_of_faults_that_are_alike() -> None:
    """So what is left tells twins apart as all did: the errors of both are the same, and cancel."""
    many = watched(prior_particles(scale=30), FIND[0])
    few = replace(many, scale=1)
    twins = [k for k, fault in enumerate(few.faults) if fault.id in ("coolant-low", "hose-leaks")]
    kept = thinned(few)
    first, second = (set(kept.quantiles[kept.label == k, 0].tolist()) for k in twins)
    assert len(first) > 5 and first == second  # before the engine has run, both are but low
    assert kept.belief()[twins] == pytest.approx(many.belief()[twins], rel=1e-9)


def test_vehicles_are_drawn_as_often_as_their_chance() -> None:
    chance = np.array([1.0, 0.9, 0.5, 0.5, 0.3, 0.3, 0.2, 0.2, 0.1, 0.0])  # sums to four
    rng = np.random.Generator(np.random.Philox(key=SEED))
    drawn = np.zeros(len(chance))
    for _ in range(5000):
        found = pareto_sample(chance, rng.random(len(chance)))
        assert len(found) == 4
        drawn[found] += 1
    assert drawn / 5000 == pytest.approx(chance, abs=0.03)  # Pareto sampling: nearly exact, Rosen 1997


def test_lots_are_even_and_belong_to_tolerances_and_a_key() -> None:
    quantiles = np.random.Generator(np.random.Philox(key=SEED)).random((4000, 3))
    lots = selection_numbers(quantiles, 0.25)
    assert np.array_equal(lots, selection_numbers(quantiles, 0.25))
    assert kstest(lots, "uniform").pvalue > 0.01
    assert abs(np.corrcoef(lots, selection_numbers(quantiles, 0.75))[0, 1]) < 0.06
    assert abs(np.corrcoef(lots, quantiles[:, 0])[0, 1]) < 0.06


def test_a_fault_that_is_unsure_gets_more_vehicles_before_any_is_moved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twins get the same ones: what both miss or meet, both do."""
    particles = watched(prior_particles(), *WARM)
    steps = play(particles.catalogue, particles.job, *WARM, Action("check", ("vent-temperature",)))
    entry = [e for e in steps.recorder.entries if e.kind == "action"][-1]
    particles.act(entry.action, entry.steps)
    asked = 0.5 * particles.error().max()
    monkeypatch.setattr("grading.observer.resampling.MAX_STANDARD_ERROR", asked)
    unsure = particles.error() > asked
    more = resample(particles)
    assert not more.rejuvenated.any()
    assert (more.drawn[unsure] > particles.drawn[unsure]).all() and (more.drawn <= MAX_PER_FAULT).all()
    assert more.error().max() < particles.error().max()


def test_moved_vehicles_give_the_evidence_of_many_more() -> None:
    found = {}
    for name, scale in (("many", 40), ("few", 2)):
        particles = watched(prior_particles(scale, seed=name), *WARM)
        steps = play(particles.catalogue, particles.job, *WARM, Action("check", ("vent-temperature",)))
        entry = [e for e in steps.recorder.entries if e.kind == "action"][-1]
        particles.act(entry.action, entry.steps)
        found[name] = particles
    many, few = found["many"], found["few"]
    fault = int(many.belief().argmax())
    rejuvenated = temper(few, fault)
    mine = rejuvenated.label == fault
    assert rejuvenated.rejuvenated[fault]
    assert rejuvenated.weights()[mine].std() < 1e-12  # drawn again, they count alike
    assert rejuvenated.belief()[fault] == pytest.approx(many.belief()[fault], abs=0.1)
    assert len(np.unique(rejuvenated.quantiles[mine, 0])) > 0.5 * mine.sum()  # and are not copies of one another


def test_a_complaint_makes_the_faults_that_show_it_likelier() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    job = replace(job, complains_of=("cold",), comes_and_goes=False)
    shows = replace(catalogue.faults["coolant-low"], shows=("cold",), comes_and_goes=False)
    akin, other = replace(shows, shows=("lukewarm",)), replace(shows, shows=("wrong outlet",))
    assert complaint_likelihood(job, akin) / complaint_likelihood(job, shows) == pytest.approx(RELATED_WEIGHT)
    assert complaint_likelihood(job, other) / complaint_likelihood(job, shows) == pytest.approx(UNRELATED_WEIGHT)
    no_air = replace(shows, shows=("no air", "fogging"))  # fogging is akin to cold, but who gets no air says so
    assert complaint_likelihood(job, no_air) / complaint_likelihood(job, shows) == pytest.approx(UNRELATED_WEIGHT)
    assert complaint_likelihood(job, replace(shows, comes_and_goes=True)) < 0.5 * complaint_likelihood(job, shows)
    chance = prior(job, [shows, replace(shows, rate=2.0 * shows.rate)])
    assert chance.tolist() == pytest.approx([1.0 / 3.0, 2.0 / 3.0])  # Bayes' rule


def test_what_differs_between_vehicles_alone_tells_nothing_of_faults() -> None:
    """Five vehicles of each of twelve faults, battery voltages drawn alike: by chance no two faults have the same."""
    rng = np.random.Generator(np.random.Philox(key=SEED))
    label = np.repeat(np.arange(12), 5)
    particles = object.__new__(Particles)
    particles.faults, particles.drawn = [None] * 12, np.ones(12)  # type: ignore[list-item]
    particles.label, particles.log_weight = label, np.zeros(len(label))
    alike = 12.6 + 0.8 * rng.standard_normal(len(label))
    assert expected_information(particles, [("multimeter", alike)])[0] < 0.4
    distinguishable = 12.6 + 0.3 * label + 0.02 * rng.standard_normal(len(label))
    assert expected_information(particles, [("multimeter", distinguishable)])[0] > 2.0
