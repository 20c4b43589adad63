"""Practice memory: confusions are counted from records, and the next job follows from them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.practice import Attempt, attempt_of, remember
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


def record(job: str, declared: str | None, passed: bool, over: bool = True) -> list[Entry]:
    said = [("diagnose", [declared, 80.0])] if declared else []
    verbs = [*said, *([("handback", [])] if over else [])]
    actions = [Entry("action", {"verb": verb, "arguments": arguments}) for verb, arguments in verbs]
    return [Entry("job", {"format": 1, "job": job, "seed": 1}), *actions, Entry("grade", {"passed": passed})]


def test_a_beginner_is_given_the_first_job() -> None:
    assert remember(catalogue(), []).next_job == "a-low"


def test_a_confusion_is_counted_and_practised() -> None:
    memory = remember(catalogue(), [record("c-leak", "coolant-low", False), record("c-leak", "coolant-low", False)])
    assert memory.confusions == {("coolant-low", "hose-leaks"): 2}
    assert memory.next_job == "a-low"
    assert "a hose leaks" in memory.why and "coolant low" in memory.why


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


THREE = [record("a-low", "coolant-low", True), record("b-thermostat", "thermostat-stuck-open", True)]


@pytest.mark.parametrize(
    ("records", "next_job", "why"),
    [
        ([], "a-low", "a job not done before"),
        # What was done last does not come at once, and what was never done comes before the rest.
        ([record("a-low", "coolant-low", True)], "b-thermostat", "a job not done before"),
        ([*THREE, record("c-leak", "hose-leaks", True)], "d-sound", "a job not done before"),
        (
            [*THREE, record("c-leak", "hose-leaks", True), record("d-sound", "none", True)],
            "a-low",
            "to keep in practice",
        ),
        # A failed job counts more than a new one, whether it failed or was declared wrongly.
        (
            [record("b-thermostat", "thermostat-stuck-open", False), THREE[0]],
            "b-thermostat",
            "this job did not go well the last time",
        ),
        ([record("b-thermostat", None, True), THREE[0]], "b-thermostat", "this job did not go well the last time"),
        # Only its last attempt counts.
        (
            [record("b-thermostat", None, False), record("b-thermostat", "thermostat-stuck-open", True), THREE[0]],
            "c-leak",
            "a job not done before",
        ),
        # A confusion counts more than a failure: low coolant was taken for a thermostat, so both are practised.
        (
            [
                record("b-thermostat", "coolant-low", False),
                record("d-sound", None, False),
                record("c-leak", "hose-leaks", True),
            ],
            "b-thermostat",
            "coolant low and thermostat stuck open were taken for each other: learn what tells them apart",
        ),
    ],
)
def test_the_next_job_follows_from_what_was_done(records: list[list[Entry]], next_job: str, why: str) -> None:
    memory = remember(catalogue(), records)
    assert (memory.next_job, memory.why) == (next_job, why)


def test_of_two_confusions_the_more_frequent_is_told() -> None:
    once, twice = record("c-leak", "none", False), record("c-leak", "coolant-low", False)
    memory = remember(catalogue(), [once, twice, twice, record("b-thermostat", "thermostat-stuck-open", True)])
    assert memory.confusions == {("none", "hose-leaks"): 1, ("coolant-low", "hose-leaks"): 2}
    assert (memory.next_job, memory.why) == (
        "c-leak",
        "coolant low and a hose leaks were taken for each other: learn what tells them apart",
    )


@pytest.mark.parametrize(("first", "second", "chosen"), [(1, 2, "a-low"), (2, 1, "b-thermostat"), (2, 2, "a-low")])
def test_among_equals_the_easier_job_comes_first(first: int, second: int, chosen: str) -> None:
    one = catalogue()
    hard = dict(zip(one.jobs, (first, second, 5, 5), strict=True))
    jobs = {name: replace(job, difficulty=hard[name]) for name, job in one.jobs.items()}
    assert remember(replace(one, jobs=jobs), []).next_job == chosen


def test_a_catalogue_of_one_job_gives_it_again() -> None:
    one = catalogue()
    alone = replace(one, jobs={"a-low": one.jobs["a-low"]})
    assert remember(alone, [record("a-low", "coolant-low", True)]).next_job == "a-low"
    assert remember(replace(one, jobs={}), []).next_job is None


@pytest.mark.parametrize(
    ("entries", "declared", "passed"),
    [
        (record("a-low", "coolant-low", True), "coolant-low", True),
        (record("a-low", None, False), None, False),
        (record("a-low", "elsewhere", False), None, False),  # a fault of another catalogue
        (record("a-low", "none", True)[:-1], "none", None),  # not marked
        ([*record("a-low", "none", False), Entry("grade", {"passed": True})], "none", True),  # marked again
        (
            [
                record("a-low", "none", False)[0],
                *record("a-low", "none", False)[1:2],
                *record("a-low", "coolant-low", True)[1:],
            ],
            "coolant-low",  # the last diagnosis
            True,
        ),
    ],
)
def test_an_attempt_is_what_its_record_says(entries: list[Entry], declared: str | None, passed: bool | None) -> None:
    assert attempt_of(catalogue(), entries) == Attempt("a-low", ("coolant-low",), declared, passed)


def test_of_two_faults_neither_declared_both_are_confused_and_a_severity_of_none_is_no_fault() -> None:
    one = catalogue()
    both = (Planted("coolant-low", 1.0), Planted("thermostat-stuck-open", None))
    idle = (Planted("coolant-low", 0.0), Planted("thermostat-stuck-open", 1.0))
    jobs = {"both": replace(one.jobs["a-low"], id="both", faults=both)}
    jobs["idle"] = replace(jobs["both"], id="idle", faults=idle)
    known = replace(one, jobs=jobs)
    memory = remember(
        known, [record("both", "none", False), record("both", "coolant-low", True), record("idle", "coolant-low", True)]
    )
    assert [attempt.real for attempt in memory.attempts[1:]] == [
        ("coolant-low", "thermostat-stuck-open"),
        ("thermostat-stuck-open",),
    ]
    assert memory.confusions == {
        ("none", "coolant-low"): 1,
        ("none", "thermostat-stuck-open"): 1,
        ("coolant-low", "thermostat-stuck-open"): 1,
    }
