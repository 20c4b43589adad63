"""What the job card says will count, and what of a record may."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.what_counts import COUNTS, complaints_of, proof_check, read_since_work, what_counts
from grading.sessions.perception import SENSES
from scenarios import language
from scenarios.model import COMPLAINTS, Job
from sim.observation.quantities import QUANTITIES
from tests.grading.cases import did, entries
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
JOB = CATALOGUE.jobs["first-frost"]


def job_of(*kinds: str) -> Job:
    return replace(JOB, complains_of=kinds)


def test_every_complaint_has_its_row_of_quantities_that_exist() -> None:
    assert list(COUNTS) == list(COMPLAINTS)
    for kind, counts in COUNTS.items():
        assert counts.quantities <= set(QUANTITIES), kind
        assert counts.sense in {*SENSES, ""}, kind


@pytest.mark.parametrize("vehicle", CATALOGUE.vehicles)
def test_every_complaint_can_be_proven_on_every_vehicle_that_can_have_it(vehicle: str) -> None:
    kind_of = CATALOGUE.vehicles[vehicle]
    for fault in CATALOGUE.faults_of(kind_of):
        for kind in fault.shows:
            assert proof_check(CATALOGUE, kind_of, kind) is not None, (fault.id, kind)


def test_the_check_that_proves_is_the_quickest_that_measures_the_complaint() -> None:
    pickup = CATALOGUE.vehicles["pickup"]
    found = {kind: proof_check(CATALOGUE, pickup, kind) for kind in ("cold", "no air", "gauge", "wet carpet")}
    names = {kind: check.id if check else "" for kind, check in found.items()}
    assert names == {
        "cold": "vent-temperature",
        "no air": "blower-each-speed",
        "gauge": "gauge",
        "wet carpet": "sweet-smell",
    }
    measured = proof_check(CATALOGUE, pickup, "too warm")
    assert measured is not None and measured.id == "heater-return-touch"


def test_the_card_depends_on_the_complaint_alone() -> None:
    texts = {str(what_counts(replace(job_of("cold"), faults=job.faults))) for job in CATALOGUE.jobs.values()}
    assert texts == {"What will count as proof: warm air at the vents, engine warm, heater at full hot."}


def test_the_card_names_each_complaint_and_says_how_long_where_it_comes_and_goes() -> None:
    both = str(what_counts(job_of("losing coolant", "cold")))
    assert both.count(";") == 1 and "no loss of coolant" in both and "warm air" in both
    assert "until it would have shown" in str(what_counts(replace(JOB, comes_and_goes=True)))
    assert "until it would have shown" not in str(what_counts(JOB))
    assert complaints_of(job_of("losing coolant", "cold")) == ("cold", "losing coolant")


def test_the_card_speaks_german() -> None:
    language.choose("de")
    try:
        for kind, counts in COUNTS.items():
            assert language._(counts.says) != counts.says, kind
            assert language._(what_counts(job_of(kind))).startswith("Als Nachweis zählt: ")
    finally:
        language.choose("en")


VENTS = did("check", "vent-temperature", shown={"air at the vent": 50})


@pytest.mark.parametrize(
    ("done", "read"),
    [
        ((), []),
        ((VENTS,), [("air at the vent", 50.0, 0.0)]),
        ((VENTS, did("repair", "top-up-coolant")), []),
        ((VENTS, did("repair", "explain-use")), [("air at the vent", 50.0, 0.0)]),
        ((did("repair", "top-up-coolant"), VENTS), [("air at the vent", 50.0, 0.0)]),
        ((did("drive", 15.0, minutes=15.0), VENTS), [("air at the vent", 50.0, 15.0)]),
        ((did("drive", 15.0, minutes=15.0), did("repair", "top-up-coolant"), VENTS), [("air at the vent", 50.0, 0.0)]),
        ((did("wait", 15.0, minutes=15.0), VENTS), [("air at the vent", 50.0, 0.0)]),
        ((did("check", "gauge", shown={"gauge": 4}),), []),
        ((did("check", "no-such-check", shown={"air at the vent": 50}),), []),
    ],
)
def test_what_was_read_since_the_last_work(done: tuple, read: list[tuple[str, float, float]]) -> None:
    found = read_since_work(CATALOGUE, JOB, entries(*done))
    assert [(one.label, one.degrees, one.ran) for one in found] == read


def test_what_was_noticed_counts_where_nobody_measures() -> None:
    seen = entries(did("drive", 5.0))
    seen[0].data["noticed"] = [{"label": "windscreen seen", "step": 0, "shown": "clear"}]
    assert [one.shown for one in read_since_work(CATALOGUE, job_of("fogging"), seen)] == ["clear"]
    assert read_since_work(CATALOGUE, job_of("cold"), seen) == []
