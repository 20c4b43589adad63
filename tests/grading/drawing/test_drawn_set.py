"""Rules of a set, tested on made-up jobs without simulation: what is drawn again, and how versions are balanced."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest

from grading.drawing.drawing import ATTEMPTS, Drawer, Drawn, Order, faults_and_vehicle
from grading.drawing.drawn_set import NotFound, balanced, draw_set, measured
from grading.drawing.plan import Plan
from grading.fairness.difficulty import Tried
from grading.marks.rubric import load_rubric
from scenarios.model import Job, Planted
from sim.vehicle.tolerances import uniform
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
TOTALS = (60.0, 80.0, 100.0)
FAULTS = [fault.id for fault in CATALOGUE.faults.values() if fault.changes][:30]


def drawer(plan: Plan) -> Drawer:
    return Drawer(CATALOGUE, plan, 5, load_rubric(), "en", 1)


def made(order: Order, attempt: int, fault: str, total: float = 80.0, title: str = "") -> Drawn:
    blank = next(iter(CATALOGUE.jobs.values()))
    name = f"{order.version}-{order.cell.number}-{attempt}"
    job = replace(blank, id=name, title=title or name, faults=(Planted(fault, None),), vehicle="hatch")
    return Drawn(order, attempt, job, Tried((total >= 70.0,), (total,), (False,)))


def by_chance(order: Order) -> Drawn:
    """A random fault that is not excluded, in a vehicle where no other job has it."""
    for attempt in range(order.first, ATTEMPTS):
        fault = FAULTS[int(uniform(order.version, order.cell.number, attempt) * len(FAULTS))]
        drawn = made(order, attempt, fault, 60.0 + 40.0 * uniform("total", order.version, order.cell.number, attempt))
        assert drawn.job is not None
        if fault not in order.excluded and faults_and_vehicle(drawn.job) not in order.used:
            return drawn
    return Drawn(order, ATTEMPTS)


def draw_with(rule: Callable[[Order], Drawn], backwards: bool = False) -> Callable[[Sequence[Order]], list[Drawn]]:
    return lambda orders: [rule(order) for order in (reversed(orders) if backwards else orders)]


def jobs(versions: list[list[Drawn]]) -> list[list[Job]]:
    return [[one.job for one in version if one.job is not None] for version in versions]


def test_no_two_jobs_of_a_set_have_the_same_fault_in_the_same_vehicle() -> None:
    found = jobs(draw_set(drawer(Plan(jobs=5)), 2, draw_with(by_chance)))
    keys = [faults_and_vehicle(job) for version in found for job in version]
    assert len(keys) == 10 == len(set(keys))


def test_the_order_in_which_processes_finish_does_not_count() -> None:
    one, other = (draw_set(drawer(Plan(jobs=5)), 2, draw_with(by_chance, late)) for late in (False, True))
    assert one == other


def test_faults_that_the_plan_keeps_apart_never_meet() -> None:
    apart = (frozenset(FAULTS[:10]), frozenset(FAULTS[10:20]))
    for version in jobs(draw_set(drawer(Plan(jobs=4, apart=apart)), 2, draw_with(by_chance))):
        names = {job.faults[0].fault for job in version}
        assert all(len(group & names) <= 1 for group in apart)


def test_jobs_with_the_same_words_are_drawn_again() -> None:
    def same_words(order: Order) -> Drawn:
        drawn = by_chance(order)
        return (
            made(order, drawn.attempt, drawn.job.real_faults[0], title="" if order.first else "Same")
            if drawn.job
            else drawn
        )

    titles = [
        job.title for version in jobs(draw_set(drawer(Plan(jobs=3)), 1, draw_with(same_words))) for job in version
    ]
    assert titles.count("Same") == 1


def test_a_cell_without_a_fair_job_is_told() -> None:
    with pytest.raises(NotFound) as caught:
        draw_set(drawer(Plan(jobs=2)), 1, draw_with(lambda order: Drawn(order, ATTEMPTS)))
    assert caught.value.cell.number == 0


def test_versions_are_brought_closer_by_exchanging_jobs_of_a_cell() -> None:
    drawn = draw_set(drawer(Plan(jobs=5)), 2, draw_with(by_chance))
    uneven = [
        sorted(pair, key=lambda one: one.tried.total[0] if one.tried else 0.0) for pair in zip(*drawn, strict=True)
    ]
    before = [list(version) for version in zip(*uneven, strict=True)]
    after = balanced(before, drawer(Plan(jobs=5)))
    means = [[measured(version).total for version in versions] for versions in (before, after)]
    assert np.ptp(means[1]) < 0.5 * np.ptp(means[0])
    cells = [[one.order.cell.number for one in version] for version in after]
    assert cells == [[one.order.cell.number for one in version] for version in before]


def test_balancing_keeps_apart_what_the_plan_keeps_apart() -> None:
    plan = Plan(jobs=2, apart=(frozenset({FAULTS[0], FAULTS[3]}),))
    orders = [Order(version, replace(CELL, number=number)) for version in (0, 1) for number in (0, 1)]
    low, high = ([made(orders[2 * v + k], 0, FAULTS[k + 2 * v], 60.0 + 30.0 * v) for k in (0, 1)] for v in (0, 1))
    after = balanced([low, high], drawer(plan))
    names = [{one.job.faults[0].fault for one in version if one.job} for version in after]
    assert not any({FAULTS[0], FAULTS[3]} <= found for found in names)
    assert balanced([low, high], drawer(Plan(jobs=2))) != [low, high]


def test_standard_errors_are_over_jobs() -> None:
    orders = [Order(0, replace(CELL, number=number)) for number in range(3)]
    version = measured([made(order, 0, FAULTS[0], total) for order, total in zip(orders, TOTALS, strict=True)])
    assert version.total == 80.0 and version.passes == pytest.approx(2.0 / 3.0)
    assert version.total_error == pytest.approx(np.std(TOTALS, ddof=1) / np.sqrt(3))
    assert np.isnan(measured([made(orders[0], 0, FAULTS[0])]).total_error)


CELL = draw_set(drawer(Plan(jobs=1)), 1, draw_with(by_chance))[0][0].order.cell
