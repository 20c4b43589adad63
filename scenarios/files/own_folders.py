"""An instructor's own folders, which add to the packaged catalogue.

They are named in an environment variable, so that child processes use the same folders.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from scenarios.language import say
from scenarios.wrong_use import WrongUse

if TYPE_CHECKING:  # else only once it is loaded
    from scenarios.model import Catalogue

VARIABLE = "LUKEWARM_WITH"
"""Environment variable: folders and zip files of folders, separated by ``os.pathsep``."""


def own_folders() -> tuple[Path, ...]:
    """The folders in use, each once, in the given order."""
    named = os.environ.get(VARIABLE, "").split(os.pathsep)
    return tuple(dict.fromkeys(Path(os.path.abspath(name)) for name in named if name.strip()))  # noqa: PTH100


@contextmanager
def use_folders(named: Sequence[str]) -> Iterator[None]:
    """Use further folders within the block and in processes started there. Raises WrongUse for an unusable path."""
    for name in named:
        if not name.strip() or os.pathsep in name:
            values = {"name": repr(name), "mark": repr(os.pathsep)}
            raise WrongUse(
                say("--with {name}, expected the path of a folder or zip file, without {mark} in it", **values)
            )
    before = os.environ.get(VARIABLE)
    if named:
        os.environ[VARIABLE] = os.pathsep.join(map(str, [*own_folders(), *map(os.path.abspath, named)]))
    try:
        yield
    finally:
        if before is None:
            os.environ.pop(VARIABLE, None)
        else:
            os.environ[VARIABLE] = before


def drawn_folder(job: str) -> Path:
    """Where a job that was drawn by its number lies, in the user's data folder as the operating system has it."""
    import platformdirs

    return platformdirs.user_data_path("lukewarm", appauthor=False) / "drawn" / job


def catalogue_in_use() -> Catalogue:
    """The packaged catalogue and what the folders in use add to it. Raises DataError."""
    from scenarios.files import loader

    return loader.load_catalogue(*own_folders())
