"""``lukewarm show board``: what the job board shows, as sentences or as data."""

from __future__ import annotations

from typing import Any

from scenarios.language import _, say
from scenarios.model import Catalogue, Job
from tui.presentation.between_jobs.complaint_words import in_short
from tui.presentation.between_jobs.offered import Offered, told


def easiest_first(catalogue: Catalogue) -> list[Job]:
    """All jobs as the board has them: by difficulty, then by title."""
    return sorted(catalogue.jobs.values(), key=lambda job: (job.difficulty, _(job.title).casefold(), job.id))


def as_data(catalogue: Catalogue, given: Offered) -> dict[str, Any]:
    """Ids, numbers and figures."""
    return {
        "next": given.next_job and {"job": given.next_job, "why": _(given.why)},
        "due": [
            {"word": one.word, "systems": list(one.systems), "days": one.days, "passed": one.passed, "begun": one.begun}
            for one in given.due
        ],
        "vehicle_of_the_day": given.of_day,
        "jobs": [
            {"job": job.id, "difficulty": job.difficulty, "complaints": list(job.complains_of)}
            for job in easiest_first(catalogue)
        ],
    }


def as_sentences(catalogue: Catalogue, given: Offered) -> list[str]:
    """The same in words, a line each."""
    jobs = [
        say(
            "{id}: {title}, {complaint}; difficulty {difficulty} of 5.",
            id=job.id,
            title=_(job.title),
            complaint=in_short(job.complains_of),
            difficulty=job.difficulty,
        )
        for job in easiest_first(catalogue)
    ]
    return [*told(catalogue, given), _("All jobs, the easiest first:"), *(f"  {line}" for line in jobs)]
