"""Jobs of the small bench that are fair, and jobs with one thing wrong with each."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from grading.fairness.complaint import shown_complaints
from grading.fairness.look_alikes import MOST_NAMED, look_alikes
from grading.fairness.proof_course import actions_of, proof_course, worked
from grading.fairness.vehicle import Examiner
from grading.marks.rubric import load_rubric
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.reference.policy import diagnosed
from grading.reference.preparation import Readiness
from scenarios.model import Catalogue, Change, Job, Planted
from tests.grading.workbench import bench, with_fault, with_twin
from tests.packaged import packaged_catalogue

RUBRIC = load_rubric()
MILD = Planted("coolant-low", 0.02)


def doubts(catalogue: Catalogue, job: Job, seed: int = 1) -> list[tuple[int | None, str]]:
    """Place and text of each doubt about a job on one vehicle."""
    found = Examiner(replace(catalogue, jobs={job.id: job}), job, RUBRIC).doubts(seed)
    return [(doubt.fault, f"{doubt.problem}, expected {doubt.expected}") for doubt in found]


@pytest.mark.parametrize("fault", ["coolant-low", "thermostat-stuck-open", "hose-leaks", "none"])
def test_a_fair_job_has_no_doubts(fault: str) -> None:
    assert doubts(*with_fault(bench(), fault)) == []


def test_a_complaint_that_never_occurs_is_a_doubt() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    found = doubts(catalogue, replace(job, complains_of=("cold", "too warm")))
    assert found[0] == (
        0,
        "on vehicle 1 the complaint 'too warm' does not show beside a healthy vehicle on the same drive, expected a "
        "vehicle that shows it (heat with the control at cold)",
    )
    assert "'cold'" not in str(found)


def test_a_difference_on_the_other_side_is_not_the_complaint() -> None:
    """A thermostat that is stuck open keeps the needle low: the gauge shows it, nothing overheats."""
    catalogue, job = with_fault(bench(), "thermostat-stuck-open")
    for kind, shown in (("gauge", True), ("overheating", False)):
        one = replace(job, complains_of=(kind,))
        actions = actions_of(worked(catalogue, one, 1, [], proof_course(catalogue, one)))
        assert (kind in shown_complaints(catalogue, one, 1, actions)) == shown


def test_cold_air_is_felt_as_the_drive_ends_in_the_red() -> None:
    """Nobody measures at the vents any more; the customer has felt it."""
    catalogue = packaged_catalogue()
    job = catalogue.jobs["hill-climb"]
    actions = actions_of(worked(catalogue, job, 1, [], proof_course(catalogue, job)))
    assert shown_complaints(catalogue, job, 1, actions) == {"cold", "overheating"}


def test_a_repair_that_leaves_the_cause_brings_the_customer_back() -> None:
    """Topped up, a leaking hose proves warm and is empty again within the month."""
    catalogue, job = with_fault(bench(), "hose-leaks")
    leaks = replace(catalogue.faults["hose-leaks"], cured_by=("new-hose", "top-up"), relieved_by=())
    found = doubts(replace(catalogue, faults=catalogue.faults | {leaks.id: leaks}), job)
    assert len(found) == 1 and found[0][0] == 0
    assert found[0][1].startswith("on vehicle 1 after top-up the customer is back on day ")
    assert found[0][1].endswith(", expected a month without complaint")


def test_a_repair_that_cures_nothing_cannot_be_proven() -> None:
    catalogue, job = with_fault(bench(), "thermostat-stuck-open")
    stuck = replace(catalogue.faults["thermostat-stuck-open"], cured_by=("top-up",))
    found = doubts(replace(catalogue, faults=catalogue.faults | {stuck.id: stuck}), job)
    assert len(found) == 2 and "back on day" in found[1][1]
    assert found[0][1].startswith("on vehicle 1 top-up cannot be proven (vent temperature: ")
    assert "the limit was" in found[0][1]


def test_each_cure_is_tried_beside_the_first_cures_of_the_others() -> None:
    """The doubt stands at the fault whose cure is wrong."""
    catalogue, job = with_fault(bench(), "thermostat-stuck-open")
    both = replace(job, faults=(Planted("thermostat-stuck-open", 1.0), Planted("hose-leaks", 1.0)))
    leaks = replace(catalogue.faults["hose-leaks"], cured_by=("new-hose", "top-up"))
    found = doubts(replace(catalogue, faults=catalogue.faults | {leaks.id: leaks}), both)
    assert [(place, "after top-up" in text) for place, text in found if "back on day" in text] == [(1, True)]


def test_where_nothing_is_repaired_cures_do_not_count() -> None:
    catalogue, job = with_fault(bench(), "thermostat-stuck-open")
    stuck = replace(catalogue.faults["thermostat-stuck-open"], cured_by=("top-up",))
    catalogue = replace(catalogue, faults=catalogue.faults | {stuck.id: stuck})
    assert doubts(catalogue, replace(job, diagnosis_only=True)) == []


def test_a_repair_that_cannot_be_done_is_a_doubt() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    held = replace(catalogue.repairs["top-up"], needs=("engine-running", "ignition-off"))
    found = doubts(replace(catalogue, repairs=catalogue.repairs | {held.id: held}), job)
    assert found == [
        (0, "on vehicle 1 top-up cannot be done as the vehicle arrives, expected a repair that can be done")
    ]


def test_a_fault_like_another_is_not_found() -> None:
    """Of two that no check tells apart the commoner one is named."""
    catalogue, job = with_fault(with_twin(bench()), "twin")
    rare = replace(catalogue.faults["twin"], rate=0.02)
    found = doubts(replace(catalogue, faults=catalogue.faults | {rare.id: rare}), job)
    assert len(found) == 1 and found[0][0] == 0
    assert found[0][1].startswith("on vehicle 1 a perfect observer is 9")
    assert re.search(r"% sure of coolant-low; still possible: twin \(\d%\); no check .*, expected twin$", found[0][1])


def test_a_fault_that_hardly_shows_is_taken_for_nothing() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    mild = replace(catalogue.faults["coolant-low"], severity=(0.0, 1.0))
    found = doubts(replace(catalogue, faults=catalogue.faults | {mild.id: mild}), replace(job, faults=(MILD,)))
    assert "the complaint 'cold' does not show" in found[0][1]
    assert re.search("sure of nothing wrong(; still possible: .*)?, expected coolant-low$", found[-1][1])


def test_a_right_diagnosis_must_be_sure() -> None:
    catalogue, job = with_fault(with_twin(bench()), "coolant-low")
    half = replace(catalogue.faults["twin"], rate=0.5)
    ((place, text),) = doubts(replace(catalogue, faults=catalogue.faults | {half.id: half}), job)
    assert place == 0 and text.startswith("on vehicle 1 a perfect observer is only 6")
    assert re.search(
        r"% sure of coolant-low; still possible: twin \(3\d%\); no check that is left would tell them apart, "
        r"expected at least 85%$",
        text,
    )


def test_the_check_that_tells_look_alikes_apart_is_named() -> None:
    """The reference is kept from taking any."""
    catalogue, job = with_fault(bench(), "coolant-low")
    end = diagnosed(catalogue, job, 1, BeliefCache(Particles.sample_prior(catalogue, job)))
    start = replace(end, particles=Particles.sample_prior(catalogue, job), readiness=Readiness(), done=set())
    words = str(look_alikes(start))
    found = re.fullmatch(r"still possible: (.+); (.+) would tell them apart", words)
    assert found is not None and found[2] in catalogue.checks and len(found[1].split(", ")) <= MOST_NAMED
    assert look_alikes(end) == ""
    rare = look_alikes(replace(start, done=set(catalogue.checks)), ("valve-seized-shut",))
    assert str(rare).endswith("no check that is left would tell them apart")


def test_the_reference_must_do_with_the_minutes_allowed() -> None:
    catalogue, job = with_fault(bench(), "thermostat-stuck-open")
    hurried = replace(RUBRIC, allowance_otherwise=1.0)
    (doubt,) = Examiner(catalogue, job, hurried).doubts(1)
    assert "minutes" in str(doubt.problem) and str(doubt.expected) == "at most the 1 minutes allowed"


def test_a_sound_vehicle_that_stays_cold_is_rightly_complained_of() -> None:
    """No heater warms this one to the 60 degC that the job calls warm enough."""
    catalogue, job = with_fault(bench(), "none")
    ((place, text),) = doubts(catalogue, replace(job, warm_enough_C=60.0, ambient_C=-25.0))
    assert place is None and "has no fault and its vents reach only" in text
    assert text.endswith("expected 60 °C, as warm_enough_C has it")


def test_a_severity_of_nothing_is_no_fault() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    assert doubts(catalogue, replace(job, faults=(Planted("coolant-low", 0.0),))) == []


def test_a_vehicle_without_the_usual_check_is_proven_by_the_quickest_other() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    usual = catalogue.checks["vent-temperature"]
    other = replace(usual, id="vent-probe", minutes=0.5)
    checks = {name: check for name, check in catalogue.checks.items() if check is not usual} | {other.id: other}
    course = proof_course(replace(catalogue, checks=checks), job)
    assert [action.text(0) for action in course if action.verb == "check"] == ["vent-probe"]


def test_a_proof_that_the_unrepaired_passes_is_a_doubt(monkeypatch: pytest.MonkeyPatch) -> None:
    import grading.fairness.vehicle
    from grading.marks.proof import Proof

    monkeypatch.setattr(grading.fairness.vehicle, "prove", lambda *arguments: Proof(True))
    (found,) = doubts(*with_fault(bench(), "coolant-low"))
    assert "the unrepaired vehicle passes the proof too" in found[1]


def test_a_vehicle_that_cannot_be_calculated_is_a_doubt() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    broken = replace(catalogue.faults["coolant-low"], changes=(Change("missing_L", to=float("nan")),))
    found = doubts(replace(catalogue, faults=catalogue.faults | {broken.id: broken}), job)
    assert len(found) == 1 and "expected a vehicle that can be calculated" in found[0][1]


@pytest.mark.slow
@pytest.mark.parametrize("name", packaged_catalogue().jobs)
def test_packaged_jobs_are_fair(name: str) -> None:
    """As learners get them first. The third vehicle of barn-find is taken for another one's."""
    catalogue = packaged_catalogue()
    assert doubts(catalogue, catalogue.jobs[name]) == []
