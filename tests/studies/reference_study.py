"""What the reference does on many drawn jobs: ``python -m tests.studies.reference_study --vehicles N [--keep FILE]``.

Tells in how many it names another fault than the one in the vehicle, in how many of those a check tells the two apart,
and the minutes and checks it takes. ``--keep FILE`` adds a line of JSON a job and goes on from there another time.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from grading.marks.ambiguity import distinguishable
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.reference.policy import diagnose
from tests.packaged import packaged_catalogue
from tests.studies.strategies_study import drawn_job


@dataclass(frozen=True)
class Solved:
    """What the reference did with one job: vehicle, a number of ``drawn_job``; truth, named: ids of faults; apart:
    whether a check tells the two apart; belief in what it named; minutes, checks until then; seconds of processor.
    """

    vehicle: int
    truth: str
    named: str
    apart: bool
    belief: float
    minutes: float
    checks: tuple[str, ...]
    seconds: float

    @property
    def wrong(self) -> bool:
        """Whether it named another fault than that in the vehicle."""
        return self.truth != self.named


def solve(number: int) -> Solved:
    """The reference's course on one drawn job."""
    catalogue = packaged_catalogue()
    job, begin = drawn_job(catalogue, number), time.process_time()
    prior_particles = Particles.sample_prior(catalogue, job)
    course = diagnose(catalogue, job, number, BeliefCache(prior_particles))
    seconds, names = time.process_time() - begin, [fault.id for fault in prior_particles.faults]
    truth = job.real_faults[0]
    apart = truth != course.diagnosis and distinguishable(
        prior_particles, names.index(truth), names.index(course.diagnosis)
    )
    minutes, checks = round(course.minutes, 2), tuple(course.checks)
    return Solved(number, truth, course.diagnosis, apart, round(course.belief, 4), minutes, checks, round(seconds, 2))


def summary(solved: list[Solved]) -> str:
    """The figures in a line, and a line for each job in which it was wrong."""
    count, wrong = len(solved), [one for one in solved if one.wrong]
    minutes, checks = np.array([one.minutes for one in solved]), np.array([len(one.checks) for one in solved])
    lines = [
        f"{count} jobs: another fault named in {len(wrong)}, "
        f"a check tells them apart in {sum(one.apart for one in wrong)}; "
        f"minutes {minutes.mean():.1f} (median {np.median(minutes):.1f}), checks {checks.mean():.2f}, "
        f"chance of being wrong by its own belief {np.mean([1.0 - one.belief for one in solved]):.4f}, "
        f"processor {np.mean([one.seconds for one in solved]):.2f} s a job"
    ]
    lines += [
        f"  {one.vehicle}: {one.truth} taken for {one.named} at {one.belief:.2f}, {', '.join(one.checks)}"
        for one in wrong
    ]
    return "\n".join(lines)


def before(kept: Path | None) -> list[Solved]:
    """Jobs of earlier runs."""
    if kept is None or not kept.exists():
        return []
    rows = [json.loads(line) for line in kept.read_text(encoding="utf-8").splitlines()]
    return [Solved(**row | {"checks": tuple(row["checks"])}) for row in rows]


def main() -> int:
    """Print the figures."""
    parser = argparse.ArgumentParser(description="The reference on many drawn jobs.")
    parser.add_argument("--vehicles", type=int, default=100)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--keep", type=Path, metavar="FILE", help="go on with what this file holds, and add to it")
    asked = parser.parse_args()
    solved = before(asked.keep)
    wanted = sorted(set(range(asked.first, asked.first + asked.vehicles)) - {one.vehicle for one in solved})
    with ProcessPoolExecutor(asked.processes) as pool:
        for one in pool.map(solve, wanted):
            solved.append(one)
            if asked.keep is not None:
                with asked.keep.open("a", encoding="utf-8", newline="\n") as file:
                    file.write(json.dumps(asdict(one)) + "\n")
    print(summary(sorted(solved, key=lambda one: one.vehicle)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
