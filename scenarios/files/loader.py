"""Loads the catalogue from YAML files: the packaged ones and an instructor's own folders."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scenarios.files import read_model, strict_yaml
from scenarios.files.cross_references import check_fits, check_names, names_of, names_of_physics
from scenarios.files.data_error import Problems, quoted
from scenarios.files.data_node import Node
from scenarios.files.entry import Entry, LoadContext, Reference
from scenarios.files.layout import KINDS, File, files_of
from scenarios.files.packed import read_pack
from scenarios.language import _, say
from scenarios.model import PLACES, SYSTEMS, Catalogue

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from scenarios.files.packed import Tree

READERS: dict[str, Callable[[Entry], Any]] = {
    "vehicles": read_model.vehicle,
    "faults": read_model.fault,
    "checks": read_model.check,
    "repairs": read_model.repair,
    "cautions": read_model.caution,
    "jobs": read_model.job,
}
"""Folder to the function that makes an object of an entry in it."""

Things = dict[str, dict[str, Any]]
"""Kind (`faults`) to id to object."""

_ID = re.compile(rb"^[ \t]*(?:-[ \t]+)?id:\s*[^a-z\s]?([a-z][a-z0-9-]*)", re.MULTILINE)


def packaged_folder() -> Traversable:
    """The folder of the packaged catalogue."""
    return files("scenarios").joinpath("data")


def load_catalogue(*extra_folders: Path, check_physics: bool | None = None) -> Catalogue:
    """The packaged catalogue and what folders of the same layout add to it.

    A folder, or a zip file made of one (``scenarios.files.packed``), holds ``vehicles``, ``faults``, ``checks``,
    ``repairs``, ``cautions`` and ``jobs``, each with YAML files of one entry (a mapping) or several (a list); any of
    them may be missing. All errors are raised together, as a DataError or DataErrors.

    check_physics: whether names of quantities, instruments and operations are checked too, which imports the compiled
    physics; None checks them only if there are extra folders, as tests check the packaged files.
    """
    loaded = read_folders(
        [packaged_folder(), *extra_folders], bool(extra_folders) if check_physics is None else check_physics
    )
    return loaded.catalogue()


@dataclass
class LoadedFolders:
    """Contents of some folders: objects, the entries they were read from, and errors.

    things, entries: by kind and id; context: errors and references; in_first: kind to number of objects in the first
    folder; sound: kind and id of each object whose entry has no error, with the names it refers to; unread: kind to ids
    found in files that could not be parsed, None if no id could be found.
    """

    things: Things = field(default_factory=lambda: {kind: {} for kind in KINDS})
    entries: dict[str, dict[str, Entry]] = field(default_factory=lambda: {kind: {} for kind in KINDS})
    context: LoadContext = field(default_factory=LoadContext)
    in_first: dict[str, int] = field(default_factory=dict)
    sound: dict[tuple[str, str], list[Reference]] = field(default_factory=dict)
    unread: dict[str, set[str] | None] = field(default_factory=dict)

    @property
    def problems(self) -> Problems:
        """Errors by file, line and column."""
        return self.context.problems

    def catalogue(self) -> Catalogue:
        """The catalogue in its order. Raises all errors together."""
        self.problems.finish()
        return Catalogue(**_in_order(self.things))

    def whole(self, kind: str) -> bool:
        """Whether all objects of a kind are known and without errors."""
        return kind not in self.unread and all((kind, name) in self.sound for name in self.things[kind])

    def note_unread(self, kind: str, ids: set[str]) -> None:
        """Note the ids found in a file that could not be parsed."""
        before = self.unread.get(kind, set())
        self.unread[kind] = before | ids if ids and before is not None else None


def read_folders(folders: Sequence[Tree | Traversable], check_physics: bool, most: int = 50) -> LoadedFolders:
    """Read folders, or zip files of folders, and collect all errors in ``problems``.

    check_physics: as in ``load_catalogue``; most: number of errors at which reading stops and raises them.
    """
    loaded = LoadedFolders()
    loaded.problems.most = most
    for folder in folders:
        with loaded.problems:
            root = read_pack(folder) if isinstance(folder, Path) and folder.is_file() else folder
            for file in files_of(root, loaded.problems):
                _read_file(file, loaded)
        loaded.in_first = loaded.in_first or {kind: len(by_id) for kind, by_id in loaded.things.items()}
    known = _known(loaded)
    if check_physics:
        known |= names_of_physics()
    unknown = {id(reference.node) for reference in check_names(loaded.context.references, known, loaded.problems)}
    for key, references in list(loaded.sound.items()):
        if any(id(reference.node) in unknown for reference in references):
            del loaded.sound[key]
    entries = {kind: _only(loaded.sound, kind, by_id) for kind, by_id in loaded.entries.items()}
    sound = Catalogue(**{kind: _only(loaded.sound, kind, by_id) for kind, by_id in loaded.things.items()})
    check_fits(sound, entries, loaded.whole("vehicles") and loaded.whole("repairs"))
    loaded.problems.errors.sort(key=lambda error: (error.file, error.line, error.column))
    return loaded


def _only(sound: Collection[tuple[str, str]], kind: str, by_id: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in by_id.items() if (kind, name) in sound}


def _read_file(file: File, folders: LoadedFolders) -> None:
    """Read the entries of a file; note the ids in a file that cannot be parsed."""
    nodes: list[Node] = []
    with folders.problems:
        nodes = _entry_nodes(file.file)
    if not nodes:
        folders.note_unread(file.kind, _ids_in(file.file))
    for node in nodes:
        with folders.problems:
            _read_entry(file.kind, Entry(node, folders.context), folders)


def _read_entry(kind: str, entry: Entry, folders: LoadedFolders) -> None:
    errors, references = len(folders.problems.errors), len(folders.context.references)
    thing = READERS[kind](entry)
    first = folders.entries[kind].get(thing.id)
    if not thing.id:
        stands = entry.value("id")
        folders.note_unread(kind, {str(stands.value)} if stands is not None else set())
    elif first is None:
        folders.things[kind][thing.id], folders.entries[kind][thing.id] = thing, entry
    else:
        file, line, column = (first.value("id") or first.node).place
        values = {"id": quoted(thing.id), "kind": kind, "place": f"{file}:{line}:{column}"}
        entry.problem("id", say("the id {id} in {kind} again, first at {place}", **values), _("each id once"))
    entry.done()
    if thing.id and len(folders.problems.errors) == errors:
        folders.sound[kind, thing.id] = folders.context.references[references:]


def _known(folders: LoadedFolders) -> dict[str, Collection[str]]:
    """Known names by kind of reference, without kinds of which an unread file may hold more."""
    known = names_of(folders.things)
    for kind, ids in folders.unread.items():
        names = [kind.removesuffix("s")]
        if kind in ("repairs", "checks"):
            names.append("repair or working check")
        for name in names:
            if ids is None:
                known.pop(name, None)
            elif name in known:
                known[name] = {*known[name], *ids}
    if "vehicles" in folders.unread:
        known.pop("equipment")
    return known


def _ids_in(file: Tree | Traversable) -> set[str]:
    """Ids found by line in a file that cannot be parsed."""
    try:
        data = file.read_bytes() if not isinstance(file, Path) else _beginning(file)
    except OSError:
        return set()
    return {found[1].decode() for found in _ID.finditer(data[: strict_yaml.MAX_BYTES])}


def _beginning(file: Path) -> bytes:
    if not file.is_file():  # a pipe could go on for ever
        return b""
    with file.open("rb") as stream:
        return stream.read(strict_yaml.MAX_BYTES)


def _in_order(things: Things) -> Things:
    """Objects sorted by id, independent of their files: beliefs depend on the order of faults and checks.

    Checks are sorted by place first and faults by system, as the screens group them.
    """
    group = {
        "checks": lambda check: PLACES.index(check.place),
        "faults": lambda fault: SYSTEMS.index(fault.system),
    }
    return {
        kind: {
            thing.id: thing
            for thing in sorted(
                known.values(), key=lambda thing: (group[kind](thing) if kind in group else 0, thing.id)
            )
        }
        for kind, known in things.items()
    }


def _entry_nodes(file: Tree | Traversable) -> list[Node]:
    """The entries of a file: of a list its items, else the root itself."""
    if isinstance(file, Path):
        root = strict_yaml.load(file)
    else:
        root = strict_yaml.read(file.read_bytes(), str(file))
    return root.items(least=1) if isinstance(root.value, list) else [root]
