"""What hangs on the job board, apart from all else that is known of a job: the board is waited for."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:  # else only once a job is opened
    from scenarios.model import Catalogue


class Notice(NamedTuple):
    """A job as the board shows it, in English: id, title, customer, complaint, history and difficulty as in the
    catalogue; vehicle: its name; about: a sentence on it; complains_of: keys of COMPLAINTS.
    """

    id: str
    title: str
    customer: str
    complaint: str
    history: str
    vehicle: str
    about: str
    mileage_km: float
    ambient_C: float
    difficulty: int
    complains_of: tuple[str, ...]


def notices_of(catalogue: Catalogue) -> dict[str, Notice]:
    """A notice for each job, by the job's id."""
    found = {}
    for job in catalogue.jobs.values():
        vehicle = catalogue.vehicles[job.vehicle]
        told = (job.id, job.title, job.customer, job.complaint, job.history, vehicle.name, vehicle.about)
        found[job.id] = Notice(*told, job.mileage_km, job.ambient_C, job.difficulty, job.complains_of)
    return found


class Shelf:
    """The notices at hand, and the catalogue that they are from, taken down when it is first asked for."""

    def __init__(self, notices: dict[str, Notice], fetch: Callable[[], Catalogue]) -> None:
        self.notices = notices
        self._fetch = fetch

    @classmethod
    def of(cls, catalogue: Catalogue) -> Shelf:
        """One with a catalogue that is there already."""
        return cls(notices_of(catalogue), lambda: catalogue)

    @cached_property
    def catalogue(self) -> Catalogue:
        """All that is known."""
        return self._fetch()
