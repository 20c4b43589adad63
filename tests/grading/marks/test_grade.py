"""What a grade counts, what it never counts, and that only the rubric's file changes the weights."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from grading.marks import criteria as rules
from grading.marks import grade as grades
from grading.marks.case import Case, Declared
from grading.marks.comeback import Comeback
from grading.marks.grade import Grade, Grader, _hangs_on, grade_record
from grading.marks.proof import Proof
from grading.marks.replay import replay as replay_of
from grading.marks.rubric import PACKAGED, load_rubric
from grading.marks.verdict import verdict
from grading.observer.particles import PER_FAULT
from grading.reference.policy import SOLVER, ReferenceRun
from grading.sessions.modes import Mode
from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import Message
from scenarios.model import Planted
from tests.grading.workbench import CURE, FIND, PROVE, SEED, WRITE, bench, marks, play, with_fault, with_twin

SURE = Action("diagnose", ("coolant-low", 90.0))
BACK = Action("handback")


@cache
def grader() -> Grader:
    catalogue, job = with_fault(bench(), "coolant-low")
    return Grader(catalogue, job, SEED)


def graded(*actions: Action) -> Grade:
    return grader().grade(session(*actions).recorder.entries)


def session(*actions: Action) -> Session:
    return play(grader().catalogue, grader().job, *actions)


def good() -> Grade:
    return graded(*FIND, _declared(), *CURE, *PROVE, *WRITE, BACK)


@cache
def _declared() -> Action:
    """A diagnosis stated with the confidence that the readings bear out."""
    trial = graded(*FIND, SURE)
    belief = dict(zip([f.id for f in trial.faults], trial.steps[-1].after.tolist(), strict=True))
    best = max(("coolant-low", "hose-leaks"), key=lambda name: belief[name])
    return Action("diagnose", (best, round(100.0 * belief[best])))


def test_weights_change_a_grade_only_as_the_file_says(tmp_path: Path) -> None:
    text = PACKAGED.read_text(encoding="utf-8")
    assert "diagnosis: 40" in text and "parts: 10" in text
    other = tmp_path / "rubric.yaml"
    other.write_text(text.replace("diagnosis: 40", "diagnosis: 30").replace("parts: 10", "parts: 20"), encoding="utf-8")
    done = session(*FIND, SURE, *CURE, BACK)
    first, second = marks(done), marks(done, load_rubric(other))
    assert first.criteria == second.criteria
    assert first.rubric != second.rubric
    for grade in (first, second):
        total = sum(grade.criteria[name] * grade.weights[name] / 100.0 for name in grade.criteria)
        assert grade.total == pytest.approx(total, abs=0.1)
    difference = 0.1 * (first.criteria["parts"] - first.criteria["diagnosis"])
    assert second.total - first.total == pytest.approx(difference, abs=0.15)


def test_the_same_record_gives_the_same_bytes() -> None:
    done = session(*FIND, SURE, *CURE, *PROVE, BACK)
    first, second = (json.dumps(marks(done).to_json(), sort_keys=True).encode() for _ in range(2))
    assert first == second


def test_protected_checks_cost_nothing() -> None:
    looks = (*PROVE[:3], Action("check", ("vent-temperature",)), Action("check", ("vent-temperature",)))
    plain, more = graded(*FIND, SURE, BACK), graded(*FIND, *looks[3:], SURE, BACK)
    assert more.minutes_used > plain.minutes_used
    assert more.criteria["efficiency"] == plain.criteria["efficiency"]
    dearer = graded(*FIND, Action("check", ("gauge",)), Action("wait", (20.0,)), SURE, BACK)
    assert dearer.criteria["efficiency"] < plain.criteria["efficiency"]


@pytest.mark.parametrize(("chosen", "lost"), [("heeded", 0.0), ("told", 0.0), ("skipped", 50.0)])
def test_a_caution_passed_over_costs_once(chosen: str, lost: float) -> None:
    note = Action("note", ("caution", "hot-cap", chosen))
    assert graded(*FIND, note, note, SURE, BACK).criteria["safety"] == 100.0 - lost


def test_a_hot_cap_caps_the_total() -> None:
    grade = graded(*FIND, Action("ignition", ("off",)), Action("check", ("coolant-level-cold",)), SURE, BACK)
    assert grade.total <= 49.0
    assert not grade.passed


def test_a_fault_found_by_fitting_parts_is_not_earned() -> None:
    swapped = graded(Action("repair", ("top-up",)), *PROVE, SURE, BACK)
    assert swapped.steps[-1].after.max() > swapped.steps[0].before.max()
    assert swapped.criteria["diagnosis"] <= rules.UNSUPPORTED_MARKS + 1.0
    assert not swapped.passed


def test_belief_and_its_error_are_those_before_the_cure() -> None:
    swapped = graded(*FIND, *CURE, *PROVE, SURE)
    tried = next(step for step in swapped.steps if step.action.verb == "repair")
    group = [fault.id in swapped.group for fault in swapped.faults]
    assert swapped.belief == pytest.approx(tried.before[group].sum())
    assert swapped.belief_error == pytest.approx(tried.error_before[group].sum())
    for earlier, later in pairwise(swapped.steps):
        assert later.before is earlier.after
        assert later.error_before is earlier.error


def test_of_two_faults_one_repaired_is_not_all_of_it() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    job = replace(job, faults=(*job.faults, Planted("thermostat-stuck-open", 1.0)))
    catalogue = replace(catalogue, jobs={job.id: job})
    one, both = (SURE, *CURE), (SURE, *CURE, Action("repair", ("renew-thermostat",)))
    assert marks(play(catalogue, job, *one)).criteria["parts"] == 30.0
    assert marks(play(catalogue, job, *both)).criteria["parts"] == 100.0


def test_written_work_counts_in_inquiry() -> None:
    without, with_it = graded(*FIND, SURE, BACK), graded(*FIND, SURE, *WRITE, BACK)
    assert with_it.criteria["inquiry"] == pytest.approx(without.criteria["inquiry"] + 10.0, abs=0.1)
    assert graded(*FIND, SURE, Action("note", ("cause", "x")), BACK).criteria == without.criteria


def test_a_guess_fails() -> None:
    guess = graded(SURE, *CURE, *PROVE, *WRITE, BACK)
    assert guess.criteria["diagnosis"] <= rules.UNSUPPORTED_MARKS + 5.0
    assert not guess.passed


def test_who_stops_too_soon_pays_for_wrong_repairs() -> None:
    guess, found = graded(Action("diagnose", ("thermostat-stuck-open", 90.0)), BACK), good()
    assert guess.minutes_used < found.minutes_used
    assert guess.criteria["efficiency"] < 40.0 < 60.0 < found.criteria["efficiency"]
    assert any("too soon" in str(reason) for reason in guess.reasons)
    assert not any("too soon" in str(reason) for reason in found.reasons)


def test_faults_that_no_check_parts_are_one() -> None:
    catalogue, job = with_fault(with_twin(bench()), "coolant-low")
    grade = marks(play(catalogue, job, *FIND, Action("diagnose", ("twin", 50.0)), BACK))
    assert {"twin", "coolant-low"} <= set(grade.group)
    assert "thermostat-stuck-open" not in grade.group
    assert not any("wrong" in str(reason) for reason in grade.reasons)


def test_a_slow_careful_apprentice_passes() -> None:
    catalogue, job = with_fault(bench(), "thermostat-stuck-open")
    slow = (
        *FIND,
        Action("check", ("vent-temperature",)),
        Action("check", ("gauge",)),
        Action("idle", (5.0,)),
        Action("check", ("heater-return-infrared",)),
        Action("check", ("gauge",)),
        Action("diagnose", ("thermostat-stuck-open", 95.0)),
        Action("ignition", ("off",)),
        Action("wait", (420.0,)),
        Action("repair", ("renew-thermostat",)),
        *PROVE,
        *WRITE,
        BACK,
    )
    grade = marks(play(catalogue, job, *slow))
    assert grade.minutes_used > 1.5 * grade.reference_minutes
    assert grade.passed, grade.reasons


def _case(belief: tuple[float, float], error: tuple[float, float] = (0.0, 0.0)) -> Case:
    catalogue, job = with_fault(bench(), "coolant-low")
    faults = [catalogue.faults["coolant-low"], catalogue.faults["none"]]
    done = play(catalogue, job, SURE, *CURE, BACK)
    actions = [entry for entry in done.recorder.entries if entry.kind == "action"]
    said = Declared(faults[0], 0.9, frozenset({"coolant-low"}), np.array(belief), np.array(error))
    rubric = load_rubric()
    return Case(
        catalogue, job, actions, [], ReferenceRun(belief=0.95), faults, ["coolant-low"], rubric, (said,), Proof(True)
    )


@pytest.mark.parametrize(("belief", "hangs"), [((0.7, 0.3), True), ((0.99, 0.01), False), ((0.01, 0.99), False)])
def test_a_grade_says_when_it_hangs_on_a_rate(belief: tuple[float, float], hangs: bool) -> None:
    case = _case(belief)
    criteria = dict.fromkeys(case.rubric.weights, 100.0) | {"diagnosis": rules.diagnosis(case)[0]}
    passed = criteria["diagnosis"] >= case.rubric.floors["diagnosis"]
    found = _hangs_on(case, criteria, None, verdict(case, criteria, None))
    assert bool(found) == hangs
    for name, factor in found:
        chance = dict(zip(["coolant-low", "none"], belief, strict=True))
        chance[name] *= factor
        scaled = np.array(list(chance.values())) / sum(chance.values())
        faults = [replace(f, rate=f.rate * (factor if f.id == name else 1.0)) for f in case.faults]
        other = replace(case, held=(replace(case.held[0], belief=scaled),), faults=faults)
        assert (rules.diagnosis(other)[0] >= case.rubric.floors["diagnosis"]) != passed


def test_the_rates_are_told_with_the_grade() -> None:
    data = good().to_json()
    assert data["rates"]["coolant-low"] == 1.0
    assert data["comeback"] is not None


def test_the_rule_and_the_error_of_the_belief_are_told_with_the_grade() -> None:
    data = good().to_json()
    assert data["solver"]["rule"]
    assert 1.0 <= data["solver"]["cost_over_exact"] <= 1.03
    assert 0.5 < data["belief"] <= 1.0
    assert 0.0 <= data["belief_standard_error"] < 0.1
    undeclared = marks(session(*FIND)).to_json()
    assert undeclared["belief"] is None
    assert undeclared["belief_standard_error"] is None


def test_a_job_may_report_by_an_instructors_own_codes() -> None:
    coded = replace(grader().job, competences={"unit 4, outcome 2": "diagnosis", "unit 1, outcome 5": "safety"})
    done = session(*FIND, _declared(), *CURE, *PROVE, *WRITE, BACK)
    grade = Grader(grader().catalogue, coded, SEED).grade(done.recorder.entries)
    assert grade.competences == {
        "unit 4, outcome 2": grade.criteria["diagnosis"],
        "unit 1, outcome 5": grade.criteria["safety"],
    }
    assert grade.to_json()["competences"] == grade.competences


def test_what_the_observer_does_not_know_counts_for_the_person() -> None:
    sure, unsure = _case((0.6, 0.4)), _case((0.6, 0.4), (0.1, 0.1))
    assert rules.diagnosis(unsure)[0] > rules.diagnosis(sure)[0]


def test_a_step_that_tells_little_for_its_minutes_is_regretted() -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    idle = play(catalogue, job, Action("engine", ("start",)), Action("idle", (40.0,)), *FIND[1:], SURE)
    steps = Grader(catalogue, job, SEED).grade(idle.recorder.entries, look_ahead=True).steps
    checks = [step for step in steps if step.action.verb == "check"]
    assert checks[0].regret > 20.0
    assert steps[-1].worth is not None


def test_how_far_the_marking_is_is_told_up_to_the_end() -> None:
    """A tenth at the start, half of it for the record's steps, the rest for the reference, which is kept."""
    entries, shares = session(*FIND[:3], SURE).recorder.entries, []
    Grader(grader().catalogue, grader().job, SEED).grade(entries, shares.append)
    assert shares[:5] == pytest.approx([0.1, 0.225, 0.35, 0.475, 0.6])
    assert shares[5:] == sorted(shares[5:]) and shares[5] >= 0.6 and shares[-1] == 1.0
    again: list[float] = []
    assert grader().course is not None  # found before
    assert all(step.best is None and step.regret == 0.0 for step in grader().grade(entries, again.append).steps)
    assert again[:6] == pytest.approx([0.1, 0.225, 0.35, 0.475, 0.6, 1.0]) and set(again[6:]) <= {1.0}
    assert grader().grade(entries).total == grader().grade(entries, look_ahead=True).total


def test_a_record_is_graded_by_the_judge_of_its_job_and_seed(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []

    class Noted:
        def __init__(self, *given: Any) -> None:
            asked.append(given)

        def grade(self, *given: Any) -> str:
            asked.append(given)
            return "a grade"

    monkeypatch.setattr(grades, "Grader", Noted)
    catalogue, job, entries = grader().catalogue, grader().job, [RecordEntry("job", {"job": "cold-tern", "seed": 7})]
    rubric = load_rubric()
    assert grade_record(catalogue, entries, print, rubric, True) == "a grade"
    assert grade_record(catalogue, entries) == "a grade"
    assert asked == [
        (catalogue, job, 7, rubric),
        (entries, print, True),
        (catalogue, job, 7, None),
        (entries, None, False),
    ]


def test_a_grade_as_plain_data(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grades, "complaint_likelihood", lambda job, fault: 0.12345678)
    catalogue, job = grader().catalogue, grader().job
    course = ReferenceRun([Action("check", ("gauge",))], ["gauge"], 2.0, "coolant-low", 0.85, 3)
    made = Grade(
        total=61.5,
        passed=True,
        verdict="passed",
        criteria={"diagnosis": 60.0},
        weights={"diagnosis": 40.0},
        checks_used=3,
        minutes_used=20.25,
        reference_checks=1,
        reference_minutes=2.0,
        safety=["burnt"],
        reasons=["as it is", Message("{n} checks", n=2)],
        rubric="a hash",
        truth=["coolant-low"],
        course=course,
        steps=[],
        job=job,
        faults=[catalogue.faults["coolant-low"]],
        group=["coolant-low", "twin"],
        hangs_on=[("coolant-low", 2.0)],
        comeback=Comeback(3, "cold", False, 30),
        mode="exam",
        hints=4.0,
        competences={"K1": 60.0},
        belief=0.87654321,
        belief_error=0.01234567,
        critical=["scalded"],
        proof=Proof(True),
        vehicles_failed=2,
    )
    data = {
        "total": 61.5,
        "passed": True,
        "verdict": "passed",
        "criteria": {"diagnosis": 60.0},
        "competences": {"K1": 60.0},
        "weights": {"diagnosis": 40.0},
        "checks_used": 3,
        "minutes_used": 20.25,
        "reference_checks": 1,
        "reference_minutes": 2.0,
        "reference": {"checks": ["gauge"], "diagnosis": "coolant-low", "belief": 0.85, "vehicles_failed": 3},
        "safety": ["burnt"],
        "critical": ["scalded"],
        "proven": True,
        "reasons": ["as it is", "2 checks"],
        "rubric": "a hash",
        "solver": SOLVER,
        "vehicles_imagined": PER_FAULT,
        "vehicles_failed": 2,
        "belief": 0.876543,
        "belief_standard_error": 0.012346,
        "group": ["coolant-low", "twin"],
        "rates": {"coolant-low": 1.0},
        "chance_of_complaint": {"coolant-low": 0.123457},
        "hangs_on_rates": [{"fault": "coolant-low", "factor": 2.0}],
        "mode": "exam",
        "hints": 4.0,
        "comeback": {"day": 3, "what": "cold", "dangerous": False, "days": 30, "unroadworthy": "", "held": False},
    }
    assert made.to_json() == data
    nothing = {"belief": None, "belief_standard_error": None, "comeback": None}
    assert replace(made, belief=None, belief_error=None, comeback=None).to_json() == data | nothing


def test_a_judge_tells_the_mode_and_what_could_not_be_calculated(monkeypatch: pytest.MonkeyPatch) -> None:
    guided = Session(grader().catalogue, grader().job, SEED, mode=Mode("guided"))
    nothing = grader().grade(guided.recorder.entries)
    assert (nothing.mode, nothing.vehicles_failed, nothing.belief, nothing.checks_used) == ("guided", 0, None, 0)
    guided.do(FIND[0])
    monkeypatch.setattr(
        grades, "replay", lambda *given: [replace(step, vehicles_failed=4) for step in replay_of(*given)]
    )
    assert grader().grade(guided.recorder.entries).vehicles_failed == 4
    assert grader().grade(guided.recorder.entries[:1]).vehicles_failed == 0


def test_a_right_diagnosis_that_is_hardly_believed_is_marked_again_with_more_vehicles(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    sure = Grader(grader().catalogue, grader().job, SEED)
    believed = sure.grade(session(*FIND, SURE).recorder.entries).belief
    assert believed is not None and believed > grades.CLOSER_LOOK_BELOW
    assert "closer" not in sure.__dict__
    hardly = session(FIND[1], Action("check", ("gauge",)), SURE).recorder.entries
    monkeypatch.setattr(grades, "CLOSER_LOOK_BELOW", 0.6)
    doubted = sure.grade(hardly)
    closer_look = sure.closer_look
    assert (
        closer_look.prior_particles.scale == grades.CLOSER_LOOK
        and closer_look.prior_particles.seed != sure.prior_particles.seed
    )
    assert len(closer_look.prior_particles.label) > 3 * len(sure.prior_particles.label)
    assert closer_look.course is sure.course
    assert doubted.to_json() == closer_look.grade(hardly).to_json()


@pytest.mark.parametrize(
    ("belief", "group", "doubted"),
    [(0.49, ["coolant-low"], True), (0.5, ["coolant-low"], False), (0.1, ["none"], False), (None, [], False)],
)
def test_only_a_right_diagnosis_is_doubted(belief: float | None, group: list[str], doubted: bool) -> None:
    assert grades.needs_more_particles(replace(good(), belief=belief, group=group)) == doubted
