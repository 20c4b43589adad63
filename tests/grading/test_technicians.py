"""The technician who works by rules of the trade: what is known, what is found, and what sets the levels apart."""

from __future__ import annotations

import ast
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from grading import technicians
from grading.fairness.competent import competent_medians
from grading.marks.work import is_left
from grading.sessions.session import Session
from grading.technicians import COMPETENT, EXPERT, SKILLS, Skill, Technician
from grading.technicians.proving import PROOFS
from grading.technicians.rounds import COMMON, ROUNDS, RULES, SETTLES
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue

FACTOR = 1.5
"""Between what a job says of competent technicians and what they take."""
ALIEN = ("grading.observer", "grading.reference", "grading.marks", "sim.laws", "sim.repairs", "scenarios.planting")
"""What nobody at a vehicle knows."""


@cache
def catalogue() -> Catalogue:
    return packaged_catalogue()


def worked(job: str, seed: int, skill: Skill) -> Session:
    """A job as somebody works it."""
    session = Session(catalogue(), catalogue().jobs[job], seed)
    Technician(session, skill).play()
    return session


@pytest.mark.parametrize("job", ["first-frost", "night-shift", "market-round"])
def test_an_expert_finds_cures_and_hands_back_a_plain_fault(job: str) -> None:
    session = worked(job, 3, EXPERT)
    (fault,) = session.job.real_faults
    actions = [entry.action for entry in session.recorder.entries if entry.kind == "action"]
    assert list(session.diagnoses) == [fault]
    assert not is_left(catalogue(), actions, catalogue().faults[fault])
    assert session.finished
    assert not session.safety


def test_a_second_fault_is_found_when_the_first_repair_does_not_do() -> None:
    session = worked("cold-chapel", 6, EXPERT)
    assert set(session.diagnoses) == {"cabin-filter-blocked", "resistor-pack-open"}


def test_levels_differ_in_rules_care_and_what_they_find() -> None:
    known = [sum(rule.level <= skill.level for rule in RULES) for skill in SKILLS]
    assert known == sorted(known)
    assert known[0] < 0.3 * known[COMPETENT.level]
    jobs = ["barn-find", "after-the-service", "sales-trip", "flat-country"]
    found = {
        skill: sum(
            set(worked(job, 1, skill).diagnoses) & set(catalogue().jobs[job].real_faults) != set() for job in jobs
        )
        for skill in (SKILLS[0], EXPERT)
    }
    assert found[SKILLS[0]] <= 2 < found[EXPERT]


def test_who_is_heedless_passes_over_cautions_and_an_expert_none() -> None:
    def answers(skill: Skill) -> set[str]:
        entries = worked("first-frost", 1, skill).recorder.entries
        notes = [entry.action.arguments for entry in entries if entry.data.get("verb") == "note"]
        return {str(note[2]) for note in notes if note[0] == "caution"}

    assert answers(EXPERT) == {"heeded"}
    assert "skipped" in answers(replace(EXPERT, heedless=0.5))


def test_the_same_person_does_the_same_twice() -> None:
    once, again = (worked("night-shift", 2, SKILLS[1]).recorder.entries for _ in range(2))
    assert [entry.data for entry in once] == [entry.data for entry in again]


def test_rules_speak_of_faults_and_checks_that_exist_and_leave_none_out() -> None:
    named = {name for rule in RULES for name in rule.weights}
    checks = {name for rule in RULES for name in rule.then} | {c for one in SETTLES.values() for c in one.split()}
    checks |= {step.split(":")[1] for one in ROUNDS.values() for step in one.split()}
    checks |= {look for proof in PROOFS.values() for look in proof.looks}
    assert named == set(catalogue().faults) == set(SETTLES)
    assert checks <= set(catalogue().checks)
    assert {name for one in COMMON.values() for name in one.split()} <= named
    assert set(ROUNDS) == set(COMMON) == set(PROOFS)


def test_no_rule_knows_the_belief_or_what_a_fault_changes() -> None:
    folder = Path(technicians.__file__).parent
    for file in sorted(folder.glob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        imported = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
        assert not [name for name in imported if name.startswith(ALIEN)], file.name
        touched = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        assert not touched & {"changes", "rate", "severity", "likelihood", "faults_planted", "real_faults", "shows"}, (
            file.name
        )


@pytest.mark.slow
def test_packaged_jobs_say_what_competent_technicians_take() -> None:
    for job in catalogue().jobs.values():
        minutes, checks = competent_medians(catalogue(), job)
        assert job.competent_minutes is not None, job.id
        assert job.competent_checks is not None, job.id
        assert 1.0 / FACTOR <= job.competent_minutes / minutes <= FACTOR, job.id
        assert 1.0 / FACTOR <= job.competent_checks / checks <= FACTOR, job.id
