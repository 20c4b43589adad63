"""The proof of a repair: what was complained of is looked at after it, where an unrepaired vehicle would show it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

import grading.marks.proof
from grading.marks.proof import Proof, prove
from grading.marks.twins import Twins
from grading.marks.work import repairs_in
from grading.sessions.record import RecordEntry
from scenarios.actions import Action
from scenarios.model import COMPLAINTS, Catalogue, Job, Planted
from tests.grading.proving import COOL_DOWN, HOT, OFF, START, VENTS, act, cures, way, worked
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
SEED = 3
EXPLAIN, TOP_UP, BLEED = (act("repair", name) for name in ("explain-use", "top-up-coolant", "bleed-system"))
WARM = (*HOT, act("drive", 20.0), VENTS)
"""A drive with the heater on, and the air at the vents."""


def job_with(vehicle: str, fault: str, complaint: str, ambient_C: float = 2.0, severity: float = 0.9) -> Job:
    """A job of one complaint on a vehicle with one fault."""
    base = CATALOGUE.jobs["first-frost"]
    planted = (Planted(fault, severity),) if fault != "none" else ()
    return replace(base, id="bench", vehicle=vehicle, faults=planted, complains_of=(complaint,), ambient_C=ambient_C)


def played(job: Job, *actions: Action, seed: int = SEED) -> tuple[RecordEntry, ...]:
    """The actions of a record, none of them refused."""
    entries = worked(known(job), job, seed, [], list(actions))
    assert len(entries) == len(actions)
    return tuple(entries)


def known(job: Job) -> Catalogue:
    return replace(CATALOGUE, jobs=CATALOGUE.jobs | {job.id: job})


def proof(job: Job, *actions: Action, seed: int = SEED) -> Proof:
    return prove(known(job), job, seed, list(played(job, *actions, seed=seed)))


def repair_of(job: Job) -> tuple[Action, ...]:
    return (OFF, *(act("repair", name) for name in cures(known(job), job)))


# -- complaint by complaint ----------------------------------------------------------------------------------------

EXAMPLES = {
    "cold": job_with("hatch", "coolant-low", "cold"),
    "lukewarm": job_with("hatch", "core-clogged", "lukewarm"),
    "cold at idle": job_with("hatch", "pump-impeller-eroded", "cold at idle"),
    "cold on the road": job_with("hatch", "thermostat-stuck-open", "cold on the road", severity=0.5),
    "cold standing": job_with("hybrid", "auxiliary-pump-dead", "cold standing", severity=1.0),
    "cold in the rear": job_with("van", "rear-heater-air-locked", "cold in the rear", severity=1.0),
    "slow": job_with("diesel-wagon", "air-heater-dead", "slow", -4.0, 1.0),
    "too warm": job_with("pickup", "valve-vacuum-line-off", "too warm", 27.0, 1.0),
    "no air": job_with("hatch", "resistor-pack-open", "no air", severity=1.0),
    "weak air": job_with("hatch", "cabin-filter-blocked", "weak air"),
    "weak full speed": job_with("hatch", "blower-ground-corroded", "weak full speed"),
    "wrong outlet": job_with("pickup", "check-valve-leaking", "wrong outlet", severity=1.0),
    "fogging": job_with("hatch", "heater-core-leak", "fogging"),
    "overheating": job_with("van", "thermostat-stuck-closed", "overheating", 14.0, 1.0),
    "gauge": job_with("hatch", "sensor-open", "gauge", severity=1.0),
    "wet carpet": job_with("hatch", "heater-core-leak", "wet carpet"),
    "losing coolant": job_with("hatch", "hose-leak", "losing coolant"),
    "poor coolant": job_with("hatch", "antifreeze-weak", "poor coolant"),
    "fan noise": job_with("hatch", "fan-always-on", "fan noise", 18.0, 1.0),
}
IN_ANOTHER_STATE = {
    "cold": (START, VENTS),  # a cold engine warms nobody
    "cold at idle": (*HOT, act("set", "heater", 0.0), act("drive", 20.0), VENTS),
    "cold standing": (*HOT, act("drive", 20.0), act("check", "vent-temperature-on-the-road")),
    "slow": (*HOT, act("drive", 40.0), VENTS),  # once warm the air heater rests
    "too warm": (*HOT, act("drive", 15.0), VENTS),  # asked to be hot
    "no air": (act("ignition", "on"), act("set", "blower", 4.0), act("check", "blower-listen")),
    "wrong outlet": (act("ignition", "on"), act("check", "outlets-by-hand")),
    "overheating": (START, act("drive", 1.0), act("check", "gauge")),
    "losing coolant": (act("check", "coolant-level-cold"),),  # filling alone puts the level right
}


def test_every_complaint_has_an_example() -> None:
    assert list(EXAMPLES) == list(COMPLAINTS)


@pytest.mark.parametrize("kind", COMPLAINTS)
def test_what_the_customer_complained_of_proves_the_repair(kind: str) -> None:
    job = EXAMPLES[kind]
    found = prove(known(job), job, SEED, worked(known(job), job, SEED, cures(known(job), job), way(job)))
    assert found.proven, str(found.why_not)
    assert not found.missing
    assert {one.complaint for one in found.findings} <= {kind}


@pytest.mark.parametrize("kind", COMPLAINTS)
def test_an_unrepaired_vehicle_is_never_proven(kind: str) -> None:
    job = EXAMPLES[kind]
    found = prove(known(job), job, SEED, worked(known(job), job, SEED, [], way(job)))
    assert not found.proven
    assert str(found.why_not)


@pytest.mark.parametrize("kind", IN_ANOTHER_STATE)
def test_where_the_unrepaired_would_pass_too_nothing_is_proven(kind: str) -> None:
    job = EXAMPLES[kind]
    found = prove(
        known(job), job, SEED, worked(known(job), job, SEED, cures(known(job), job), list(IN_ANOTHER_STATE[kind]))
    )
    assert not found.proven
    assert not found.findings


# -- when a reading counts -----------------------------------------------------------------------------------------

LOW = EXAMPLES["cold"]
DRIVE, IDLE_HANDS = act("drive", 20.0), act("go", "engine bay")


@pytest.mark.parametrize(
    ("actions", "proven"),
    [
        ((), False),
        (WARM, False),  # unrepaired
        ((OFF, BLEED), False),  # nothing read
        ((OFF, BLEED, *WARM), True),
        ((OFF, BLEED, *WARM, EXPLAIN), True),  # explaining undoes nothing
        ((OFF, EXPLAIN, BLEED, *WARM), True),
        ((OFF, BLEED, *WARM, OFF, act("wait", 420.0), TOP_UP), False),  # work after the proof wants another
        ((OFF, BLEED, *WARM, OFF, act("wait", 420.0), TOP_UP, IDLE_HANDS), False),  # and walking about is none
        ((OFF, BLEED, *WARM, OFF, act("wait", 420.0), TOP_UP, *WARM), True),
        ((*WARM, OFF, act("wait", 600.0), BLEED), False),  # read before the repair
    ],
)
def test_only_what_is_read_after_the_last_work_counts(actions: tuple[Action, ...], proven: bool) -> None:
    assert proof(LOW, *actions).proven == proven


def test_why_not_names_the_reading_and_its_limit() -> None:
    found = proof(LOW, *WARM)
    (one,) = found.findings
    assert (one.complaint, one.label, one.good, one.n) == ("cold", "air at the vent", False, 6)
    assert str(found.why_not) == f"air at the vent: {one.shown}, the limit was {one.limit}"


def test_why_not_says_what_was_not_read_and_what_told_nothing() -> None:
    assert "no reading after the last work shows" in str(proof(LOW, OFF, BLEED).why_not)
    early = proof(LOW, OFF, BLEED, START, VENTS)
    assert "an unrepaired vehicle would have shown the same" in str(early.why_not)
    level = proof(
        EXAMPLES["losing coolant"], OFF, act("repair", "replace-heater-hoses"), act("check", "overflow-level")
    )
    assert "read too soon" in str(level.why_not)


def test_the_last_reading_counts_and_not_the_best() -> None:
    """Heater at cold after the proof is no proof and takes none away; a cold vent with the heater hot does."""
    job = EXAMPLES["lukewarm"]
    spoilt = replace(job, faults=(Planted("core-clogged", 0.9), Planted("valve-cable-off", 1.0)))
    half = (OFF, act("repair", "replace-heater-core"), *HOT, act("drive", 25.0), VENTS)
    assert not proof(spoilt, *half).proven
    cured = (*half, OFF, act("repair", "adjust-valve-cable"), *HOT, act("drive", 25.0), VENTS)
    assert proof(spoilt, *cured).proven


def test_each_complaint_wants_its_proof() -> None:
    """Topped up and bled it is warm, and the pump leaks on."""
    job = replace(job_with("hatch", "pump-seal-leak", "cold"), complains_of=("cold", "losing coolant"))
    leaks = act("check", "leaks-by-eye")
    filled = (OFF, BLEED, *WARM, leaks)
    assert not proof(job, *filled).proven
    renewed = (OFF, act("repair", "replace-pump"), *WARM)
    assert not proof(job, *renewed).proven
    assert proof(job, *renewed, leaks).proven


def test_mist_beside_another_complaint_wants_no_trial_but_must_not_show() -> None:
    job = replace(EXAMPLES["fogging"], complains_of=("fogging", "wet carpet"))
    felt = act("check", "carpet-feel")
    assert proof(job, OFF, act("repair", "replace-heater-core"), *HOT, act("drive", 30.0), felt).proven
    assert not proof(EXAMPLES["fogging"], OFF, act("repair", "replace-heater-core"), *HOT, DRIVE).proven


# -- rules ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fault", "stricter"), [(Planted("core-clogged", 0.9), False), (Planted("thermostat-stuck-open", 0.17), True)]
)
def test_the_limit_is_nine_tenths_of_the_healthy_twins_warmth_or_the_middle(fault: Planted, stricter: bool) -> None:
    job = replace(EXAMPLES["lukewarm"], faults=(fault,))
    (one,) = proof(job, *WARM).findings
    twins = Twins(known(job), job, SEED)
    done = [twins.perform(action) for action in WARM][-1]
    healthy, _own, ill = done.readings[0].true
    nine_tenths, middle = job.ambient_C + 0.9 * (healthy - job.ambient_C), 0.5 * (healthy + ill)
    assert (middle > nine_tenths) == stricter
    assert one.limit == f"{max(nine_tenths, middle):.0f} °C"


def test_a_lucky_reading_of_an_unrepaired_vehicle_proves_nothing() -> None:
    job = EXAMPLES["cold"]
    entries = [replace(entry, data=dict(entry.data)) for entry in played(job, *WARM)]
    read = dict(entries[-1].data["readings"][0], step=60, shown="60 °C")
    entries[-1].data["readings"] = [read]
    found = prove(known(job), job, SEED, entries)
    assert not found.proven
    assert found.findings[-1].by_chance
    assert "by chance" in str(found.why_not)


def test_nobody_fails_by_the_error_of_an_instrument() -> None:
    job = job_with("hatch", "air-locked", "cold")
    entries = [replace(entry, data=dict(entry.data)) for entry in played(job, OFF, act("check", "bleed-air"), *WARM)]
    usual = prove(known(job), job, SEED, entries)
    assert usual.proven and usual.findings[-1].limit
    low = int(usual.findings[-1].limit.split()[0]) - 1
    entries[-1].data["readings"] = [dict(entries[-1].data["readings"][0], step=low, shown=f"{low} °C")]
    found = prove(known(job), job, SEED, entries)
    assert found.proven and found.findings[-1].good
    assert found.findings[-1].limit == "" and not found.findings[-1].by_chance


def test_a_bleed_done_as_a_check_is_a_bleed() -> None:
    job = job_with("hatch", "air-locked", "cold")
    bled = (OFF, act("check", "bleed-air"), *WARM)
    assert proof(job, *bled).proven
    done = frozenset().union(*(repairs_in(CATALOGUE, entry.action) for entry in played(job, *bled)))
    assert done == {"bleed-air"}
    assert set(done) & set(CATALOGUE.faults["air-locked"].cured_in_passing)
    assert not set(done) & set(CATALOGUE.faults["coolant-low"].cured_in_passing)


def test_a_check_that_was_broken_off_did_no_work() -> None:
    assert repairs_in(CATALOGUE, Action("check", ("rinse-by-sections", 3.0))) == frozenset()
    assert repairs_in(CATALOGUE, Action("check", ("rinse-by-sections",))) == {"rinse-by-sections"}
    assert repairs_in(CATALOGUE, Action("check", ("gauge",))) == frozenset()


def test_the_check_that_the_data_names_earns_its_credit() -> None:
    """The return hose is no complaint, but it is named as proof of the work; elsewhere it proves nothing."""
    job, touch = LOW, act("check", "heater-return-touch")
    assert proof(job, OFF, BLEED, *HOT, DRIVE, touch).proven
    other = (OFF, act("repair", "top-up-coolant"), act("wait", 1.0), act("check", "bleed-air"), *HOT, DRIVE, touch)
    assert not proof(job, *other).proven


def test_a_code_that_was_stored_before_the_repair_takes_nothing_away() -> None:
    """The data names the code's checks as proof of the plug; what they remember is older than the work."""
    job = replace(job_with("hatch", "sensor-plug-loose", "gauge", severity=1.0), comes_and_goes=True)
    codes = (act("ignition", "on"), act("check", "trouble-codes"), act("check", "clear-codes"))
    done = (*HOT, act("drive", 30.0), OFF, act("repair", "refit-sensor-plug"), *codes, *HOT, act("drive", 30.0))
    assert "P0118" in str([entry.data["readings"] for entry in played(job, *done)])
    assert proof(job, *done).proven


def test_a_level_proves_no_warmth() -> None:
    job = LOW
    assert not proof(job, OFF, TOP_UP, *HOT, DRIVE, *COOL_DOWN, act("check", "coolant-level-cold")).proven


# -- nothing wrong -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "actions", "proven"),
    [
        ("cold", WARM, True),
        ("cold", (*WARM, EXPLAIN), True),
        ("cold", (EXPLAIN,), False),
        ("cold", (START, VENTS, EXPLAIN), False),  # the engine is cold
        ("slow", (*HOT, act("drive", 8.0), VENTS), True),
        ("slow", (*HOT, act("drive", 40.0), VENTS), False),  # late is what the customer said
        ("cold at idle", (*HOT, act("drive", 15.0), VENTS), False),
        ("cold at idle", (*HOT, act("drive", 15.0), act("idle", 8.0), VENTS), True),
    ],
)
def test_with_nothing_wrong_the_proof_is_a_healthy_reading_in_the_state_complained_of(
    kind: str, actions: tuple[Action, ...], proven: bool
) -> None:
    assert proof(job_with("hatch", "none", kind), *actions).proven == proven


# -- what comes and goes -------------------------------------------------------------------------------------------

LANE = CATALOGUE.jobs["rough-lane"]
PLUG = (OFF, act("repair", "replace-blower-connector"), START, act("set", "blower", 2.0))


def test_what_comes_and_goes_is_proven_by_holding_its_state_long_enough() -> None:
    short = proof(LANE, *PLUG, act("drive", 1.0), act("check", "blower-each-speed"))
    assert not short.proven
    assert "of unrepaired vehicles" in str(short.why_not)
    at_rest = proof(LANE, *PLUG, act("idle", 40.0), act("check", "blower-each-speed"))
    assert not at_rest.proven
    still = proof(LANE, *PLUG[:3], act("drive", 20.0))  # with the blower off nobody would notice
    assert not still.proven
    assert proof(LANE, *PLUG, act("drive", 20.0)).proven


def test_what_comes_and_goes_must_not_come_again() -> None:
    left = proof(LANE, START, act("set", "blower", 2.0), act("drive", 20.0))
    assert not left.proven
    assert "came back at minute" in str(left.why_not)


def test_nineteen_in_twenty_of_the_unrepaired_must_have_shown_it(monkeypatch: pytest.MonkeyPatch) -> None:
    trial = (*PLUG, act("drive", 1.0))
    share = proof(LANE, *trial)
    assert not share.proven and not share.findings
    monkeypatch.setattr(grading.marks.proof, "SURE", 0.05)
    assert proof(LANE, *trial).proven


# -- the packaged jobs ---------------------------------------------------------------------------------------------

VEHICLES, LEAST = 20, 19
"""Vehicles of each packaged job, and how many of them must pass once repaired."""


@pytest.mark.slow
@pytest.mark.parametrize("name", CATALOGUE.jobs)
def test_on_every_packaged_job_the_repaired_pass_and_the_unrepaired_do_not(name: str) -> None:
    job = CATALOGUE.jobs[name]
    passed = Counter[bool]()
    for seed in range(VEHICLES):
        for repaired in (True, False):
            repairs = cures(CATALOGUE, job) if repaired else []
            passed[repaired] += prove(CATALOGUE, job, seed, worked(CATALOGUE, job, seed, repairs, way(job))).proven
    assert passed[True] >= LEAST
    assert passed[False] == 0 or job.real_faults == ("none",)
