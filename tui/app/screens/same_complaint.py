"""The same complaint with another fault: what a debrief offers once its job is passed."""

from __future__ import annotations

from grading.marks.grade import Grade
from grading.sessions.record import RecordEntry
from grading.sessions.records import kept_records
from scenarios.model import Job
from tui.app.program import program
from tui.app.screens.spoken import Spoken
from tui.presentation.between_jobs.another_vehicle import complaint_word, like


class SameComplaint(Spoken):
    """A screen of a graded record, with the action ``like``."""

    entries: list[RecordEntry]
    grade: Grade

    @property
    def job(self) -> Job:
        """The job of the record."""
        name = str(self.entries[0].data["job"])
        return program(self).catalogue_with(name).jobs[name]

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Another fault is offered once a job is passed, where another one brings the complaint."""
        if action == "like" and not (self.grade.passed and complaint_word(program(self).catalogue, self.job)):
            return False
        return super().check_action(action, parameters)

    def action_like(self) -> None:
        """Draw a vehicle with the same complaint and another fault, and take its key."""
        job = self.job
        opened = {kept.job for kept in kept_records()}
        from tui.app.screens.draw_vehicle import draw_and_open

        draw_and_open(program(self), lambda catalogue, rubric: like(catalogue, job, rubric, opened))
