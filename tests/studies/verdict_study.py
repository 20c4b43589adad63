"""Who passes: technicians of seven levels and the games of ``tests.studies.games``, played and marked.

``python -m tests.studies.verdict_study --jobs N --vehicles M --processes P [--seed S] [--only NAME] [--keep FILE]``
prints a table beside its bars; ``--packaged`` plays the packaged jobs instead of drawn ones; ``--competent`` prints the
medians of competent technicians for the packaged jobs.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import numpy as np

from grading.fairness.competent import competent_medians
from grading.marks.case import same_cure
from grading.marks.grade import Grade, Grader
from grading.marks.work import is_left
from grading.sessions.session import Session
from grading.technicians import COMPETENT, SKILLS
from scenarios.model import Catalogue, Job
from tests.packaged import packaged_catalogue
from tests.studies.games import GAMES, LEVELS, PLAYS
from tests.studies.strategies_study import drawn_job

REMEMBERED = 300
"""Beliefs kept of one vehicle."""
NOVICES = 2
"""Levels up to which a technician counts as a novice, where passes must be earned."""
EARNED = 0.85
"""Belief before the curing repair from which a pass is earned."""
RELIABLE = 0.8
"""Vehicles by which a packaged job is measured."""
FEW_SEEDS = range(100, 105)
"""Vehicles by which a drawn one is."""


@dataclass(frozen=True)
class Played:
    """One session: strategy; job and seed; total; passed; verdict; right: in the trade's sense, the part named, cured,
    and no complaint in the month after; aimed: whether it failed for what the game is about; belief in what was named;
    criteria; reasons.
    """

    strategy: str
    job: str
    seed: int
    total: float
    passed: bool
    verdict: str
    right: bool
    aimed: bool
    belief: float
    criteria: dict[str, float]
    reasons: list[str]


def right(session: Session, grade: Grade) -> bool:
    """Whether nothing but the right part was named, the fault cured, and no complaint came in the month after."""
    faults = session.catalogue.faults
    actions = [entry.action for entry in session.recorder.entries if entry.kind == "action"]
    truths = [faults[name] for name in grade.truth]
    hits = [any(name == one.id or same_cure(faults[name], one) for one in truths) for name in session.diagnoses]
    part = bool(hits) and all(hits)
    cured = not any(is_left(session.catalogue, actions, one) for one in truths)
    return part and cured and grade.comeback is not None and grade.comeback.day is None


def play(name: str, grader: Grader) -> Played | None:
    """One session of a strategy, marked; None where what it is about did not come to pass."""
    game = PLAYS[name]
    session = Session(grader.catalogue, grader.job, grader.seed)
    game.play(session)
    if game.happened is not None and not game.happened(session):
        return None
    grade = grader.grade(session.recorder.entries)
    aimed = game.because is None or game.because(grade)
    belief = grade.belief if grade.belief is not None else 0.0
    reasons = [str(reason) for reason in grade.reasons]
    honest = right(session, grade)
    return Played(
        name,
        grader.job.id,
        grader.seed,
        grade.total,
        grade.passed,
        grade.verdict,
        honest,
        aimed,
        belief,
        grade.criteria,
        reasons,
    )


def jobs_of(
    catalogue: Catalogue, number: int, packaged: bool, names: Iterable[str]
) -> dict[str, tuple[Job, list[str]]]:
    """Jobs of one number, by id, with the strategies that are played on each."""
    usual = list(catalogue.jobs.values())[number % len(catalogue.jobs)] if packaged else drawn_job(catalogue, number)
    out: dict[str, tuple[Job, list[str]]] = {}
    for name in names:
        game, job = PLAYS[name], usual
        if game.jobs:
            job = replace(catalogue.jobs[game.jobs[number % len(game.jobs)]], id=f"study-{name[:3]}-{number}")
        if game.fits(catalogue, job):
            out.setdefault(job.id, (job, []))[1].append(name)
    return out


def measured(catalogue: Catalogue, job: Job) -> Job:
    """A job that says what competent technicians take, measured on a few vehicles where it does not yet."""
    if job.competent_minutes is not None:
        return job
    minutes, checks = competent_medians(catalogue, job, FEW_SEEDS)
    return replace(job, competent_minutes=round(minutes), competent_checks=round(checks))


def study(
    units: list[tuple[int, int]], packaged: bool, names: list[str], minutes: float, kept: Path | None
) -> list[Played]:
    """Strategies on jobs and seeds (number, seed), until there are no more or the time is up."""
    catalogue, out, begin = packaged_catalogue(), [], time.monotonic()
    for count, (number, seed) in enumerate(units, 1):
        if time.monotonic() - begin > 60.0 * minutes:
            break
        mine = []
        for job, played in jobs_of(catalogue, number, packaged, names).values():
            grader = Grader(catalogue, measured(catalogue, job), seed)
            grader.belief_cache.most = REMEMBERED
            mine += [one for name in played if (one := play(name, grader)) is not None]
        if kept is not None:
            with kept.open("a", encoding="utf-8", newline="\n") as file:
                file.write("".join(json.dumps(asdict(one)) + "\n" for one in mine))
        out += mine
        print(f"{count} of {len(units)}, {time.monotonic() - begin:.0f} s", file=sys.stderr, flush=True)
    return out


def share(values: Iterable[bool]) -> float:
    """Share of true values, NaN of none."""
    found = list(values)
    return sum(found) / len(found) if found else float("nan")


def line(name: str, played: list[Played]) -> str:
    """A row of the table."""
    passes = [one for one in played if one.passed]
    honest = [one for one in played if one.right]
    bar = ""
    if name in GAMES:
        game, rate = GAMES[name], share(one.passed for one in played)
        word = "at most" if game.fails else "at least"
        met = rate <= game.limit if game.fails else rate >= game.limit
        bar = f"{word} {game.limit:.0%}: {'met' if met else 'MISSED'}"
    cells = (
        f"{len(played)}",
        f"{len(passes)}",
        f"{np.mean([one.total for one in played]):.1f}",
        f"{share(one.right for one in played):.0%}",
        f"{share(one.passed for one in honest):.0%}",
        f"{share(one.belief >= EARNED for one in passes):.0%}",
        f"{share(one.aimed for one in played):.0%}",
        *(f"{np.mean([one.criteria[key] for one in played]):.0f}" for key in played[0].criteria),
    )
    return f"| {name} | {' | '.join(cells)} | {bar} |"


HEAD = (
    "| strategy | sessions | passes | total | right | right that pass | passes earned | failed for its reason "
    "| diagnosis | efficiency | safety | parts | inquiry | calibration | bar |"
)


def ranks(values: np.ndarray) -> np.ndarray:
    """Ranks 0.. of values, equal ones sharing their mean."""
    order = np.argsort(np.argsort(values)).astype(float)
    return np.array([order[values == value].mean() for value in values])


def spearman(levels: np.ndarray, means: np.ndarray) -> float:
    """Rank correlation of two rows of values."""
    return float(np.corrcoef(ranks(levels), ranks(means))[0, 1])


def jobs_for_reliability(totals: np.ndarray) -> float:
    """Jobs after which the mean total of a person is as reliable as RELIABLE, by a two-way analysis of variance without
    repetition; totals: (persons, jobs). Source: generalisability theory, persons x tasks (textbook).
    """
    persons, tasks = totals.shape
    grand = totals.mean()
    by_person, by_task = totals.mean(axis=1), totals.mean(axis=0)
    rest = totals - by_person[:, None] - by_task[None, :] + grand
    residual = float((rest**2).sum() / ((persons - 1) * (tasks - 1)))
    between = float(tasks * ((by_person - grand) ** 2).sum() / (persons - 1))
    true = max((between - residual) / tasks, 1e-9)
    return RELIABLE / (1.0 - RELIABLE) * residual / true


def of_levels(played: list[Played]) -> list[str]:
    """What the seven levels show together."""
    names = [name for name in LEVELS if any(one.strategy == name for one in played)]
    if len(names) < len(SKILLS):
        return []
    units = sorted({(one.job, one.seed) for one in played if one.strategy == names[0]})
    table = {(one.strategy, one.job, one.seed): one.total for one in played}
    totals = np.array([[table.get((name, *unit), np.nan) for unit in units] for name in names])
    totals = totals[:, ~np.isnan(totals).any(axis=0)]
    of_level = [one for one in played if one.strategy in LEVELS]
    novice = [one for one in of_level if one.strategy in names[: NOVICES + 1] and one.passed]
    honest = [one for one in of_level if one.right]
    earned, means = share(one.belief >= EARNED for one in novice), totals.mean(axis=1)
    jobs = sorted({job for job, _ in units})
    low = [job for job in jobs if _mean(played, names[-1], job) < _mean(played, names[COMPETENT.level], job)]
    return [
        f"right in the trade's sense that pass: {share(one.passed for one in honest):.1%} of {len(honest)} (95 %)",
        f"rank correlation of level and mean total: {spearman(np.arange(len(names)), means):.2f} (.9)",
        f"jobs on which the expert's mean is below the competent one's: {', '.join(low) or 'none'}",
        f"novices' passes with a belief of {EARNED}: {earned:.1%} of {len(novice)} (95 %)",
        f"jobs for a reliability of {RELIABLE}: {jobs_for_reliability(totals):.1f}",
    ]


def _mean(played: list[Played], name: str, job: str) -> float:
    return float(np.mean([one.total for one in played if one.strategy == name and one.job == job]))


def main() -> int:
    """Print the tables."""
    parser = argparse.ArgumentParser(description="Verdicts on technicians of seven levels and on games.")
    parser.add_argument("--jobs", type=int, default=12)
    parser.add_argument("--vehicles", type=int, default=2)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--seed", type=int, default=0, help="number of the first job that is drawn")
    parser.add_argument("--only", action="append", metavar="NAME", help="strategies whose names begin so; repeatable")
    parser.add_argument("--packaged", action="store_true", help="the packaged jobs instead of drawn ones")
    parser.add_argument("--minutes", type=float, default=600.0, help="begin no further vehicle after about this time")
    parser.add_argument("--keep", type=Path, metavar="FILE", help="go on with what this file holds, and add to it")
    parser.add_argument("--competent", action="store_true", help="medians of competent technicians, packaged jobs")
    asked = parser.parse_args()
    if asked.competent:
        catalogue = packaged_catalogue()
        for job in catalogue.jobs.values():
            minutes, checks = competent_medians(catalogue, job)
            print(f"{job.id}: competent_minutes: {round(minutes)}, competent_checks: {round(checks)}", flush=True)
        return 0
    names = [name for name in PLAYS if not asked.only or any(name.startswith(only) for only in asked.only)]
    known: list[Played] = []
    if asked.keep is not None and asked.keep.exists():
        known = [Played(**json.loads(one)) for one in asked.keep.read_text(encoding="utf-8").splitlines()]
    units = [(asked.seed + job, seed) for seed in range(asked.vehicles) for job in range(asked.jobs)]
    shares = [units[k :: asked.processes] for k in range(asked.processes)]
    rest = (asked.packaged, names, asked.minutes, asked.keep)
    with ProcessPoolExecutor(asked.processes) as pool:
        waiting = [pool.submit(study, mine, *rest) for mine in shares]
        played = [*known, *(one for each in waiting for one in each.result())]
    print(HEAD)
    print("|" + " --- |" * (HEAD.count("|") - 1))
    for name in PLAYS:
        mine = [one for one in played if one.strategy == name]
        if mine:
            print(line(name, mine))
    print(*of_levels(played), sep="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
