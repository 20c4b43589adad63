"""Packs a folder into a zip file: its catalogue files and nothing else."""

from __future__ import annotations

from pathlib import Path

from scenarios.files.data_error import Problems
from scenarios.files.layout import files_of
from scenarios.files.packed import SUFFIX, write_pack
from scenarios.language import say
from scenarios.wrong_use import WrongUse


def pack_folder(folder: Path, target: Path | None = None) -> tuple[Path, int]:
    """Pack a folder into a zip file for ``--with``; return its path and the number of files in it.

    target: the zip file, beside the folder and named after it if None. Raises WrongUse if the target exists, DataError
    if the folder's layout is wrong, OSError.
    """
    if target is None:
        whole = folder.resolve()
        target = folder.parent / f"{whole.name}{SUFFIX}" if folder.name else whole.with_name(f"{whole.name}{SUFFIX}")
    problems, packed = Problems(), dict[str, bytes]()
    for kind, file in files_of(folder, problems):
        packed[f"{kind}/{file.name}"] = file.read_bytes()
    problems.finish()
    try:
        write_pack(packed, target)
    except FileExistsError as error:
        raise WrongUse(say("'{file}' is there already, expected a new file", file=target)) from error
    return target, len(packed)
