"""A job picked for a learner by a word: what the board offers, or what another vehicle is drawn for."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from grading.drawing.narrowing import BANDS, SYSTEM_WORDS
from scenarios.language import _, chosen
from scenarios.wrong_use import WrongUse

if TYPE_CHECKING:  # the command line lists the words before anything else is loaded
    from grading.marks.rubric import Rubric
    from grading.sessions.records import Kept
    from scenarios.model import Catalogue

NEXT, DUE, TODAY, ANY, CONFUSED, SAME = "next", "due", "today", "any", "confused", "same-complaint"
PICKS = (NEXT, DUE, TODAY, ANY, CONFUSED, SAME, *BANDS, *SYSTEM_WORDS)
"""What can be picked, as it is typed."""


def picked(catalogue: Catalogue, what: str, records: Sequence[Kept], rubric: Rubric, day: date) -> str:
    """Id of a job; one that waits drawn ahead comes first, otherwise it is drawn now.

    what: of PICKS; records: newest first. Raises WrongUse where there is nothing of the kind, and OSError.
    """
    from grading.drawing.by_number import drawn_by_number
    from tui.presentation.between_jobs.another_vehicle import confused_words, like, next_number
    from tui.presentation.between_jobs.attempts import attempts_of
    from tui.presentation.between_jobs.offered import offered
    from tui.presentation.between_jobs.progress import progress_of

    opened = {kept.job for kept in records}
    if what == SAME:
        passed = next((one for one in reversed(attempts_of(catalogue, records)) if one.passed), None)
        if passed is None:
            raise WrongUse(_("no job is passed yet whose complaint could be taken again"))
        return like(catalogue, passed.job, rubric, opened)
    word = "" if what == ANY else what
    if what in (NEXT, DUE, TODAY):
        given = offered(catalogue, progress_of(catalogue, list(records)), records, day)
        if what == NEXT:
            if given.next_job is None:
                raise WrongUse(_("there is no job to do next"))
            return given.next_job
        if what == TODAY:
            return drawn_by_number(catalogue, given.of_day, rubric, chosen())[0]
        if not given.due:
            raise WrongUse(_("nothing is due again today"))
        if given.due[0].begun is not None:
            return given.due[0].begun
        word = given.due[0].word
    elif what == CONFUSED:
        words = confused_words(catalogue, records)
        if not words:
            raise WrongUse(_("no marked record on this machine shows one fault taken for another"))
        word = words[0]
    return drawn_by_number(catalogue, next_number(catalogue, word, opened), rubric, chosen())[0]
