"""Keeping the imagined vehicles few changes no belief; moving them gives the evidence that many more would give."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from grading.belief import Hypotheses
from grading.complaint import NEARLY_SAID, UNSAID, prior, told
from grading.outcomes import expect
from grading.tempering import tempered
from grading.upkeep import KEPT, thinned
from scenarios.actions import Action
from tests.grading.workbench import FIND, SEED, bench, play, with_fault

WARM = (
    Action("engine", ("start",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 2.0)),
    Action("drive", (15.0, 50.0)),
)


def imagined(scale: int = 1, seed: str = "imagined") -> Hypotheses:
    catalogue, job = with_fault(bench(), "coolant-low")
    return Hypotheses.imagine(catalogue, job, seed, scale)


def watched(hypotheses: Hypotheses, *actions: Action) -> Hypotheses:
    """After a session's actions and readings."""
    done = play(hypotheses.catalogue, hypotheses.job, *actions)
    for entry in done.recorder.entries:
        if entry.kind == "action":
            hypotheses.act(entry.action, entry.steps, entry.noticed)
    return hypotheses


def test_thinning_changes_no_belief_and_leaves_few() -> None:
    many = watched(imagined(scale=30), FIND[0])
    few = replace(many, scale=1)
    kept = thinned(few)
    assert len(kept.label) < 1.2 * KEPT < len(many.label)
    assert kept.belief() == pytest.approx(many.belief(), abs=0.01)
    assert (np.diff(kept.label) >= 0).all()


def test_moved_vehicles_give_the_evidence_of_many_more() -> None:
    found = {}
    for name, scale in (("many", 40), ("few", 2)):
        hypotheses = watched(imagined(scale, seed=name), *WARM)
        steps = play(hypotheses.catalogue, hypotheses.job, *WARM, Action("check", ("vent-temperature",)))
        entry = [e for e in steps.recorder.entries if e.kind == "action"][-1]
        hypotheses.act(entry.action, entry.steps)
        found[name] = hypotheses
    many, few = found["many"], found["few"]
    fault = int(many.belief().argmax())
    moved = tempered(few, fault)
    mine = moved.label == fault
    assert moved.moved[fault]
    assert moved.weights()[mine].std() < 1e-12  # drawn again, they count alike
    assert moved.belief()[fault] == pytest.approx(many.belief()[fault], abs=0.1)
    assert len(np.unique(moved.quantiles[mine, 0])) > 0.5 * mine.sum()  # and are not copies of one another


def test_a_complaint_makes_the_faults_that_show_it_likelier() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    job = replace(job, complains_of=("cold",), comes_and_goes=False)
    shows = replace(catalogue.faults["coolant-low"], shows=("cold",), comes_and_goes=False)
    akin, other = replace(shows, shows=("lukewarm",)), replace(shows, shows=("wrong outlet",))
    assert told(job, akin) / told(job, shows) == pytest.approx(NEARLY_SAID)
    assert told(job, other) / told(job, shows) == pytest.approx(UNSAID)
    assert told(job, replace(shows, comes_and_goes=True)) < 0.5 * told(job, shows)
    chance = prior(job, [shows, replace(shows, rate=2.0 * shows.rate)])
    assert chance.tolist() == pytest.approx([1.0 / 3.0, 2.0 / 3.0])  # Bayes' rule


def test_what_differs_between_vehicles_alone_tells_nothing_of_faults() -> None:
    """Five vehicles of each of twelve faults, battery voltages drawn alike: by chance no two faults have the same."""
    rng = np.random.Generator(np.random.Philox(key=SEED))
    label = np.repeat(np.arange(12), 5)
    hypotheses = object.__new__(Hypotheses)
    hypotheses.faults, hypotheses.drawn = [None] * 12, np.ones(12)  # type: ignore[list-item]
    hypotheses.label, hypotheses.log_weight = label, np.zeros(len(label))
    alike = 12.6 + 0.8 * rng.standard_normal(len(label))
    assert expect(hypotheses, [("multimeter", alike)])[0] < 0.4
    told_apart = 12.6 + 0.3 * label + 0.02 * rng.standard_normal(len(label))
    assert expect(hypotheses, [("multimeter", told_apart)])[0] > 2.0
