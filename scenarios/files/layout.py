"""Layout of a catalogue folder: which files are read, and which look as if they were meant to be."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from scenarios.files.data_error import DataError, Place, Problems, nearest, quoted
from scenarios.language import _, say

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from scenarios.files.packed import Tree

KINDS = ("vehicles", "faults", "checks", "repairs", "cautions", "jobs")
"""Names of the folders that are read."""
SUFFIXES = (".yaml", ".yml")

MOST_FILES = 2000
"""Files that a folder may hold."""

_LOOKS_LIKE_YAML = re.compile(r"[^.].*\.ya?ml\b.*", re.IGNORECASE)
_SET_ASIDE = ("~", ".bak", ".orig", ".tmp", ".swp")
"""Endings of backup and temporary files."""
_MOST_LOOKED_AT = 2000
"""Most files and folders examined in a folder that is not read."""


class File(NamedTuple):
    """A file to read, and the kind of its entries (`faults`)."""

    kind: str
    file: Tree | Traversable


def files_of(folder: Tree | Traversable, problems: Problems) -> Iterator[File]:
    """The files of a folder to read, by name; an error is collected for each file that would silently be ignored."""
    if not folder.is_dir():
        problems.add(Place(str(folder), 1, 1).error(_("no such folder"), _("a folder of catalogue files")))
        return
    children = _sorted(folder, problems)
    before, found, count = len(problems.errors), False, 0
    for child in children:
        if child.name in KINDS and child.is_dir():
            found = True
            if _stays_inside(child, folder, problems):
                for file in _sorted(child, problems):
                    if _is_read(file, problems) and _stays_inside(file, folder, problems):
                        count += 1
                        if count > MOST_FILES:
                            problem = say("more than {most} files", most=MOST_FILES)
                            problems.add(
                                Place(str(folder), 1, 1).error(problem, _("fewer; a file may hold many entries"))
                            )
                            return
                        yield File(child.name, file)
        elif (error := _wrong_place(child)) is not None:
            problems.add(error)
    if not found and len(problems.errors) == before:
        wrong = _("none of the folders of a catalogue in it")
        problems.add(Place(str(folder), 1, 1).error(wrong, say("one or more of {folders}", folders=", ".join(KINDS))))


def _sorted(folder: Tree | Traversable, problems: Problems) -> list[Tree | Traversable]:
    try:
        return sorted(folder.iterdir(), key=lambda child: child.name)
    except OSError as error:
        wrong = say("the folder cannot be read ({reason})", reason=error.strerror)
        problems.add(Place(str(folder), 1, 1).error(wrong, _("a folder of catalogue files")))
        return []


def _looks_like_yaml(name: str) -> bool:
    return _LOOKS_LIKE_YAML.fullmatch(name) is not None and not name.endswith(_SET_ASIDE)


def _is_read(file: Tree | Traversable, problems: Problems) -> bool:
    """Whether a file in a folder of KINDS is read."""
    place, hidden = Place(str(file), 1, 1), file.name.startswith(".")
    if file.is_dir():
        if not hidden:
            wrong = say("the folder {name}, which is not read", name=quoted(file.name))
            problems.add(place.error(wrong, _("its files one folder higher")))
        return False
    if not hidden and file.name.endswith(SUFFIXES):
        return True
    if _looks_like_yaml(file.name):
        wrong = say("the file {name}, which is not read", name=quoted(file.name))
        problems.add(place.error(wrong, say("a name that ends in {suffix}", suffix=SUFFIXES[0])))
    return False


def _wrong_place(child: Tree | Traversable) -> DataError | None:
    """The error of a child of a catalogue folder that is not read, if it looks meant to be."""
    if child.name.startswith("."):
        return None
    place, folders = Place(str(child), 1, 1), ", ".join(KINDS)
    if not child.is_dir():
        if child.name in KINDS:
            return place.error(_("a file"), _("a folder"))
        if _looks_like_yaml(child.name):
            return place.error(_("a file beside the folders"), say("one in {folders}", folders=folders))
        return None
    if (near := nearest(child.name, KINDS)) is not None:
        wrong = say("an unknown folder {name}", name=quoted(child.name))
        return place.error(wrong, say("{name}, if that is meant", name=quoted(near)))
    if _holds_yaml(child):
        wrong = say("YAML files in the folder {name}, which is not read", name=quoted(child.name))
        return place.error(wrong, say("them in {folders}", folders=folders))
    return None


def _holds_yaml(folder: Tree | Traversable) -> bool:
    """Whether a YAML file is found below a folder within _MOST_LOOKED_AT files; links are not followed."""
    waiting, looked_at = [folder], 0
    while waiting and looked_at < _MOST_LOOKED_AT:
        for child in _sorted(waiting.pop(), Problems()):
            looked_at += 1
            if child.is_dir():
                if not child.name.startswith(".") and not (isinstance(child, Path) and child.is_symlink()):
                    waiting.append(child)
            elif _looks_like_yaml(child.name):
                return True
    return False


def _stays_inside(file: Tree | Traversable, folder: Tree | Traversable, problems: Problems) -> bool:
    """Whether a file is really inside the folder, and not a link to elsewhere."""
    if not isinstance(file, Path) or not isinstance(folder, Path):
        return True
    try:
        if file.resolve(strict=True).is_relative_to(folder.resolve()):
            return True
        wrong = _("a link that leaves the folder")
    except (OSError, RuntimeError):  # the latter: a loop, before Python 3.13
        wrong = _("a link that leads nowhere")
    problems.add(Place(str(file), 1, 1).error(wrong, _("the file itself")))
    return False
