"""Proving jobs on one or several processes, with cached results where a job has not changed."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from contextlib import closing
from functools import partial

from grading.fairness.cached_doubts import key_of, read_doubts, store_doubts
from grading.fairness.difficulty import Measured, Trials
from grading.fairness.doubt import Doubt
from grading.fairness.jobs import Case, Fairness
from grading.marks.rubric import Rubric
from scenarios.language import N_
from scenarios.model import Catalogue
from scenarios.physics_failure import PhysicsFailed
from tui.commands.processes.cluster import on_cluster
from tui.commands.processes.workers import on_processes

Tried = tuple[Case, tuple[Doubt, ...]]
"""A vehicle and the doubts about it."""
BROKEN = Doubt(None, N_("the process that tried it ended unexpectedly"), N_("a process that finishes"))


def try_all(
    catalogue: Catalogue, cases: Sequence[Case], rubric: Rubric, processes: int, cluster: str | None = None
) -> Generator[Tried]:
    """Try every vehicle; yields each as soon as it is ready, cached ones first.

    processes: largest number of processes, from 1; cluster: address of a Dask scheduler to use instead. The results do
    not depend on either.
    """
    keys = {case: key_of(catalogue, catalogue.jobs[case.job], rubric, case.seed) for case in cases}
    new: list[Case] = []
    for case in cases:
        if (doubts := read_doubts(keys[case])) is None:
            new.append(case)
        else:
            yield case, doubts
    with closing(_simulated(Fairness(catalogue, rubric), new, processes, cluster)) as results:
        for case, doubts in results:
            if BROKEN not in doubts:
                store_doubts(keys[case], doubts)
            yield case, doubts


def _simulated(fairness: Fairness, cases: Sequence[Case], processes: int, cluster: str | None) -> Generator[Tried]:
    """Simulate each vehicle, on several processes if there are several jobs."""
    if cluster is not None:
        for index, doubts in on_cluster(cluster, fairness.doubts, cases, lambda case: (BROKEN,)):
            yield cases[index], doubts
        return
    shares = shared_out(cases, processes)
    if len(shares) <= 1:
        for case in cases:
            yield case, fairness.doubts(case)
        return
    for index, doubts in on_processes(fairness.doubts, cases, shares, lambda case: (BROKEN,)):
        yield cases[index], doubts


def measure_all(
    catalogue: Catalogue,
    jobs: Sequence[str],
    rubric: Rubric,
    vehicles: int,
    *,
    processes: int,
    cluster: str | None = None,
) -> Generator[tuple[str, Measured]]:
    """Difficulty of each job, measured on that many vehicles; jobs whose physics fails are left out.

    processes, cluster: as in ``try_all``.
    """
    trials = Trials(catalogue, rubric, range(1, vehicles + 1))
    shares = shared_out([Case(job, 1) for job in jobs], processes)
    work = partial(_measured, trials)
    found = (
        on_processes(work, jobs, shares, lambda job: None)
        if cluster is None
        else on_cluster(cluster, work, jobs, lambda job: None)
    )
    for index, measured in found:
        if measured is not None:
            yield jobs[index], measured


def _measured(trials: Trials, job: str) -> Measured | None:
    try:
        return trials.measured(job)
    except PhysicsFailed:
        return None


def shared_out(cases: Sequence[Case], processes: int) -> list[list[int]]:
    """Indices of cases for each process. Cases of one job stay together, as they share cached particles."""
    groups: dict[str, list[int]] = {}
    for index, case in enumerate(cases):
        groups.setdefault(case.job, []).append(index)
    shares: list[list[int]] = [[] for _number in range(min(processes, len(groups)))]
    for group in sorted(groups.values(), key=len, reverse=True):
        min(shares, key=len).extend(group)
    return shares
