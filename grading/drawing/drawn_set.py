"""Drawing a set of jobs in several versions: no two jobs alike, all versions equally hard."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from grading.drawing.cells import Cell, cells_of
from grading.drawing.drawing import Drawer, Drawn, Order, faults_and_vehicle
from scenarios.model import Job

Draws = Callable[[Sequence[Order]], Iterable[Drawn]]
"""Carries out orders, in any order and on any processes."""


class NotFound(Exception):
    """No fair job was found for a cell (``cell``)."""

    def __init__(self, cell: Cell) -> None:
        super().__init__(cell)
        self.cell = cell


@dataclass(frozen=True)
class Version:
    """One version of a set. passes: share of competent technicians who pass [-]; total: mean of their totals;
    passes_error, total_error: their standard errors over jobs, NaN for a single job.
    """

    jobs: tuple[Job, ...]
    passes: float
    passes_error: float
    total: float
    total_error: float


def draw_set(drawer: Drawer, versions: int, draws: Draws) -> list[list[Drawn]]:
    """The jobs of each version, in the order of their cells, before the versions are balanced.

    draws: carries out the orders; the result does not depend on how. Raises NotFound and NoVehicle.
    """
    cells = cells_of(drawer.plan, drawer.catalogue, drawer.seed)
    waiting = [Order(version, cell) for version in range(versions) for cell in cells]
    place = {order: k for k, order in enumerate(waiting)}
    accepted = dict[tuple[int, int], Drawn]()
    begun = {(order.version, order.cell.number): order for order in waiting}
    while waiting:
        found = sorted(draws(waiting), key=lambda drawn: place[begun[_key(drawn)]])
        waiting = []
        for drawn in found:
            if drawn.job is None:
                raise NotFound(drawn.order.cell)
            if again := _conflict(drawer, drawn, accepted):
                waiting.append(again)
            else:
                accepted[_key(drawn)] = drawn
    return [[accepted[version, cell.number] for cell in cells] for version in range(versions)]


def _key(drawn: Drawn) -> tuple[int, int]:
    return drawn.order.version, drawn.order.cell.number


def _conflict(drawer: Drawer, drawn: Drawn, accepted: dict[tuple[int, int], Drawn]) -> Order | None:
    """An order to draw the job again if it is too similar to an accepted one, else None."""
    jobs = {key: one.job for key, one in accepted.items() if one.job is not None}
    assert drawn.job is not None
    beside = [job for (version, _), job in jobs.items() if version == drawn.order.version]
    excluded = _kept_apart(drawer, beside)
    used = frozenset(map(faults_and_vehicle, jobs.values()))
    said = {(job.title, job.customer, job.complaint) for job in jobs.values()}
    alike = (drawn.job.title, drawn.job.customer, drawn.job.complaint) in said
    if alike or faults_and_vehicle(drawn.job) in used or set(drawn.job.real_faults) & excluded:
        return replace(drawn.order, first=drawn.attempt + 1, excluded=excluded, used=used)
    return None


def _kept_apart(drawer: Drawer, jobs: Iterable[Job]) -> frozenset[str]:
    """Faults that the plan keeps apart from those of some jobs."""
    there = {fault for job in jobs for fault in job.real_faults}
    return frozenset(fault for group in drawer.plan.apart if group & there for fault in group)


def balanced(drawn: list[list[Drawn]], drawer: Drawer) -> list[list[Drawn]]:
    """The versions after swapping jobs of the same cell until no swap brings the mean totals and pass rates of
    competent technicians closer together.
    """
    versions = [list(jobs) for jobs in drawn]
    spread = _spread(versions)
    better = True
    while better:
        better = False
        for a, b, k in _exchanges(versions):
            versions[a][k], versions[b][k] = versions[b][k], versions[a][k]
            now = _spread(versions)
            if now < spread - 1e-9 and _allowed(versions[a], drawer) and _allowed(versions[b], drawer):
                spread, better = now, True
            else:
                versions[a][k], versions[b][k] = versions[b][k], versions[a][k]
    return versions


def _exchanges(versions: list[list[Drawn]]) -> Iterator[tuple[int, int, int]]:
    count = len(versions)
    return ((a, b, k) for a in range(count) for b in range(a + 1, count) for k in range(len(versions[a])))


def _spread(versions: list[list[Drawn]]) -> float:
    """Sum of squared differences from the mean, of the versions' mean totals and, in points, pass rates."""
    out = 0.0
    for of in (lambda one: one.tried.total, lambda one: tuple(100.0 * passed for passed in one.tried.passed)):
        means = [_mean([value for one in jobs for value in of(one)]) for jobs in versions]
        out += sum((mean - _mean(means)) ** 2 for mean in means)
    return out


def _allowed(jobs: list[Drawn], drawer: Drawer) -> bool:
    """Whether no two jobs have faults that the plan keeps apart."""
    for group in drawer.plan.apart:
        if sum(bool(group & set(one.job.real_faults)) for one in jobs if one.job is not None) > 1:
            return False
    return True


def measured(jobs: Sequence[Drawn]) -> Version:
    """Results of competent technicians on a version."""
    passed = [_mean([*map(float, drawn.tried.passed)]) for drawn in jobs if drawn.tried is not None]
    totals = [_mean(drawn.tried.total) for drawn in jobs if drawn.tried is not None]
    kept = tuple(drawn.job for drawn in jobs if drawn.job is not None)
    return Version(kept, _mean(passed), _error(passed), _mean(totals), _error(totals))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else math.nan


def _error(values: Sequence[float]) -> float:
    """Standard error of a mean, NaN for fewer than two values."""
    if len(values) < 2:
        return math.nan
    mean = _mean(values)
    return math.sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1) / len(values))
