"""The catalogue from its YAML files: those of the package, and folders of an instructor's own."""

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
from scenarios.files.entry import Entry, Reading, Reference
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
"""Folder to what makes one thing of an entry in it."""

Things = dict[str, dict[str, Any]]
"""Kind (`faults`) to id to the thing itself."""

_ID = re.compile(rb"^[ \t]*(?:-[ \t]+)?id:\s*[^a-z\s]?([a-z][a-z0-9-]*)", re.MULTILINE)


def packaged_folder() -> Traversable:
    """The folder of what comes with the program."""
    return files("scenarios").joinpath("data")


def load_catalogue(*extra_folders: Path, check_physics: bool | None = None) -> Catalogue:
    """The packaged catalogue, and whatever folders of the same layout add to it.

    A folder, or a zip file made of one (``scenarios.files.packed``), holds ``vehicles``, ``faults``, ``checks``,
    ``repairs``, ``cautions`` and ``jobs``, each with YAML files of one entry (a mapping) or several (a list); any of
    them may be left out. All that is wrong is raised together, as a DataError or DataErrors.

    check_physics: whether the names of quantities, instruments and operations are looked up too, which imports the
    compiled physics; None does so only where there are extra folders, for the packaged files are checked by tests.
    """
    read = read_folders(
        [packaged_folder(), *extra_folders], bool(extra_folders) if check_physics is None else check_physics
    )
    return read.catalogue()


@dataclass
class Read:
    """What folders hold: things and the entries they were read from, by kind and id, and all that is wrong.

    in_first: kind to how many things the first folder holds; sound: kind and id of each thing with whose entry nothing
    is wrong, and the names it refers to; unread: kind to ids that stand in what could not be read, None where no id
    could be made out.
    """

    things: Things = field(default_factory=lambda: {kind: {} for kind in KINDS})
    entries: dict[str, dict[str, Entry]] = field(default_factory=lambda: {kind: {} for kind in KINDS})
    reading: Reading = field(default_factory=Reading)
    in_first: dict[str, int] = field(default_factory=dict)
    sound: dict[tuple[str, str], list[Reference]] = field(default_factory=dict)
    unread: dict[str, set[str] | None] = field(default_factory=dict)

    @property
    def problems(self) -> Problems:
        """What is wrong, by file, line and column."""
        return self.reading.problems

    def catalogue(self) -> Catalogue:
        """What was read, in its order. Raises all that is wrong with it."""
        self.problems.finish()
        return Catalogue(**_in_order(self.things))

    def whole(self, kind: str) -> bool:
        """Whether every thing of a kind is known, and nothing is wrong with any."""
        return kind not in self.unread and all((kind, name) in self.sound for name in self.things[kind])

    def could_not_read(self, kind: str, ids: set[str]) -> None:
        """Note the ids that stand in what could not be read."""
        before = self.unread.get(kind, set())
        self.unread[kind] = before | ids if ids and before is not None else None


def read_folders(folders: Sequence[Tree | Traversable], check_physics: bool, most: int = 50) -> Read:
    """Read folders, and zip files made of folders, to their end; whatever is wrong is kept in ``problems``.

    check_physics: as in ``load_catalogue``; most: errors after which reading stops and raises them.
    """
    read = Read()
    read.problems.most = most
    for folder in folders:
        with read.problems:
            root = read_pack(folder) if isinstance(folder, Path) and folder.is_file() else folder
            for file in files_of(root, read.problems):
                _read_file(file, read)
        read.in_first = read.in_first or {kind: len(by_id) for kind, by_id in read.things.items()}
    known = _known(read)
    if check_physics:
        known |= names_of_physics()
    unknown = {id(reference.node) for reference in check_names(read.reading.references, known, read.problems)}
    for key, references in list(read.sound.items()):
        if any(id(reference.node) in unknown for reference in references):
            del read.sound[key]
    entries = {kind: _only(read.sound, kind, by_id) for kind, by_id in read.entries.items()}
    sound = Catalogue(**{kind: _only(read.sound, kind, by_id) for kind, by_id in read.things.items()})
    check_fits(sound, entries, read.whole("vehicles") and read.whole("repairs"))
    read.problems.errors.sort(key=lambda error: (error.file, error.line, error.column))
    return read


def _only(sound: Collection[tuple[str, str]], kind: str, by_id: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in by_id.items() if (kind, name) in sound}


def _read_file(file: File, read: Read) -> None:
    """Read the entries of a file; where it cannot be parsed, note what ids stand in it."""
    nodes: list[Node] = []
    with read.problems:
        nodes = _entry_nodes(file.file)
    if not nodes:
        read.could_not_read(file.kind, _ids_in(file.file))
    for node in nodes:
        with read.problems:
            _read_entry(file.kind, Entry(node, read.reading), read)


def _read_entry(kind: str, entry: Entry, read: Read) -> None:
    errors, references = len(read.problems.errors), len(read.reading.references)
    thing = READERS[kind](entry)
    first = read.entries[kind].get(thing.id)
    if not thing.id:
        stands = entry.value("id")
        read.could_not_read(kind, {str(stands.value)} if stands is not None else set())
    elif first is None:
        read.things[kind][thing.id], read.entries[kind][thing.id] = thing, entry
    else:
        file, line, column = (first.value("id") or first.node).place
        told = {"id": quoted(thing.id), "kind": kind, "place": f"{file}:{line}:{column}"}
        entry.problem("id", say("the id {id} in {kind} again, first at {place}", **told), _("each id once"))
    entry.done()
    if thing.id and len(read.problems.errors) == errors:
        read.sound[kind, thing.id] = read.reading.references[references:]


def _known(read: Read) -> dict[str, Collection[str]]:
    """Kind of reference to the names known of it; a kind of which some may be hidden in unread files is left out."""
    known = names_of(read.things)
    for kind, ids in read.unread.items():
        names = [kind.removesuffix("s")]
        if kind in ("repairs", "checks"):
            names.append("repair or working check")
        for name in names:
            if ids is None:
                known.pop(name, None)
            elif name in known:
                known[name] = {*known[name], *ids}
    if "vehicles" in read.unread:
        known.pop("equipment")
    return known


def _ids_in(file: Tree | Traversable) -> set[str]:
    """Ids that stand in a file that cannot be parsed, as far as its lines show them."""
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
    """The same by id, whatever file they came from: the order of faults and checks counts in a belief.

    Checks stand by place and faults by system first, so that what a screen lists together stands together.
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
