"""All that is wrong with folders of data files, told at once and from the files alone: nothing is simulated."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from scenarios.authoring.effects import wrong_with_effects
from scenarios.authoring.equipment import wrong_with_equipment
from scenarios.files.cross_references import HEALTHY
from scenarios.files.data_error import DataError, quoted
from scenarios.files.entry import Entry
from scenarios.files.layout import KINDS
from scenarios.files.loader import Read, packaged_folder, read_folders
from scenarios.language import _, plural, say
from scenarios.model import Catalogue, Fault

SHOWN = 50
"""Errors that are told; the others are counted."""
MOST = 500
"""Errors after which reading stops: files with more are no near miss."""


@dataclass(frozen=True)
class Findings:
    """What was found in some folders.

    errors: by file, line and column; counts: kind (`faults`) to how many entries the folders hold, the fault that is
    none left out; stopped: whether
    reading was stopped at MOST errors.
    """

    errors: tuple[DataError, ...]
    counts: dict[str, int]
    stopped: bool = False

    def lines(self) -> list[str]:
        """In words: every error up to SHOWN and how many more, or that there is none."""
        if not self.errors:
            return [say("{counts}: nothing wrong", counts=self._counted())]
        told = [str(error) for error in self.errors[:SHOWN]]
        if (more := len(self.errors) - SHOWN) > 0:
            told.append(say("and at least {n} more", n=more) if self.stopped else say("and {n} more", n=more))
        return told

    def _counted(self) -> str:
        jobs, faults, checks = (self.counts[kind] for kind in ("jobs", "faults", "checks"))
        repairs, cautions, vehicles = (self.counts[kind] for kind in ("repairs", "cautions", "vehicles"))
        told = (
            plural(jobs, "{n} job", "{n} jobs"),
            plural(faults, "{n} fault", "{n} faults"),
            plural(checks, "{n} check", "{n} checks"),
            plural(repairs, "{n} repair", "{n} repairs"),
            plural(cautions, "{n} caution", "{n} cautions"),
            plural(vehicles, "{n} vehicle", "{n} vehicles"),
        )
        return ", ".join(told)


def check_folders(folders: Sequence[Path], alone: bool = False) -> Findings:
    """Look over folders, or zip files of folders, that add to the packaged catalogue and to each other.

    alone: they do not add to the packaged catalogue, but are all there is; so the packaged folder is always looked at.
    """
    packaged = packaged_folder()
    if not folders or (isinstance(packaged, Path) and packaged.resolve() in [folder.resolve() for folder in folders]):
        alone = True
    roots = [*folders] if folders else [packaged]
    try:
        read = read_folders(roots if alone else [packaged, *roots], check_physics=True, most=MOST)
    except DataError as error:
        return Findings(_sorted(error.errors), dict.fromkeys(KINDS, 0), stopped=True)
    errors = [*read.problems.errors, *_wrong_with(read)]
    counts = {kind: len(by_id) - (0 if alone else read.in_first[kind]) for kind, by_id in read.things.items()}
    counts["faults"] -= alone and HEALTHY in read.things["faults"]
    return Findings(_sorted(errors), counts)


def _sorted(errors: Iterable[DataError]) -> tuple[DataError, ...]:
    return tuple(sorted(errors, key=lambda error: (error.file, error.line, error.column)))


def _wrong_with(read: Read) -> Iterator[DataError]:
    """What is wrong with sound entries beyond what keeps them from loading."""
    catalogue = Catalogue(**read.things)
    for kind, name in read.sound:
        entry = read.entries[kind][name]
        if kind == "vehicles":
            yield from wrong_with_equipment(catalogue, catalogue.vehicles[name], entry)
        elif kind == "faults":
            yield from wrong_with_effects(catalogue, catalogue.faults[name], entry)
            yield from _wants_what_it_excludes(catalogue.faults[name], entry)


def _wants_what_it_excludes(fault: Fault, entry: Entry) -> Iterator[DataError]:
    for node in entry.listed("excludes"):
        if node.value in fault.requires:
            wrong = say("{name}, which is required too", name=quoted(str(node.value)))
            yield node.error(wrong, _("equipment that is either required or excluded"))
