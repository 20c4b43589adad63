"""The jobs of an instructor's folders, and where their faults stand in the files."""

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
    """where: the list of a job's faults in its file; faults: each of its entries."""

    where: Place
    faults: tuple[Place, ...]

    def of(self, fault: int | None) -> Place:
        """The entry of a fault (index), or the whole list."""
        return self.where if fault is None or fault >= len(self.faults) else self.faults[fault]


def own_jobs(folders: Sequence[Path], others: Sequence[Path]) -> tuple[Catalogue, dict[str, JobPlaces]]:
    """The catalogue with folders or zip files added, and the jobs that they hold: all jobs if no folder is given.

    others: folders that belong to the catalogue too and whose jobs do not count. Raises DataError.
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
