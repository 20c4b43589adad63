"""Practice memory: confusions are counted from records, and the next job follows from them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.practice import Attempt, attempt_of, remember
from grading.sessions.record import RecordEntry
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


Record = tuple[list[RecordEntry], bool | None]


def record(job: str, declared: str | None, passed: bool, over: bool = True) -> Record:
    said = [("diagnose", [declared, 80.0])] if declared else []
    verbs = [*said, *([("handback", [])] if over else [])]
    actions = [RecordEntry("action", {"verb": verb, "arguments": arguments}) for verb, arguments in verbs]
    return [RecordEntry("job", {"job": job, "seed": 1}), *actions], passed


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
def test_the_next_job_follows_from_what_was_done(records: list[Record], next_job: str, why: str) -> None:
    memory = remember(catalogue(), records)
    assert (memory.next_job, str(memory.why)) == (next_job, why)


def test_of_two_confusions_the_more_frequent_is_told() -> None:
    once, twice = record("c-leak", "none", False), record("c-leak", "coolant-low", False)
    memory = remember(catalogue(), [once, twice, twice, record("b-thermostat", "thermostat-stuck-open", True)])
    assert memory.confusions == {("none", "hose-leaks"): 1, ("coolant-low", "hose-leaks"): 2}
    assert (memory.next_job, str(memory.why)) == (
        "c-leak",
        "coolant low and a hose leaks were taken for each other: learn what tells them apart",
    )


@pytest.mark.parametrize(("first", "second", "chosen"), [(1, 2, "a-low"), (2, 1, "b-thermostat"), (2, 2, "a-low")])
def test_among_equals_the_easier_job_comes_first(first: int, second: int, chosen: str) -> None:
    one = catalogue()
    hard = dict(zip(one.jobs, (first, second, 5, 5), strict=True))
    jobs = {name: replace(job, difficulty=hard[name]) for name, job in one.jobs.items()}
    assert remember(replace(one, jobs=jobs), []).next_job == chosen


def test_a_confusion_counts_more_than_a_failure() -> None:
    """A sound vehicle, done well, was then taken for a leak: it comes before the job that was failed without one."""
    records = [
        record("d-sound", "none", True),
        record("a-low", "coolant-low", False),
        record("c-leak", "none", False),
    ]
    assert remember(catalogue(), records).next_job == "d-sound"


def test_of_two_jobs_the_other_is_next() -> None:
    one = catalogue()
    two = replace(one, jobs={name: one.jobs[name] for name in ("a-low", "c-leak")})
    assert remember(two, [record("c-leak", "hose-leaks", True), record("a-low", None, False)]).next_job == "c-leak"


def test_a_catalogue_of_one_job_gives_it_again() -> None:
    one = catalogue()
    alone = replace(one, jobs={"a-low": one.jobs["a-low"]})
    assert remember(alone, [record("a-low", "coolant-low", True)]).next_job == "a-low"
    assert remember(replace(one, jobs={}), []).next_job is None


@pytest.mark.parametrize(
    ("declarations", "passed", "declared"),
    [
        (["coolant-low"], True, "coolant-low"),
        ([], False, None),
        (["elsewhere"], False, None),  # a fault of another catalogue
        (["none"], None, "none"),  # not marked
        (["none", "coolant-low"], True, "coolant-low"),  # the last diagnosis
    ],
)
def test_an_attempt_is_what_its_record_says(declarations: list[str], passed: bool | None, declared: str | None) -> None:
    said = [RecordEntry("action", {"verb": "diagnose", "arguments": [fault, 80.0]}) for fault in declarations]
    first, *_others, back = record("a-low", None, False)[0]
    found = attempt_of(catalogue(), [first, *said, back], passed)
    assert found == Attempt("a-low", ("coolant-low",), declared, passed)


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


def test_an_empty_record_is_no_attempt() -> None:
    assert attempt_of(catalogue(), [], True) is None


def test_the_confusion_that_is_told_is_one_of_the_job_s_own() -> None:
    """The newest job is confused more often, but another comes next: what is told is what was confused there."""
    whole = catalogue()
    two = replace(whole, jobs={name: whole.jobs[name] for name in ("a-low", "d-sound")})
    records = [record("a-low", "hose-leaks", True), *2 * [record("d-sound", "thermostat-stuck-open", True)]]
    found = remember(two, records)
    assert (found.next_job, str(found.why)) == (
        "a-low",
        "a hose leaks and coolant low were taken for each other: learn what tells them apart",
    )
