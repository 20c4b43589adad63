"""An imagined vehicle that cannot be calculated leaves the belief, the others take nothing from it, and it is told."""

from __future__ import annotations

import numpy as np
import pytest

from grading.marks.grade import Judge
from grading.observer.cache import Trail
from grading.observer.information import Moment
from grading.observer.particles import Hypotheses, log_sum
from grading.observer.resampling import enlarged, settle, thinned
from grading.observer.tempering import tempered
from grading.reference.options import prospect
from grading.reference.policy import advise
from grading.reference.preparation import Readiness
from scenarios.actions import Action
from scenarios.physics_failure import PhysicsFailed
from sim.fleet import Fleet
from tests.grading.workbench import FIND, SEED, bench, play, with_fault
from tests.sim.test_fleet import same

CHECK, START, DRIVE = FIND[0], FIND[1], FIND[4]
EVERY = 7


def imagined() -> Hypotheses:
    catalogue, job = with_fault(bench(), "coolant-low")
    return Hypotheses.imagine(catalogue, job)


def spoil(hypotheses: Hypotheses, which: np.ndarray) -> None:
    """Make vehicles such that they fail as soon as time passes."""
    fleet = hypotheses.workshop.fleet
    fleet.unshare_parameters()
    fleet.parameters["wax_s"][which] = np.nan


def read(hypotheses: Hypotheses, *actions: Action) -> tuple[Action, list[int], list[tuple[str, int]]]:
    """The last of some actions as the job's own vehicle answers it: itself, steps read, signs noticed."""
    entry = play(hypotheses.catalogue, hypotheses.job, *actions).recorder.entries[-1]
    return entry.action, entry.steps, entry.noticed


def test_one_that_fails_has_no_weight_and_leaves_the_others_as_they_are() -> None:
    well, spoilt = imagined(), imagined()
    bad = np.arange(len(well.label)) % EVERY == 3
    spoil(spoilt, bad)
    before = well.belief()
    for action in (START, DRIVE):
        well.act(action)
        spoilt.act(action)
    assert spoilt.weights()[bad].max() == 0.0 and spoilt.vehicles_failed == bad.sum()
    assert spoilt.belief() == pytest.approx(before)  # failing tells nothing of faults: its like stand for it
    assert same(spoilt.workshop.fleet.select(~bad), well.workshop.fleet.select(~bad))
    left = spoilt.without_failed()
    assert len(left.label) == (~bad).sum() and not left.workshop.fleet.failed.any()
    assert left.belief() == pytest.approx(before)


def test_what_is_read_spreads_no_nan() -> None:
    hypotheses = imagined()
    bad = np.arange(len(hypotheses.label)) % EVERY == 3
    spoil(hypotheses, bad)
    trail = Trail(hypotheses)
    now, performed = trail.after(hypotheses, *read(hypotheses, CHECK))
    assert performed.failed.tolist() == bad.tolist()
    for values in (now.belief(), now.error(), now.effective(), now.foreseen, now.last, now.log_like, now.offsets):
        assert np.isfinite(values).all()
    assert not now.workshop.fleet.failed.any() and now.vehicles_failed == bad.sum()
    later, _ = trail.after(now, *read(hypotheses, CHECK, FIND[1]))
    assert later.vehicles_failed >= now.vehicles_failed


def test_a_fault_of_which_all_fail_goes_and_its_mass_is_noted() -> None:
    hypotheses = imagined()
    mass = hypotheses.belief()[1]
    spoil(hypotheses, hypotheses.label == 1)
    hypotheses.act(CHECK)
    assert hypotheses.belief()[1] == 0.0 and hypotheses.belief().sum() == pytest.approx(1.0)
    assert hypotheses.dropped == pytest.approx(mass)
    assert np.isfinite(thinned(hypotheses.without_failed()).weights()).all()


def test_where_all_fail_there_is_no_belief() -> None:
    hypotheses = imagined()
    spoil(hypotheses, np.full(len(hypotheses.label), True))
    with pytest.raises(PhysicsFailed, match="none of the vehicles"):
        Trail(hypotheses).after(hypotheses, *read(hypotheses, CHECK))


def spoil_new_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    """Some vehicles filled from now on fail as soon as time passes, those alike but for their fault alike."""
    cold = Fleet.cold.__func__  # type: ignore[attr-defined]

    def spoilt(cls: type[Fleet], parameters: np.ndarray, *rest: float) -> Fleet:
        fleet = cold(cls, parameters, *rest)
        if len(fleet) > 2:  # not the job's own, nor the pair of the month afterwards
            fleet.parameters["wax_s"][(parameters["trim_kJ_K"] * 1e6).astype(int) % EVERY == 3] = np.nan
        return fleet

    monkeypatch.setattr(Fleet, "cold", classmethod(spoilt))


def test_vehicles_drawn_or_moved_later_may_fail_too(monkeypatch: pytest.MonkeyPatch) -> None:
    hypotheses = imagined()
    hypotheses.act(*read(hypotheses, CHECK))
    drawn, belief = hypotheses.drawn.copy(), hypotheses.belief()
    spoil_new_ones(monkeypatch)
    whole = enlarged(hypotheses, np.full(len(hypotheses.faults), True))
    added = int((whole.drawn - drawn).sum())
    assert 0.05 * added < whole.vehicles_failed < 0.3 * added
    assert len(whole.label) == len(hypotheses.label) + added - whole.vehicles_failed
    assert whole.belief() == pytest.approx(belief, abs=0.1)
    fault = int(belief.argmax())
    moved = tempered(whole, fault)
    assert not moved.workshop.fleet.failed.any() and np.isfinite(moved.belief()).all()
    assert moved.vehicles_failed > whole.vehicles_failed
    assert moved.belief()[fault] == pytest.approx(belief[fault], abs=0.15)
    assert not settle(whole).workshop.fleet.failed.any()


def test_a_look_ahead_leaves_out_what_fails_on_the_way() -> None:
    hypotheses = imagined()
    bad = np.arange(len(hypotheses.label)) % EVERY == 3
    spoil(hypotheses, bad)
    ahead = prospect(hypotheses, Readiness(), set())
    assert ahead.found and all(np.isfinite((one.bits, one.surest)).all() for one in ahead.found)
    assert all(np.isfinite(chances).all() for chances in ahead.shown)
    lost = np.isnan(ahead.near.workshop.fleet.parameters["wax_s"])
    assert lost.any() and ahead.near.weights()[lost].max() == 0.0
    assert advise(hypotheses, Readiness(), set()).best is not None
    hypotheses.act(CHECK)
    moment = Moment(hypotheses)
    assert not bad[moment._truths].any()


def test_the_grade_says_how_many_failed(monkeypatch: pytest.MonkeyPatch) -> None:
    catalogue, job = with_fault(bench(), "coolant-low")
    session = play(catalogue, job, *FIND, Action("diagnose", ("coolant-low", 90.0)), Action("handback"))
    entries = session.recorder.entries
    usual = Judge(catalogue, job, SEED).grade(entries)
    assert usual.vehicles_failed == 0 and usual.to_json()["vehicles_failed"] == 0
    assert usual.course.vehicles_failed == 0 and not any(
        "could not be calculated" in str(reason) for reason in usual.reasons
    )
    spoil_new_ones(monkeypatch)
    grade = Judge(catalogue, job, SEED).grade(entries, look_ahead=True)
    told = grade.to_json()
    assert told["vehicles_failed"] == grade.vehicles_failed > 0 and told["reference"]["vehicles_failed"] > 0
    (reason,) = (text for text in map(str, grade.reasons) if "could not be calculated" in text)
    assert reason.endswith(f": {grade.vehicles_failed}")
    assert grade.belief == pytest.approx(usual.belief, abs=0.1) and grade.total == pytest.approx(usual.total, abs=10.0)


def test_sums_of_logarithms() -> None:
    assert log_sum(np.zeros(0)) == log_sum(np.full(2, -np.inf)) == -np.inf
    assert log_sum(np.log(np.array([0.2, 0.3])) - 1e4) == pytest.approx(np.log(0.5) - 1e4)
