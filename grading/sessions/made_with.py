"""Finds the catalogue that a record was made with among combinations of an instructor's own folders."""

from __future__ import annotations

import weakref
from contextlib import suppress
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

from grading.sessions.record import RecordEntry
from grading.sessions.versions import catalogue_hash, engine_hash
from scenarios.files import loader
from scenarios.files.data_error import DataError
from scenarios.files.drawn_jobs import DRAWN, drawn_jobs
from scenarios.files.own_folders import drawn_folder, own_folders
from scenarios.language import _, say
from scenarios.model import Catalogue

MOST_FOLDERS = 5
"""Most folders of which every combination is tried; of more, only none and each alone."""


def catalogue_of(catalogue: Catalogue, entries: list[RecordEntry]) -> Catalogue:
    """The catalogue with the hash in a record, from a combination of the folders in use; otherwise the one in use.

    catalogue: the one in use, with all folders. A record of a packaged job can so be replayed as it was made, whatever
    folders an assessor uses for other records.
    """
    first = entries[0].data
    if first["engine"] != engine_hash() or first["catalogue"] == catalogue_hash(catalogue):
        return catalogue
    folders = own_folders()
    counts = range(len(folders)) if len(folders) <= MOST_FOLDERS else (0, 1)
    for count in counts:
        for some in combinations(folders, count):
            with suppress(DataError):  # one may build on another
                other = _catalogue_with(some)
                if catalogue_hash(other) == first["catalogue"]:
                    return other
    return catalogue


def with_drawn(catalogue: Catalogue, job: str) -> Catalogue:
    """The catalogue in use, with a job that was drawn by its number where it is not in it. Raises DataError.

    It is the same object each time, and equal to what loading all folders anew gives.
    """
    folder = drawn_folder(job)
    if job in catalogue.jobs or not job.startswith(DRAWN) or not folder.is_dir():
        return catalogue
    drawn = drawn_jobs(catalogue, [job]).get(job)
    if drawn is None:  # what is wrong with it is told by whoever loads it
        return _catalogue_with((*own_folders(), folder))
    known = _with_drawn.get((id(catalogue), job))
    if known is None or known[0]() is not catalogue or known[1].jobs[job] is not drawn:
        jobs = dict(sorted({**catalogue.jobs, job: drawn}.items()))
        known = _with_drawn[id(catalogue), job] = weakref.ref(catalogue), replace(catalogue, jobs=jobs)
    return known[1]


_with_drawn: dict[tuple[int, str], tuple[weakref.ref[Catalogue], Catalogue]] = {}


@cache
def _catalogue_with(folders: tuple[Path, ...]) -> Catalogue:
    return loader.load_catalogue(*folders)


def only_catalogue_differs(catalogue: Catalogue, entries: list[RecordEntry]) -> bool:
    """Whether this program made a record with another catalogue: other own folders, or other contents."""
    first = entries[0].data
    return first["engine"] == engine_hash() and first["catalogue"] != catalogue_hash(catalogue)


def unknown_job(name: str, path: Path) -> DataError:
    """The error of a record whose job is not in the catalogue in use."""
    wrong = say("this record is of job '{name}', which is neither packaged nor in an own folder given", name=name)
    return DataError(str(path), 1, 1, wrong, _("its folder, given by --with"))
