"""The packaged catalogue, parsed once for each version of its files and then kept ready made in the cache folder.

Parsing and checking takes a tenth of a second, a quarter of the time to the first picture. Like the compiled laws it is
read from the user's own cache folder, which is trusted as the installed program is.
"""

from __future__ import annotations

import os
import pickle
import sys
from pathlib import Path

import platformdirs

import scenarios
from scenarios.model import Catalogue


def _version() -> str:
    """What it was parsed from: every file of the package, by path, size and time of change."""
    told = [sys.version]
    for root, folders, names in os.walk(Path(scenarios.__file__).parent):
        folders[:] = sorted(name for name in folders if name not in ("__pycache__", "languages"))
        for name in sorted(names):
            file = os.stat(os.path.join(root, name))  # noqa: PTH116, PTH118  (a Path for each costs more than this)
            told.append(f"{root} {name} {file.st_size} {file.st_mtime_ns}")
    return "\n".join(told)  # no digest: to load OpenSSL takes longer than to compare


def ready_catalogue() -> Catalogue:
    """The packaged catalogue, as ``scenarios.loader.load_catalogue`` gives it."""
    path = Path(platformdirs.user_cache_dir("lukewarm", appauthor=False)) / "catalogue.pickle"
    version = _version()
    try:
        parsed_from, kept = pickle.loads(path.read_bytes())
        if parsed_from == version and isinstance(kept, Catalogue):
            return kept
    except Exception:  # not there yet, or whatever is wrong with it: it is made again
        pass
    from scenarios.loader import load_catalogue

    catalogue = load_catalogue()
    _keep(path, version, catalogue)
    return catalogue


def _keep(path: Path, version: str, catalogue: Catalogue) -> None:
    """Keep it for the next start in place of another version; where it cannot be written it is done without."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        for other in path.parent.glob("catalogue-*.pickle"):  # of versions that named the file by a digest
            other.unlink(missing_ok=True)
        unfinished = path.with_suffix(f".{os.getpid()}")
        unfinished.write_bytes(pickle.dumps((version, catalogue), pickle.HIGHEST_PROTOCOL))
        unfinished.replace(path)
    except OSError:
        return
