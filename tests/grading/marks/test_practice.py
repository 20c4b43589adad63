"""Practice memory: confusions are counted from records, and the next job follows from them."""

from __future__ import annotations

from dataclasses import replace

from grading.marks.practice import remember
from grading.sessions.record import Entry
from scenarios.model import Catalogue, Planted
from tests.grading.workbench import bench


def catalogue() -> Catalogue:
    """Four jobs: low coolant, a thermostat, a leak, and a sound vehicle."""
    one = bench()
    job = one.jobs["cold-tern"]
    faults = {"a-low": "coolant-low", "b-thermostat": "thermostat-stuck-open", "c-leak": "hose-leaks"}
    jobs = {name: replace(job, id=name, faults=(Planted(fault, None),)) for name, fault in faults.items()}
    jobs["d-sound"] = replace(job, id="d-sound", faults=())
    return replace(one, jobs=jobs)


def record(job: str, declared: str | None, passed: bool, over: bool = True) -> tuple[list[Entry], bool]:
    said = [("diagnose", [declared, 80.0])] if declared else []
    verbs = [*said, *([("handback", [])] if over else [])]
    actions = [Entry("action", {"verb": verb, "arguments": arguments}) for verb, arguments in verbs]
    return [Entry("job", {"job": job, "seed": 1}), *actions], passed


def test_a_beginner_is_given_the_first_job() -> None:
    assert remember(catalogue(), []).next_job == "a-low"


def test_a_confusion_is_counted_and_practised() -> None:
    memory = remember(catalogue(), [record("c-leak", "coolant-low", False), record("c-leak", "coolant-low", False)])
    assert memory.confusions == {("coolant-low", "hose-leaks"): 2}
    assert memory.next_job == "a-low"
    assert "a hose leaks" in str(memory.why) and "coolant low" in str(memory.why)


def test_a_failed_job_comes_again_but_not_at_once() -> None:
    first = record("b-thermostat", None, False)
    assert remember(catalogue(), [first]).next_job != "b-thermostat"
    assert remember(catalogue(), [first, record("a-low", "coolant-low", True)]).next_job == "b-thermostat"


def test_work_that_is_not_over_or_not_known_is_left_out() -> None:
    memory = remember(catalogue(), [record("a-low", "none", False, over=False), record("elsewhere", "none", False)])
    assert memory.attempts == ()
    assert memory.confusions == {}


def test_a_sound_vehicle_called_broken_is_a_confusion_too() -> None:
    memory = remember(catalogue(), [record("d-sound", "hose-leaks", False)])
    assert memory.confusions == {("hose-leaks", "none"): 1}
    assert memory.next_job == "c-leak"
