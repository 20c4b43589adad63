"""A small folder to begin with: one job, one fault and one check of it, with comments."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from scenarios.language import ENGLISH, say
from scenarios.wrong_use import WrongUse

JOB = "orchard-lane"
"""Id of the job in it."""


def new_folder(folder: Path, language: str) -> list[Path]:
    """Write the folder, which may be there if nothing is in it; gives its files.

    language: of comments and texts, English where there are none in it. Raises WrongUse where it is not empty, OSError
    where it cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise WrongUse(say("'{folder}' is there already, expected a new or an empty folder", folder=folder))
    starters = files("scenarios").joinpath("authoring", "starter")
    starter = starters.joinpath(language)
    return _copied(starter if starter.is_dir() else starters.joinpath(ENGLISH), folder)


def _copied(source: Traversable, target: Path) -> list[Path]:
    target.mkdir(parents=True, exist_ok=True)
    written = []
    for child in sorted(source.iterdir(), key=lambda child: child.name):
        path = target / child.name
        if child.is_dir():
            if child.name != "__pycache__":
                written += _copied(child, path)
        else:
            path.write_bytes(child.read_bytes().replace(b"\r\n", b"\n"))
            written.append(path)
    return written
