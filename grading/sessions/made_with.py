"""Which catalogue a record was made with, where an instructor's own folders add to the packaged one."""

from __future__ import annotations

from contextlib import suppress
from functools import cache
from itertools import combinations
from pathlib import Path

from grading.sessions.record import Entry
from grading.sessions.versions import catalogue_hash, engine_hash
from scenarios.files import loader
from scenarios.files.data_error import DataError
from scenarios.files.own_folders import drawn_folder, own_folders
from scenarios.language import _, say
from scenarios.model import Catalogue

MOST_FOLDERS = 5
"""Folders in use of which every selection is tried; of more, none and each alone."""


def catalogue_of(catalogue: Catalogue, entries: list[Entry]) -> Catalogue:
    """The catalogue that a record was made with, where some of the folders in use give it; else the one in use.

    catalogue: the one in use, with every folder. A record of a packaged job is so done again as it was made, whatever
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
    """The catalogue in use, with a job that was drawn by its number where it is not in it. Raises DataError."""
    folder = drawn_folder(job)
    if job in catalogue.jobs or not job.startswith("draw-") or not folder.is_dir():
        return catalogue
    return _catalogue_with((*own_folders(), folder))


@cache
def _catalogue_with(folders: tuple[Path, ...]) -> Catalogue:
    return loader.load_catalogue(*folders)


def only_catalogue_differs(catalogue: Catalogue, entries: list[Entry]) -> bool:
    """Whether this program made a record, with other own folders, or with these as they were then."""
    first = entries[0].data
    return first["engine"] == engine_hash() and first["catalogue"] != catalogue_hash(catalogue)


def unknown_job(name: str, path: Path) -> DataError:
    """The error of a record whose job is not in the catalogue in use."""
    wrong = say("this record is of job '{name}', which is neither packaged nor in an own folder given", name=name)
    return DataError(str(path), 1, 1, wrong, _("its folder, given by --with"))
