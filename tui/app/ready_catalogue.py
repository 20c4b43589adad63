"""The packaged catalogue, parsed once for each version of its files and then kept ready made in the cache folder.

Parsing and checking takes a tenth of a second, a quarter of the time to the first picture. What the board shows is kept
apart from the rest, which is read once something needs it. Like the compiled laws all is read from the user's own cache
folder, which is trusted as the installed program is.
"""

from __future__ import annotations

import os
import pickle
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

import scenarios
import tui.app.notices
from scenarios.files.own_folders import catalogue_in_use, own_folders
from tui.app.notices import Shelf

if TYPE_CHECKING:  # else only once it is read
    from scenarios.model import Catalogue


def _version() -> str:
    """What it was parsed from: every file of the package and the notices' own, by path, size and time of change."""
    own = os.stat(tui.app.notices.__file__)  # noqa: PTH116  (a Path for each costs more than this)
    told = [sys.version, f"{own.st_size} {own.st_mtime_ns}"]
    for root, folders, names in os.walk(Path(scenarios.__file__).parent):
        folders[:] = sorted(name for name in folders if name not in ("__pycache__", "languages"))
        for name in sorted(names):
            file = os.stat(os.path.join(root, name))  # noqa: PTH116, PTH118
            told.append(f"{root} {name} {file.st_size} {file.st_mtime_ns}")
    return "\n".join(told)


def ready_catalogue() -> Shelf:
    """The packaged catalogue, and what own folders add to it; with these it is read anew at each start.

    Raises DataError where something is wrong with an own folder.
    """
    if own_folders():
        return Shelf.of(catalogue_in_use())
    path = Path(platformdirs.user_cache_dir("lukewarm", appauthor=False)) / "catalogue.pickle"
    version = _version()
    try:
        parsed_from, notices, packed = pickle.loads(path.read_bytes())
        if parsed_from == version:
            return Shelf(notices, lambda: _unpacked(packed))
    except Exception:  # not there yet, or whatever is wrong with it: it is made again
        pass
    shelf = Shelf.of(_parsed())
    _keep(path, version, shelf)
    return shelf


def _parsed() -> Catalogue:
    from scenarios.files.loader import load_catalogue

    return load_catalogue()


def _unpacked(packed: bytes) -> Catalogue:
    try:
        return pickle.loads(packed)
    except Exception:  # whatever is wrong with it
        return _parsed()


def _keep(path: Path, version: str, shelf: Shelf) -> None:
    """Keep it for the next start in place of another version; where it cannot be written it is done without."""
    packed = pickle.dumps(shelf.catalogue, pickle.HIGHEST_PROTOCOL)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        for other in path.parent.glob("catalogue-*.pickle"):  # of versions that named the file by a digest
            other.unlink(missing_ok=True)
        unfinished = path.with_suffix(f".{os.getpid()}")
        unfinished.write_bytes(pickle.dumps((version, shelf.notices, packed), pickle.HIGHEST_PROTOCOL))
        unfinished.replace(path)
    except OSError:
        return
