"""The catalogue from its YAML files: those of the package, and folders of an instructor's own."""

from collections.abc import Callable, Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from scenarios.files import read_model, strict_yaml
from scenarios.files.cross_references import check_fits, check_names, names_of, names_of_physics
from scenarios.files.data_error import Place, nearest, quoted
from scenarios.files.data_node import Node
from scenarios.files.entry import Entry, Reading
from scenarios.language import _, say
from scenarios.model import PLACES, SYSTEMS, Catalogue

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

SUFFIXES = (".yaml", ".yml")


def load_catalogue(*extra_folders: Path, check_physics: bool | None = None) -> Catalogue:
    """The packaged catalogue, and whatever folders of the same layout add to it.

    A folder holds ``vehicles``, ``faults``, ``checks``, ``repairs``, ``cautions`` and ``jobs``, each with YAML files of
    one entry (a mapping) or several (a list); any of them may be left out. All that is wrong is raised together, as a
    DataError or DataErrors.

    check_physics: whether the names of quantities, instruments and operations are looked up too, which imports the
    compiled physics; None does so only where there are extra folders, for the packaged files are checked by tests.
    """
    reading = Reading()
    things: Things = {kind: {} for kind in READERS}
    entries: dict[str, dict[str, Entry]] = {kind: {} for kind in READERS}
    whole = True  # whether every id is known, without which a reference cannot be called unknown
    for kind, node in _nodes([files("scenarios").joinpath("data"), *extra_folders], reading):
        kept = False
        with reading.problems:
            entry = Entry(node, reading)
            kept = _keep(READERS[kind](entry), entry, kind, things, entries)
            entry.done()
        whole = whole and kept
    if whole and reading.all_parsed:
        names = names_of(things)
        if check_physics or (check_physics is None and extra_folders):
            names |= names_of_physics()
        check_names(reading.references, names, reading.problems)
    _finish(reading)
    catalogue = Catalogue(**_in_order(things))
    check_fits(catalogue, entries)
    _finish(reading)
    return catalogue


def _finish(reading: Reading) -> None:
    reading.problems.errors.sort(key=lambda error: (error.file, error.line, error.column))
    reading.problems.finish()


def _keep(thing: Any, entry: Entry, kind: str, things: Things, entries: dict[str, dict[str, Entry]]) -> bool:
    """Put a thing with the others of its kind, unless its id is taken; false where it has none."""
    first = entries[kind].get(thing.id)
    if first is None:
        things[kind][thing.id], entries[kind][thing.id] = thing, entry
    elif thing.id:
        file, line, column = (first.value("id") or first.node).place
        wrong = say(
            "the id {id} in {kind} again, first at {place}",
            id=quoted(thing.id),
            kind=kind,
            place=f"{file}:{line}:{column}",
        )
        entry.problem("id", wrong, _("each id once"))
    return bool(thing.id)


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


def _nodes(folders: list[Traversable | Path], reading: Reading) -> Iterator[tuple[str, Node]]:
    """Kind and node of every entry in the files of some folders, by name."""
    for folder in folders:
        if not folder.is_dir():
            reading.problems.add(Place(str(folder), 1, 1).error(_("no such folder"), _("a folder of catalogue files")))
            continue
        children = sorted(folder.iterdir(), key=lambda child: child.name)
        for child in children:
            with reading.problems:
                _right_place(child)
            if child.name in READERS and child.is_dir():
                for file in sorted(child.iterdir(), key=lambda file: file.name):
                    if file.name.endswith(SUFFIXES):
                        nodes: list[Node] = []
                        with reading.problems:
                            nodes = _entry_nodes(file)
                        reading.all_parsed &= bool(nodes)
                        for node in nodes:
                            yield child.name, node


def _right_place(child: Traversable) -> None:
    """Complains of what looks like a slip and would silently be left out."""
    if child.name in READERS:
        return
    near = nearest(child.name, READERS)
    if child.is_dir() and near:
        raise Place(str(child), 1, 1).error(
            say("an unknown folder {name}", name=quoted(child.name)), say("{name}, if that is meant", name=quoted(near))
        )
    if not child.is_dir() and child.name.endswith(SUFFIXES):
        raise Place(str(child), 1, 1).error(
            _("a file beside the folders"), say("one in {folders}", folders=", ".join(READERS))
        )


def _entry_nodes(file: Traversable) -> list[Node]:
    """The entries of a file: of a list its items, else the root itself."""
    if isinstance(file, Path):
        root = strict_yaml.load(file)
    else:
        root = strict_yaml.read(file.read_bytes(), str(file))
    return root.items(least=1) if isinstance(root.value, list) else [root]
