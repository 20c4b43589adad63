"""Marking a record: done again first, so that nothing in it is trusted, and its marks kept on this machine."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from grading.marks.grade import Grade
from grading.marks.practice import Practice
from grading.marks.rubric import Rubric, load_rubric
from grading.report.debrief import debrief
from grading.report.first_page import first_page
from grading.report.predictions import predictions
from grading.report.section import Section
from grading.report.sound_band import Band
from grading.report.timeline import Way, own_way
from grading.report.told_actions import told_actions
from grading.sessions.made_with import catalogue_of, only_catalogue_differs, unknown_job, with_drawn
from grading.sessions.marks_store import save_marks
from grading.sessions.record import RecordEntry, parse_record
from grading.sessions.records import Kept, handed_back, kept_records, sealed_jobs
from grading.sessions.verification import CannotReplay, Replayed, replayed
from grading.sessions.versions import Versions, catalogue_hash, engine_hash
from scenarios.files.data_error import DataError
from scenarios.language import N_, _, say, speak_of
from scenarios.model import Catalogue
from scenarios.vehicle_words import own_words
from tui.presentation.between_jobs.progress import PREDICTIONS, practice_of
from tui.presentation.curves.truth import Course
from tui.presentation.marking.prepared_marks import PreparedMarks


@dataclass(frozen=True)
class GradedRecord:
    """A marked record.

    entries: as its replay gives them; grade; practice: the learner's memory; same_version: whether this version of the
    program made the record, with this catalogue; other_folders: whether the catalogue alone is another; not_kept: why
    its marks could not be kept on this machine, empty where they are; prepared: what else goes through the record, None
    once everything is computed.
    """

    catalogue: Catalogue
    entries: list[RecordEntry]
    grade: Grade
    practice: Practice
    same_version: bool
    other_folders: bool
    not_kept: str
    prepared: PreparedMarks | None = field(compare=False, repr=False)

    @cached_property
    def sound(self) -> dict[int, list[Band]]:
        """What sound vehicles would have shown in each check, by the number of its action."""
        return self._prepared.sound.follow(self.entries)

    @cached_property
    def ways(self) -> tuple[Way, Way]:
        """The person's own way and the best route over time."""
        told = told_actions(self.catalogue, self.entries, self.grade)
        self._prepared.own.follow(self.entries)
        return own_way(self._prepared.own.session, told), self._prepared.best_way(self.entries)

    @cached_property
    def course(self) -> Course:
        """What truly went on in the vehicle. Raises PhysicsFailed."""
        return self._prepared.own.follow(self.entries)

    @property
    def _prepared(self) -> PreparedMarks:
        assert self.prepared is not None
        return self.prepared

    def complete(self) -> GradedRecord:
        """Compute everything, so that it can be handed to another process."""
        _ = self.sound, self.ways, self.course
        whole = replace(self, prepared=None)
        whole.__dict__.update(sound=self.sound, ways=self.ways, course=self.course)
        return whole

    def sections(self) -> list[Section]:
        """The debrief in the language chosen."""
        return debrief(self.catalogue, self.entries, self.grade, self.practice, self.sound)

    def first_page(self) -> list[Section]:
        """Its first page alone: verdict and safety, what came of it, what was done well, what to try next."""
        return first_page(self.catalogue, self.entries, self.grade)

    def remarks(self) -> list[str]:
        """What must be said beside the marks, in the language chosen."""
        other = OTHER_FOLDERS if self.other_folders else OTHER_VERSION
        said = [] if self.same_version else [_(other)]
        return [*said, self.not_kept] if self.not_kept else said


OTHER_VERSION = N_(
    "This record was made by another version of the program: it cannot be checked against a replay, and its readings "
    "are taken as recorded."
)


OTHER_FOLDERS = N_(
    "This record was made with other folders of own jobs and faults than are given now, or with these as they were "
    "then: it cannot be checked against a replay, and its readings are taken as recorded. Give the folders by --with."
)


def graded_record(
    catalogue: Catalogue,
    whole: bytes,
    path: Path,
    progress: Callable[[float], None] | None = None,
    look_ahead: bool = True,
    rubric: Rubric | None = None,
    prepared: PreparedMarks | None = None,
) -> GradedRecord:
    """Grade and debrief of a record.

    whole: its bytes; path: for errors; progress: told 0..1; look_ahead: also find the best step at each point; rubric:
    the packaged one if not given; prepared: of the same record and rubric, if it was followed. Raises DataError where
    it is no record of a job that is over, or not sound: made by this version of the program and yet not what a replay
    gives.
    """
    entries = parse_record(whole, path)
    name = str(entries[0].data["job"])
    in_use, catalogue = catalogue, with_drawn(catalogue, name)
    if name not in catalogue.jobs:
        raise unknown_job(name, path)
    catalogue = catalogue_of(catalogue, entries)
    speak_of(own_words(catalogue.vehicles[catalogue.jobs[name].vehicle]))
    kept = kept_records()
    if name in sealed_jobs(kept):
        wrong = say("an exam of job '{name}' is not handed in", name=name)
        raise DataError(str(path), 1, 1, wrong, _("a debrief after it"))
    if not handed_back(entries):
        wrong = _("the keys are not handed back yet")
        raise DataError(str(path), len(entries), 1, wrong, _("a record of a finished job"))
    again = sound_replay(catalogue, entries, path)
    rubric = rubric or load_rubric()
    prepared = prepared or PreparedMarks(catalogue, entries[0], rubric)
    grade = prepared.grader.grade(again.entries, progress, look_ahead)
    predicted = any(one.kind == "prediction" for one in again.entries)
    sound = prepared.sound.follow(again.entries) if predicted else {}
    marks = grade.to_json() | {PREDICTIONS: [one.right for one in predictions(again.entries, sound)]}
    versions = Versions(engine_hash(), catalogue_hash(catalogue), rubric.hash)
    not_kept = ""
    try:
        save_marks(whole, versions, marks)
    except OSError as error:
        not_kept = say("The marks could not be kept on this machine ({reason}).", reason=error)
    practice = practice_of(in_use, _with(kept_records(), Kept(path, again.entries, marks)))
    other_folders = only_catalogue_differs(catalogue, entries)
    return GradedRecord(
        catalogue, again.entries, grade, practice, again.same_version, other_folders, not_kept, prepared
    )


def _with(kept: list[Kept], graded: Kept) -> list[Kept]:
    """Records, newest first, with the one just marked among them wherever it lies."""
    if any(one.path.absolute() == graded.path.absolute() for one in kept):
        return kept
    return [graded, *kept]


def sound_replay(catalogue: Catalogue, entries: list[RecordEntry], path: Path) -> Replayed:
    """A record done again. Raises DataError where that cannot be, or gives something else."""
    try:
        again = replayed(catalogue, entries)
    except CannotReplay as error:
        wrong = say("this action cannot be done again ({reason})", reason=error.why)
        raise DataError(str(path), error.line, 1, wrong, _("a record by lukewarm")) from error
    if again.difference is not None:
        wrong = say("the record is not sound: {what}", what=_(again.difference.what))
        raise DataError(str(path), again.difference.line, 1, wrong, _("a record as it was written"))
    return again
