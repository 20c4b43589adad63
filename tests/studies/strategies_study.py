"""Many sessions of every strategy, marked: ``python -m tests.studies.strategies_study --vehicles N [--minutes M]``.

``--processes P`` plays on so many processes at once; the vehicles and marks are the same.
"""

from __future__ import annotations

import argparse
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from grading.complaint import prior
from grading.grade import Grade, Judge
from scenarios.loader import load_catalogue
from scenarios.model import Catalogue, Job, Planted
from sim.variation import uniform
from tests.studies.strategies import STRATEGIES, Player


def drawn_job(catalogue: Catalogue, number: int) -> Job:
    """A job of the catalogue with another fault, drawn by rate and by how well it goes with the complaint."""
    jobs = list(catalogue.jobs.values())
    job = jobs[number % len(jobs)]
    faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
    reached = np.cumsum(prior(job, faults))
    fault = faults[min(int(np.searchsorted(reached, uniform("study", number))), len(faults) - 1)]
    planted = () if fault.id == "none" else (Planted(fault.id, None),)
    return replace(job, id=f"study-{number}", faults=planted)


@dataclass
class Row:
    """Marks of one strategy: totals and passes, one a session; grades, for a closer look."""

    name: str
    grades: list[Grade]

    def line(self) -> str:
        """As a row of the table."""
        totals = np.array([grade.total for grade in self.grades])
        passed = np.array([grade.passed for grade in self.grades])
        mean = {name: np.mean([g.criteria[name] for g in self.grades]) for name in self.grades[0].criteria}
        right = np.mean([bool(set(g.truth) & set(g.group)) for g in self.grades])
        cells = [f"{totals.mean():.1f}", f"{passed.mean():.1%}", f"{right:.0%}", *(f"{v:.0f}" for v in mean.values())]
        return f"| {self.name} | {' | '.join(cells)} |"


SHOULD_PASS = ("reference", "good order", "slow and careful")

REMEMBERED = 300
"""Beliefs kept of one vehicle: a grade finds there what its session has just followed."""

HEAD = "| strategy | mean total | passes | right | diagnosis | efficiency | safety | parts | inquiry | calibration |"


def study(first: int, vehicles: int, minutes: float) -> list[Row]:
    """Every strategy on the same vehicles, until there are enough or the time is up."""
    catalogue, rows = load_catalogue(), {name: Row(name, []) for name in STRATEGIES}
    begin = time.monotonic()
    for number in range(first, first + vehicles):
        if time.monotonic() - begin > 60.0 * minutes:
            break
        judge = Judge(catalogue, drawn_job(catalogue, number), number)
        judge.trail.most = REMEMBERED
        for name, play in STRATEGIES.items():
            player = Player.of(judge)
            play(player)
            grade = judge.grade(player.session.recorder.entries)
            rows[name].grades.append(replace(grade, steps=[], faults=[]))
            if name in SHOULD_PASS and not grade.passed:
                print(f"{number} {name}: {grade.truth} {grade.criteria} {grade.reasons}", file=sys.stderr)
        print(f"{number - first + 1} vehicles, {time.monotonic() - begin:.0f} s", file=sys.stderr, flush=True)
    return list(rows.values())


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Marks of every strategy over many vehicles.")
    parser.add_argument("--vehicles", type=int, default=50)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--minutes", type=float, default=8.0, help="stop after about this time")
    parser.add_argument("--processes", type=int, default=1)
    asked = parser.parse_args()
    shares = asked.processes
    each = -(-asked.vehicles // shares)
    firsts = [asked.first + k * each for k in range(shares)]
    with ProcessPoolExecutor(shares) as pool:
        parts = list(pool.map(study, firsts, [each] * shares, [asked.minutes] * shares))
    rows = [Row(row.name, [g for part in parts for g in part[k].grades]) for k, row in enumerate(parts[0])]
    print(f"{len(rows[0].grades)} vehicles, {sum(len(row.grades) for row in rows)} sessions\n")
    print(HEAD)
    print("|" + " --- |" * (HEAD.count("|") - 1))
    for row in rows:
        print(row.line())
    return 0


if __name__ == "__main__":
    sys.exit(main())
