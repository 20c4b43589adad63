"""Marking of records for an assessor: candidate and job, whether the record is sound, and its marks."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from grading.marks.grade import Grader
from grading.marks.rubric import Rubric
from grading.marks.verdict import NOT_FINISHED
from grading.report.explanation import explanation
from grading.sessions.made_with import catalogue_of, only_catalogue_differs, unknown_job, with_drawn
from grading.sessions.modes import Mode
from grading.sessions.record import RecordEntry, read_record
from grading.sessions.records import handed_back
from grading.sessions.verification import CannotReplay, replayed, same_version
from scenarios.files.data_error import DataError
from scenarios.language import N_, _, say
from scenarios.model import Catalogue
from scenarios.physics_failure import PhysicsFailed

NOT_MARKED = N_("not marked")
SOUND, OTHER_VERSION, OTHER_FOLDERS = N_("sound"), N_("another version"), N_("other folders")
NOT_SOUND, UNREADABLE, SEALED, UNVERIFIED = N_("not sound"), N_("unreadable"), N_("sealed"), N_("not verified")


@dataclass(frozen=True)
class Opened:
    """A record that was read: its path as given, and its entries."""

    path: Path
    entries: list[RecordEntry]

    @property
    def job(self) -> str:
        """Id of its job."""
        return str(self.entries[0].data["job"])

    @property
    def seed(self) -> int:
        """Seed of its vehicle."""
        return int(self.entries[0].data["seed"])


@dataclass(frozen=True)
class Marked:
    """Result of marking a record.

    file: its path as given; candidate: the name in the record, else the file name; job, mode: empty, and seed None, if
    the record cannot be read; verdict: as ``grading.marks.verdict`` names it, or NOT_MARKED; state: of
    the record, SOUND to UNVERIFIED above; why: what is wrong with the record, in the language chosen, empty for
    nothing; rubric: hash. The rest comes from the grade and is empty or None without one: total 0..100;
    criteria: name to 0..100; critical, reasons: in the language chosen; hints: number; hint_marks: marks deducted
    for them; explanation: lines, if requested.
    """

    file: str
    candidate: str
    job: str
    seed: int | None
    mode: str
    verdict: str
    state: str
    why: str
    rubric: str
    total: float | None = None
    criteria: dict[str, float] = field(default_factory=dict)
    critical: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    hints: int | None = None
    hint_marks: float | None = None
    explanation: tuple[str, ...] = ()

    @property
    def in_order(self) -> bool:
        """Whether the record was verified, or only cannot be, as another version or other own folders were in use."""
        return self.state in (SOUND, OTHER_VERSION, OTHER_FOLDERS) and not self.why


class Marker:
    """Marks records. Those of one job and seed share a grader if they are marked one after another."""

    def __init__(self, catalogue: Catalogue, rubric: Rubric, explains: bool = False) -> None:
        """explains: whether to add an explanation to each record."""
        self.catalogue, self.rubric, self.explains = catalogue, rubric, explains
        self._judge: Grader | None = None

    def open(self, path: Path, sealed: frozenset[str]) -> Opened | Marked:
        """Read a record; sealed: jobs whose faults stay hidden, from ``sealed_jobs``. Returns ``Marked`` if the
        record cannot be marked.
        """
        try:
            record = Opened(path, read_record(path))
        except DataError as error:
            return Marked(str(path), path.stem, "", None, "", NOT_MARKED, UNREADABLE, str(error), self.rubric.hash)
        if record.job not in with_drawn(self.catalogue, record.job).jobs:
            told = unknown_job(record.job, path)
            why = say("{problem}, expected {expected}", problem=told.problem, expected=told.expected)
            return self.unverified(record, why)
        if record.job in sealed:
            why = say("an exam of job '{name}' is not handed in on this machine", name=record.job)
            return self._without_marks(record, NOT_MARKED, SEALED, why)
        return record

    def mark(self, record: Opened) -> Marked:
        """Replay a record and mark the replay. A record that is not sound gets no marks.

        Errors in the record are reported in the result; nothing is raised.
        """
        try:
            return self._mark(record)
        except PhysicsFailed as error:
            return self._without_marks(record, NOT_MARKED, UNVERIFIED, str(error))
        except Exception as error:  # one bad record must not stop the marking of the others
            why = say("an error in the program ({reason})", reason=f"{type(error).__name__}: {error}")
            return self._without_marks(record, NOT_MARKED, UNVERIFIED, why)

    def unverified(self, record: Opened, why: str) -> Marked:
        """Result for a record that could not be replayed for a reason outside it."""
        return self._without_marks(record, NOT_MARKED, UNVERIFIED, why)

    def _mark(self, record: Opened) -> Marked:
        finished = handed_back(record.entries)
        catalogue = catalogue_of(with_drawn(self.catalogue, record.job), record.entries)
        other = OTHER_FOLDERS if only_catalogue_differs(catalogue, record.entries) else OTHER_VERSION
        try:
            again = replayed(catalogue, record.entries)
        except CannotReplay as error:
            state = other if not same_version(catalogue, record.entries) else NOT_SOUND
            what = _("this action cannot be done again")
            if finished:
                what = say("this action cannot be done again ({reason})", reason=error.why)
            return self._without_marks(record, NOT_MARKED, state, _at_line(error.line, what))
        if again.difference is not None:
            # an open job must not reveal readings that were not taken
            what = _(again.difference.what) if finished else _("a replay gives something else")
            return self._without_marks(record, NOT_MARKED, NOT_SOUND, _at_line(again.difference.line, what))
        state = SOUND if again.same_version else other
        if not finished:
            return self._without_marks(record, NOT_FINISHED, state)
        return self._with_marks(record, catalogue, state, again.entries)

    def _with_marks(self, record: Opened, catalogue: Catalogue, state: str, entries: list[RecordEntry]) -> Marked:
        """catalogue, entries: as the replay gives them."""
        grade = self._judge_of(record, catalogue).grade(entries)
        return replace(
            self._without_marks(record, grade.verdict, state),
            total=grade.total,
            criteria=grade.criteria,
            critical=tuple(map(_, grade.critical)),
            reasons=tuple(map(_, grade.reasons)),
            hints=sum(entry.kind == "action" and entry.data["verb"] == "hint" for entry in entries),
            hint_marks=grade.hints,
            explanation=tuple(explanation(catalogue, entries, grade)) if self.explains else (),
        )

    def _judge_of(self, record: Opened, catalogue: Catalogue) -> Grader:
        grader = self._judge
        if (
            grader is None
            or grader.catalogue is not catalogue
            or (grader.job.id, grader.seed) != (record.job, record.seed)
        ):
            grader = self._judge = Grader(catalogue, catalogue.jobs[record.job], record.seed, self.rubric)
        return grader

    def _without_marks(self, record: Opened, verdict: str, state: str, why: str = "") -> Marked:
        first = record.entries[0].data
        candidate, mode = str(first.get("candidate") or record.path.stem), Mode.of_record(first).name
        return Marked(str(record.path), candidate, record.job, record.seed, mode, verdict, state, why, self.rubric.hash)


def _at_line(line: int, what: str) -> str:
    return say("line {line}: {what}", line=line, what=what)
