"""The record files that a person named on the command line: files, folders, and names with wildcards."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from scenarios.files.data_error import DataError
from scenarios.language import N_, _

SUFFIX = ".jsonl"
_WILD = frozenset("*?[")
_EXPECTED = N_("records, files that end in .jsonl")


def record_files(named: Iterable[str]) -> list[Path]:
    """Every record named, in the order given, each once; those of a folder by name.

    A folder's own folders are not looked into: records lie flat. Wildcards in a file's name are resolved here, for the
    shell of Windows leaves them as they are. Raises DataError where a name stands for no file.
    """
    found: dict[Path, Path] = {}
    for name in named:
        for path in _files(name):
            found.setdefault(path.resolve(), path)
    return list(found.values())


def _files(name: str) -> list[Path]:
    path = Path(name)
    if path.is_dir():
        return _sorted(name, path, f"*{SUFFIX}", _("there is no record in this folder"))
    if path.is_file():
        return [path]
    if _WILD & set(path.name):
        return _sorted(name, path.parent, path.name, _("no file has such a name"))
    wrong = _("this is no plain file") if path.exists() else _("there is no such file or folder")
    raise DataError(name, 1, 1, wrong, _("a record or a folder of records"))


def _sorted(name: str, folder: Path, pattern: str, wrong: str) -> list[Path]:
    """The files of a folder whose names match. Raises DataError where there is none."""
    found = sorted((path for path in folder.glob(pattern) if path.is_file()), key=lambda path: path.name)
    if not found:
        raise DataError(name, 1, 1, wrong, _(_EXPECTED))
    return found
