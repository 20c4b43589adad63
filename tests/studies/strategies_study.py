"""Many sessions of every strategy, marked: ``python -m tests.studies.strategies_study --vehicles N [--minutes M]``.

``--processes P`` plays on so many processes at once; the vehicles and marks are the same. ``--keep FILE`` adds the
sessions to a file and goes on from there another time: two thousand of them take hours.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import numpy as np

from grading.marks.grade import Grade, Grader
from grading.observer.prior import prior
from scenarios.model import Catalogue, Job, Planted
from sim.vehicle.tolerances import uniform
from tests.packaged import packaged_catalogue
from tests.studies.strategies import STRATEGIES, Player


def drawn_job(catalogue: Catalogue, number: int) -> Job:
    """A job of the catalogue with another fault, drawn by rate and by how well it goes with the complaint."""
    jobs = list(catalogue.jobs.values())
    job = jobs[number % len(jobs)]
    faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
    reached = np.cumsum(prior(job, faults))
    fault = faults[min(int(np.searchsorted(reached, uniform("study", number))), len(faults) - 1)]
    planted = () if fault.id == "none" else (Planted(fault.id, None),)
    return replace(job, id=f"study-{number}", faults=planted, competent_minutes=None, competent_checks=None)


@dataclass(frozen=True)
class Played:
    """One session of one strategy: vehicle, as a number of ``drawn_job``; its marks; right, whether the fault was
    declared, or one that no check tells from it.
    """

    strategy: str
    vehicle: int
    total: float
    passed: bool
    right: bool
    criteria: dict[str, float]

    @classmethod
    def of(cls, strategy: str, vehicle: int, grade: Grade) -> Played:
        """The marks of a grade."""
        right = bool(set(grade.truth) & set(grade.group))
        return cls(strategy, vehicle, grade.total, grade.passed, right, grade.criteria)


def line(strategy: str, played: list[Played]) -> str:
    """A row of the table: means over sessions."""
    totals, passed = np.array([one.total for one in played]), np.array([one.passed for one in played])
    means = [np.mean([one.criteria[name] for one in played]) for name in played[0].criteria]
    right = np.mean([one.right for one in played])
    cells = [f"{totals.mean():.1f}", f"{passed.mean():.1%}", f"{right:.0%}", *(f"{mean:.0f}" for mean in means)]
    return f"| {strategy} | {' | '.join(cells)} |"


SHOULD_PASS = ("reference", "good order", "slow and careful")

REMEMBERED = 300
"""Beliefs kept of one vehicle: a grade finds there what its session has just followed."""

HEAD = "| strategy | mean total | passes | right | diagnosis | efficiency | safety | parts | inquiry | calibration |"


def study(vehicles: list[int], minutes: float, kept: Path | None) -> list[Played]:
    """Every strategy on the same vehicles, until there are no more or the time is up; kept: a file that takes a line of
    JSON a session, all of a vehicle at once.
    """
    catalogue, out = packaged_catalogue(), []
    begin = time.monotonic()
    for count, number in enumerate(vehicles, 1):
        if time.monotonic() - begin > 60.0 * minutes:
            break
        grader = Grader(catalogue, drawn_job(catalogue, number), number)
        grader.belief_cache.most = REMEMBERED
        mine = []
        for name, play in STRATEGIES.items():
            player = Player.of(grader)
            play(player)
            grade = grader.grade(player.session.recorder.entries)
            mine.append(Played.of(name, number, grade))
            if name in SHOULD_PASS and not grade.passed:
                print(f"{number} {name}: {grade.truth} {grade.criteria} {grade.reasons}", file=sys.stderr)
        if kept is not None:
            with kept.open("a", encoding="utf-8", newline="\n") as file:
                file.write("".join(json.dumps(asdict(one)) + "\n" for one in mine))
        out += mine
        print(f"{count} vehicles, {time.monotonic() - begin:.0f} s", file=sys.stderr, flush=True)
    return out


def before(kept: Path | None) -> list[Played]:
    """Sessions of earlier runs."""
    if kept is None or not kept.exists():
        return []
    return [Played(**json.loads(one)) for one in kept.read_text(encoding="utf-8").splitlines()]


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Marks of every strategy over many vehicles.")
    parser.add_argument("--vehicles", type=int, default=50)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--minutes", type=float, default=8.0, help="stop after about this time")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument(
        "--keep", type=Path, metavar="FILE", help="go on with what this file holds of the same code, and add to it"
    )
    asked = parser.parse_args()
    known = before(asked.keep)
    numbers = range(asked.first, asked.first + asked.vehicles)
    wanted = sorted(set(numbers) - {one.vehicle for one in known})
    shares = [wanted[k :: asked.processes] for k in range(asked.processes)]
    with ProcessPoolExecutor(asked.processes) as pool:
        parts = list(pool.map(study, shares, [asked.minutes] * len(shares), [asked.keep] * len(shares)))
    played = [*known, *(one for part in parts for one in part)]
    if not played:
        print("nothing was played: give it more minutes", file=sys.stderr)
        return 1
    print(f"{len({one.vehicle for one in played})} vehicles, {len(played)} sessions\n")
    print(HEAD)
    print("|" + " --- |" * (HEAD.count("|") - 1))
    for name in STRATEGIES:
        print(line(name, [one for one in played if one.strategy == name]))
    return 0


if __name__ == "__main__":
    sys.exit(main())
