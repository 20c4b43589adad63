"""Whether beliefs come true: ``python -m tests.studies.calibration --sessions N [--first K] [--keep]``, a long study.

Every session is a usual way through a job, or a part of it, on a vehicle whose fault is drawn as the observer expects.
The observer's belief in its likeliest fault is held against how often that fault was there.
"""

from __future__ import annotations

import argparse
import json
import math
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from datetime import date

import numpy as np

from grading.observer.prior import prior
from tests.bench.marking import KEPT, believed, session
from tests.packaged import packaged_catalogue
from tests.studies.strategies_study import drawn_job

BINS = 10


def expected_calibration_error(stated: np.ndarray, right: np.ndarray) -> float:
    """Mean gap of stated belief and share right over BINS bins of equal width, weighted by their number.

    stated (n,): 0..1; right (n,): bool. Source: Guo et al. 2017, equation 3.

    >>> expected_calibration_error(np.array([0.75, 0.75, 0.75, 0.75]), np.array([True, True, True, False]))
    0.0
    """
    bins = np.minimum((stated * BINS).astype(int), BINS - 1)
    gaps = [abs(stated[bins == k].sum() - right[bins == k].sum()) for k in range(BINS)]
    return float(sum(gaps)) / len(stated)


def played(numbers: list[int]) -> list[tuple[float, bool, float, float]]:
    """Of each session: belief in the likeliest fault, whether it was there, log score of the true one and of the prior
    [nat].
    """
    catalogue, out = packaged_catalogue(), []
    for count, number in enumerate(numbers, 1):
        job = drawn_job(catalogue, number)
        truth = job.faults[0].fault if job.faults else "none"
        belief = believed(session(job, number, chosen=number), job, "imagined")
        likeliest = max(belief, key=lambda name: belief[name])
        faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
        known = dict(zip((fault.id for fault in faults), prior(job, faults), strict=True))
        score, bare = math.log(max(belief[truth], 1e-6)), math.log(known[truth])
        out.append((belief[likeliest], likeliest == truth, score, bare))
        if count % 25 == 0:
            error = expected_calibration_error(np.array([one[0] for one in out]), np.array([one[1] for one in out]))
            print(f"{count} sessions: error {error:.3f}", file=sys.stderr, flush=True)
    return out


def study(first: int, sessions: int, processes: int = 1) -> dict[str, float]:
    """Figures over sessions first .. first + sessions - 1: error, what luck alone gives, log scores [nat]."""
    numbers = list(range(first, first + sessions))
    with ProcessPoolExecutor(processes) as pool:
        parts = list(pool.map(played, [numbers[k::processes] for k in range(processes)]))
    told, right, score, bare = (
        np.array(column) for column in zip(*(one for part in parts for one in part), strict=True)
    )
    rng = np.random.Generator(np.random.Philox(key=first))
    luck = [expected_calibration_error(told, rng.random(len(told)) < told) for _ in range(200)]
    return {
        "sessions": float(sessions),
        "calibration_error": expected_calibration_error(told, right),
        "calibration_error_by_luck": float(np.mean(luck)),
        "mean_log_score": float(np.mean(score)),
        "mean_log_score_of_prior": float(np.mean(bare)),
        "right": float(np.mean(right)),
        "mean_belief": float(np.mean(told)),
    }


def main() -> None:
    """Run the study and print its figures as JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sessions", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--keep", action="store_true", help=f"write the figures to {KEPT.name}, for the bench")
    asked = parser.parse_args()
    figures = study(asked.first, asked.sessions, asked.processes)
    print(json.dumps(figures, indent=2))
    if asked.keep:
        told = ("git", "rev-parse", "--short", "HEAD")
        commit = subprocess.run(told, capture_output=True, text=True, encoding="utf-8", check=True).stdout.strip()
        kept = {"date": date.today().isoformat(), "commit": commit} | figures
        KEPT.write_text(json.dumps(kept, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
