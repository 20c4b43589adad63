"""Checks folders of data files for errors, from the files alone and without simulation."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from scenarios.authoring.effects import effect_errors
from scenarios.authoring.equipment import equipment_errors
from scenarios.files.cross_references import HEALTHY
from scenarios.files.data_error import DataError, quoted
from scenarios.files.entry import Entry
from scenarios.files.layout import KINDS
from scenarios.files.loader import LoadedFolders, packaged_folder, read_folders
from scenarios.language import _, plural, say
from scenarios.model import Catalogue

SHOWN = 50
"""Most errors that are listed; further ones are counted."""
MOST = 500
"""Number of errors at which reading stops."""


@dataclass(frozen=True)
class Findings:
    """Result of a check of some folders.

    errors: by file, line and column; counts: kind (`faults`) to the number of entries in the folders, without the
    entry that stands for no fault; stopped: whether reading stopped at MOST errors.
    """

    errors: tuple[DataError, ...]
    counts: dict[str, int]
    stopped: bool = False

    def lines(self) -> list[str]:
        """The result as text: the first SHOWN errors and the number of others, or that there are none."""
        if not self.errors:
            return [say("{counts}: nothing wrong", counts=self._counted())]
        lines = [str(error) for error in self.errors[:SHOWN]]
        if (more := len(self.errors) - SHOWN) > 0:
            lines.append(say("and at least {n} more", n=more) if self.stopped else say("and {n} more", n=more))
        return lines

    def _counted(self) -> str:
        jobs, faults, checks = (self.counts[kind] for kind in ("jobs", "faults", "checks"))
        repairs, cautions, vehicles = (self.counts[kind] for kind in ("repairs", "cautions", "vehicles"))
        counts = (
            plural(jobs, "{n} job", "{n} jobs"),
            plural(faults, "{n} fault", "{n} faults"),
            plural(checks, "{n} check", "{n} checks"),
            plural(repairs, "{n} repair", "{n} repairs"),
            plural(cautions, "{n} caution", "{n} cautions"),
            plural(vehicles, "{n} vehicle", "{n} vehicles"),
        )
        return ", ".join(counts)


def check_folders(folders: Sequence[Path], alone: bool = False) -> Findings:
    """Check folders, or zip files of folders, that add to the packaged catalogue and to each other.

    alone: they form a catalogue of their own, as the packaged folder always does.
    """
    packaged = packaged_folder()
    if not folders or (isinstance(packaged, Path) and packaged.resolve() in [folder.resolve() for folder in folders]):
        alone = True
    roots = [*folders] if folders else [packaged]
    try:
        read = read_folders(roots if alone else [packaged, *roots], check_physics=True, most=MOST)
    except DataError as error:
        return Findings(_sorted(error.errors), dict.fromkeys(KINDS, 0), stopped=True)
    errors = [*read.problems.errors, *_errors_of_sound_entries(read)]
    counts = {kind: len(by_id) - (0 if alone else read.in_first[kind]) for kind, by_id in read.things.items()}
    counts["faults"] -= alone and HEALTHY in read.things["faults"]
    return Findings(_sorted(errors), counts)


def _sorted(errors: Iterable[DataError]) -> tuple[DataError, ...]:
    return tuple(sorted(errors, key=lambda error: (error.file, error.line, error.column)))


def _errors_of_sound_entries(read: LoadedFolders) -> Iterator[DataError]:
    """Further errors of entries that load without error."""
    catalogue = Catalogue(**read.things)
    for kind, name in read.sound:
        entry = read.entries[kind][name]
        if kind == "vehicles":
            yield from equipment_errors(catalogue, catalogue.vehicles[name], entry)
        elif kind == "faults":
            yield from effect_errors(catalogue, catalogue.faults[name], entry)
        if kind in ("faults", "checks", "repairs", "cautions"):
            yield from _required_and_excluded(read.things[kind][name].requires, entry)


def _required_and_excluded(requires: frozenset[str], entry: Entry) -> Iterator[DataError]:
    for node in entry.listed("excludes"):
        if node.value in requires:
            wrong = say("{name}, which is required too", name=quoted(str(node.value)))
            yield node.error(wrong, _("equipment that is either required or excluded"))
