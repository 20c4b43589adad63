"""Grading a record from outside: checked first, so that a bad one is answered in words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from grading.marks.grade import Grade, grade_record
from grading.marks.practice import Practice
from grading.report.debrief import Section, debrief
from grading.sessions.record import Entry
from grading.sessions.records import handed_back, kept_records, sealed_jobs
from scenarios.files.data_error import DataError, one_of
from scenarios.language import _, say
from scenarios.model import Catalogue
from tui.presentation.progress import practice_of


@dataclass(frozen=True)
class Judged:
    """A graded record: catalogue; entries; grade; practice: the learner's memory."""

    catalogue: Catalogue
    entries: list[Entry]
    grade: Grade
    practice: Practice

    def sections(self) -> list[Section]:
        """The debrief in the language chosen."""
        return debrief(self.catalogue, self.entries, self.grade, self.practice)


def judge(
    catalogue: Catalogue, entries: list[Entry], path: Path, progress: Callable[[float], None] | None = None
) -> Judged:
    """Grade and debrief of a record. Raises DataError where it is no record of a job that is over."""
    name = str(entries[0].data["job"])
    if name not in catalogue.jobs:
        raise DataError(str(path), 1, 1, say("there is no job '{name}'", name=name), one_of(name, catalogue.jobs))
    kept = kept_records()
    if name in sealed_jobs(kept):
        wrong = say("an exam of job '{name}' is not handed in", name=name)
        raise DataError(str(path), 1, 1, wrong, _("a debrief after it"))
    if not handed_back(entries):
        raise DataError(
            str(path), len(entries), 1, _("the keys are not handed back yet"), _("a record of a finished job")
        )
    try:
        grade = grade_record(catalogue, entries, progress, look_ahead=True)
        judged = Judged(catalogue, entries, grade, practice_of(catalogue, kept))
        judged.sections()
        return judged
    except (LookupError, ValueError, TypeError) as error:
        wrong = say("an action in it cannot be done again ({reason})", reason=error)
        raise DataError(str(path), 1, 1, wrong, _("a record by lukewarm")) from error
