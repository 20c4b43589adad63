"""``lukewarm show progress``: what the screen of that name shows, as sentences or as data."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from scenarios.files.drawn_jobs import with_drawn_jobs
from scenarios.language import _, say
from scenarios.model import Catalogue
from tui.presentation.between_jobs.numbers import named
from tui.presentation.between_jobs.progress import (
    Progress,
    confusion,
    criteria_heading,
    how_many,
    mean_in_words,
    next_in_words,
    over_time,
    predictions_in_words,
    result,
)
from tui.presentation.clean import clean


def as_data(progress: Progress) -> dict[str, Any]:
    """Ids and figures; marks oldest first, means of the latest jobs and of those before."""
    return {
        "handed_back": len(progress.handed_back),
        "passed": progress.passed,
        "marks": [
            {"record": str(kept.path), "job": kept.job, "day": kept.day, "total": kept.total, "passed": kept.passed}
            for kept in progress.marked
        ],
        "criteria": {name: asdict(mean) for name, mean in progress.criteria.items()},
        "competences": {code: asdict(mean) for code, mean in progress.competences.items()},
        "systems": {
            one.system: {"faults": one.faults, "tried": one.tried, "passed": one.passed, "without_help": one.alone}
            for one in progress.systems
        },
        "confusions": [
            {"declared": declared, "real": real, "times": times} for declared, real, times in progress.confusions
        ],
        "predictions": {"right": sum(progress.predictions), "made": len(progress.predictions)},
        "next": progress.next_job and {"job": progress.next_job, "why": _(progress.why)},
    }


def as_sentences(catalogue: Catalogue, progress: Progress) -> list[str]:
    """The same in words, a line each."""
    out = [how_many(progress)]
    jobs = with_drawn_jobs(catalogue, (kept.job for kept in progress.handed_back)).jobs
    if progress.totals:
        out.append(say("Marks over time: {figures}.", figures=over_time(progress)))
        for kept in progress.marked:
            out.append(f"  {kept.day} {named(jobs, kept.job)}: {result(kept)}.")
    if progress.criteria:
        out.append(criteria_heading(progress) + ":")
        means = [(_(name), mean) for name, mean in progress.criteria.items()] + list(progress.competences.items())
        out += [f"  {name}: {mean_in_words(mean)}." for name, mean in means]
    if progress.predictions:
        out.append(say("Predictions: {figures}.", figures=predictions_in_words(progress)))
    out.append(_("Map of systems, by their faults:"))
    out += [f"  {one.told}." for one in progress.systems]
    if progress.confusions:
        out.append(_("Faults you confused:"))
        out += [f"  {confusion(catalogue, *pair)}." for pair in progress.confusions]
    if progress.next_job is not None:
        out.append(next_in_words(catalogue, progress) + f" lukewarm text {progress.next_job}")
    return [line[: len(line) - len(line.lstrip())] + clean(line) for line in out]
