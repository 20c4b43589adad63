"""What the marks of a record rest on, worked out while the record is being written or all at once after it."""

from __future__ import annotations

from collections.abc import Callable

from grading.marks.grade import Grader
from grading.marks.rubric import Rubric
from grading.report.sound_band import SoundVehicles
from grading.report.timeline import Way, best_way
from grading.sessions.record import RecordEntry
from grading.sessions.verification import replay_session
from scenarios.actions import Action
from scenarios.language import chosen
from scenarios.model import Catalogue
from tui.presentation.curves.truth import TrueVehicle

MAX_BELIEFS = 120
"""Beliefs kept of a record that is followed: a job rarely takes more actions, and each is needed again at the end."""


class PreparedMarks:
    """The grader, the sound vehicles and the own vehicle of one record, which go through it as it grows.

    Nothing here is trusted as a mark: ``graded_record.graded_record`` replays and marks the whole record with it, and
    finds what it needs computed.
    """

    def __init__(self, catalogue: Catalogue, first: RecordEntry, rubric: Rubric) -> None:
        """catalogue: with the record's job; first: first entry of the record."""
        self.catalogue = catalogue
        job = catalogue.jobs[str(first.data["job"])]
        self.grader = Grader(catalogue, job, int(first.data["seed"]), rubric)
        self.sound = SoundVehicles(catalogue, job, int(first.data["seed"]))
        self.own = TrueVehicle(catalogue, first)
        self._best: dict[str, Way] = {}

    def best_way(self, entries: list[RecordEntry]) -> Way:
        """The best route over time, in the language chosen."""
        if chosen() not in self._best:
            self._best[chosen()] = best_way(self.catalogue, entries, self.grader.course)
        return self._best[chosen()]

    def follow(self, entries: list[RecordEntry], progress: Callable[[float], None]) -> None:
        """Compute what the marks would need if the keys were handed back now; progress: as ``Grader.grade``, may raise
        to abort. Raises CannotReplay, PhysicsFailed.
        """
        self.grader.belief_cache.most = MAX_BELIEFS
        self.grader.reference(progress)
        self.best_way(entries)
        self.sound.follow(entries)
        self.own.follow(entries)
        self.grader.grade(self._as_handed_back(entries), progress, look_ahead=True)

    def _as_handed_back(self, entries: list[RecordEntry]) -> list[RecordEntry]:
        """A record as if the keys were handed back now, where that is likely enough to compute the month after it."""
        done = {entry.action.verb for entry in entries if entry.kind == "action"}
        if "handback" in done or not done & {"repair", "diagnose"}:
            return entries
        session = replay_session(self.catalogue, self.grader.job, entries)
        session.do(Action("handback"))
        return session.recorder.entries
