"""Vehicles tried one by one or on several processes, and what was found of them before."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from contextlib import closing
from functools import partial

from grading.fairness.difficulty import Measured, Trials
from grading.fairness.doubt import Doubt
from grading.fairness.jobs import Case, Fairness
from grading.fairness.kept import keep_doubts, kept_doubts, key_of
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
    """Try every vehicle; yields each as soon as it is ready, first those that are known from before.

    processes: most processes at a time, from 1; cluster: address of a Dask scheduler that does it instead. What is
    found does not depend on them.
    """
    keys = {case: key_of(catalogue, catalogue.jobs[case.job], rubric, case.seed) for case in cases}
    new: list[Case] = []
    for case in cases:
        if (doubts := kept_doubts(keys[case])) is None:
            new.append(case)
        else:
            yield case, doubts
    with closing(_simulated(Fairness(catalogue, rubric), new, processes, cluster)) as results:
        for case, doubts in results:
            if BROKEN not in doubts:
                keep_doubts(keys[case], doubts)
            yield case, doubts


def _simulated(fairness: Fairness, cases: Sequence[Case], processes: int, cluster: str | None) -> Generator[Tried]:
    """Each vehicle tried now, on several processes where there are several jobs."""
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
    """How hard each job is, on that many vehicles; jobs that cannot be calculated to their end are left out.

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
    """Indices of cases for each process: those of one job together, for they share what is imagined."""
    groups: dict[str, list[int]] = {}
    for index, case in enumerate(cases):
        groups.setdefault(case.job, []).append(index)
    shares: list[list[int]] = [[] for _number in range(min(processes, len(groups)))]
    for group in sorted(groups.values(), key=len, reverse=True):
        min(shares, key=len).extend(group)
    return shares
