"""A vehicle beside its twins: what is done to all of them, and what to the record's own alone."""

from __future__ import annotations

import numpy as np
import pytest

from grading.marks.twins import BANK, HEALTHY, OWN, Twins
from scenarios.actions import Action
from sim.vehicle import states as st
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
UNREPAIRED = OWN + 1


def twins(job: str, *actions: Action) -> Twins:
    found = Twins(CATALOGUE, CATALOGUE.jobs[job], 3)
    for action in actions:
        found.perform(action)
    return found


def test_the_own_vehicle_arrives_as_the_unrepaired_one_and_the_healthy_one_full() -> None:
    found = twins("first-frost")
    coolant = found.workshop.fleet.state[:, st.COOLANT]
    assert found.faulty and not found.comes_and_goes
    assert len(coolant) == 3
    assert coolant[OWN] == coolant[UNREPAIRED] < coolant[HEALTHY]
    assert not twins("two-streets-away").faulty


@pytest.mark.parametrize("work", [Action("repair", ("bleed-system",)), Action("check", ("bleed-air",))])
def test_work_is_done_to_the_own_vehicle_alone_and_takes_its_time(work: Action) -> None:
    before, after = twins("after-the-service"), twins("after-the-service", work)
    air = after.workshop.fleet.state[:, st.CORE_AIR]
    assert air[OWN] == 0.0 < air[UNREPAIRED]
    minutes = (
        CATALOGUE.repairs["bleed-system"].minutes if work.verb == "repair" else CATALOGUE.checks["bleed-air"].minutes
    )
    assert after.workshop.minute - before.workshop.minute == pytest.approx(minutes + 0.5)  # and the walk
    untouched = ("leak_hose", "core_clear", "blend_linkage", "valve_most")
    for name in untouched:
        assert after.workshop.fleet.parameters[name][UNREPAIRED] == before.workshop.fleet.parameters[name][UNREPAIRED]


def test_a_part_is_renewed_in_the_own_vehicle_alone() -> None:
    fleet = twins("market-round", Action("repair", ("replace-resistor-pack",))).workshop.fleet
    assert fleet.parameters["pack_whole"].tolist() == [1.0, 1.0, 0.0]


def test_a_check_that_was_broken_off_does_no_work() -> None:
    air = twins("after-the-service", Action("check", ("bleed-air", 3.0))).workshop.fleet.state[:, st.CORE_AIR]
    assert air[OWN] == air[UNREPAIRED] > 0.0


def test_codes_are_cleared_in_all() -> None:
    found = twins("flat-country", Action("ignition", ("on",)))
    found.workshop.fleet.codes[:] = 1.0
    found.perform(Action("check", ("clear-codes",)))
    assert not found.workshop.fleet.codes[UNREPAIRED].any()


def test_many_unrepaired_vehicles_differ_in_their_contacts_luck_alone() -> None:
    found = twins("rough-lane")
    parameters = found.workshop.fleet.parameters
    assert found.comes_and_goes and len(parameters) == BANK + 2
    bank = parameters[UNREPAIRED:]
    names = parameters.dtype.names or ()
    differing = {name for name in names if len(np.unique(bank[name])) > 1}
    assert differing == {"contact_mean_s", "contact_key"}
    assert len(np.unique(bank["contact_key"])) == BANK


def test_somebody_looks_while_time_passes() -> None:
    found, minutes = twins("rough-lane"), []
    found.watch(lambda workshop: minutes.append(workshop.minute))
    found.perform(Action("wait", (1.0,)))
    assert minutes == pytest.approx([0.25, 0.5, 0.75, 1.0])
