"""Creates a small folder to start from: one job, one fault and one check, with comments."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from scenarios.language import ENGLISH, say
from scenarios.wrong_use import WrongUse

JOB = "orchard-lane"
"""Id of the job in that folder."""


def new_folder(folder: Path, language: str) -> list[Path]:
    """Write the folder, which must be new or empty; return its files.

    language: of comments and texts, English if there is no version in it. Raises WrongUse if the folder is not empty,
    OSError if it cannot be written.
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
