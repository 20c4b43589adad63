"""A job card must not say what is wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.fairness.giveaway import given_away
from scenarios.model import Catalogue, Planted
from tests.packaged import packaged_catalogue


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return packaged_catalogue()


def test_no_packaged_job_gives_its_fault_away(catalogue: Catalogue) -> None:
    assert {job.id: list(given_away(catalogue, job)) for job in catalogue.jobs.values()} == {
        name: [] for name in catalogue.jobs
    }


@pytest.mark.parametrize(
    "words",
    [
        "It never gets warm. My brother says it is the thermostat.",
        "Cold for weeks. Somebody spoke of Thermostats.",
        "They told me it was stuck open, whatever that means.",
    ],
)
def test_a_complaint_that_names_part_or_failure_is_doubted(catalogue: Catalogue, words: str) -> None:
    job = replace(catalogue.jobs["first-frost"], complaint=words, faults=(Planted("thermostat-stuck-open", 0.8),))
    (doubt,) = given_away(catalogue, job)
    assert doubt.fault == 0 and "times as likely" in str(doubt.problem)
    assert not list(given_away(catalogue, replace(job, faults=(Planted("core-clogged", 0.8),))))
    assert not list(given_away(catalogue, replace(job, complaint="It never gets warm.", history=words)))


def test_everyday_words_give_nothing_away(catalogue: Catalogue) -> None:
    job = replace(
        catalogue.jobs["first-frost"],
        complaint="The radiator is new and I topped up the coolant, still the blower blows cold.",
        faults=(Planted("radiator-blocked", 0.8),),
    )
    assert not list(given_away(catalogue, job))
