"""The jobs of an instructor's folders, and the places of their faults in the files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from scenarios.files.data_error import Place
from scenarios.files.entry import Entry
from scenarios.files.loader import load_catalogue, packaged_folder, read_folders
from scenarios.model import Catalogue


@dataclass(frozen=True)
class JobPlaces:
    """Places of a job's faults in its file. where: of the list; faults: of each entry in it."""

    where: Place
    faults: tuple[Place, ...]

    def of(self, fault: int | None) -> Place:
        """Place of a fault (index), or of the list if it has no such entry."""
        return self.where if fault is None or fault >= len(self.faults) else self.faults[fault]


def own_jobs(folders: Sequence[Path], others: Sequence[Path]) -> tuple[Catalogue, dict[str, JobPlaces]]:
    """The catalogue with folders or zip files added, and their jobs; all jobs if no folder is given.

    others: further folders of the catalogue, whose jobs are not included. Raises DataError.
    """
    packaged = packaged_folder()
    added = [folder for folder in folders if not isinstance(packaged, Path) or folder.resolve() != packaged.resolve()]
    beside = [other for other in others if other.resolve() not in {folder.resolve() for folder in added}]
    known = set(load_catalogue(*beside).jobs) if folders and len(added) == len(folders) else set[str]()
    read = read_folders([packaged, *beside, *added], check_physics=True)
    catalogue, entries = read.catalogue(), read.entries["jobs"]
    return catalogue, {name: _places(entries[name]) for name in catalogue.jobs if name not in known}


def _places(entry: Entry) -> JobPlaces:
    faults = entry.value("faults") or entry.node
    return JobPlaces(faults.place, tuple(node.place for node in entry.listed("faults")))
