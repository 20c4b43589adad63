"""A folder of catalogue files in a zip file: written, and read into memory with the checks due to untrusted input.

Packing is for passing a folder on; it hides nothing from whoever has the file.
"""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Protocol

from scenarios.files.data_error import DataError, Place, Problems, quoted
from scenarios.files.layout import MOST_FILES
from scenarios.language import _, say

MOST_BYTES = 64 << 20
"""Total size of all files when unpacked; a larger zip file is not opened."""
MOST_RATIO = 100
"""Ratio of unpacked to packed size of a file; written text shrinks to about a tenth."""
RATIO_COUNTS_FROM = 1 << 16
"""Unpacked size [bytes] from which the ratio counts."""
LONGEST_NAME = 400
SUFFIX = ".zip"

_ENCRYPTED = 0x1
_FIRST_TIME = (1980, 1, 1, 0, 0, 0)


class Tree(Protocol):
    """What the loader needs of a folder or a file in it, wherever they are kept."""

    @property
    def name(self) -> str:
        """Its own name, without those of the folders above it."""
        ...

    def is_dir(self) -> bool:
        """Whether it is a folder."""
        ...

    def iterdir(self) -> Iterator[Tree]:
        """What is in a folder."""
        ...

    def read_bytes(self) -> bytes:
        """What a file holds."""
        ...


class Packed:
    """A folder or a file of a zip file, in memory."""

    def __init__(self, name: str, path: str, data: bytes | None = None) -> None:
        """path: how errors name it; data: of a file; None makes a folder."""
        self.name, self._path, self._data = name, path, data
        self.children: dict[str, Packed] = {}

    def __str__(self) -> str:
        return self._path

    def is_dir(self) -> bool:
        """Whether it is a folder."""
        return self._data is None

    def iterdir(self) -> Iterator[Packed]:
        """What is in a folder."""
        return iter(self.children.values())

    def read_bytes(self) -> bytes:
        """What a file holds."""
        return self._data or b""

    def put(self, parts: tuple[str, ...], data: bytes | None) -> None:
        """Put a file below this folder, or a folder where data is None."""
        name, *rest = parts
        if rest:
            self.children.setdefault(name, Packed(name, f"{self._path}/{name}")).put(tuple(rest), data)
        elif data is not None or name not in self.children:
            self.children[name] = Packed(name, f"{self._path}/{name}", data)


def read_pack(path: Path) -> Packed:
    """The folder in a zip file. Raises DataError if it is not a zip file or not safe to unpack."""
    start = Place(str(path), 1, 1)
    try:
        with path.open("rb") as file:
            whole = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise start.error(say("the file cannot be read ({reason})", reason=reason), _("a zip file")) from error
    if len(whole) > MOST_BYTES:
        raise start.error(_("the file is too large"), say("at most {size} MiB", size=MOST_BYTES >> 20))
    try:
        with zipfile.ZipFile(io.BytesIO(whole)) as archive:
            return _unpacked(archive, path)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError, OverflowError, OSError) as error:
        problem = say("it cannot be unpacked ({reason})", reason=error)
        raise start.error(problem, _("a folder, or a zip file made by 'lukewarm author pack'")) from error


def _unpacked(archive: zipfile.ZipFile, path: Path) -> Packed:
    members = archive.infolist()
    _require_harmless(members, path)
    root = Packed(path.name, str(path))
    for member in members:
        parts = PurePosixPath(member.filename).parts
        if member.is_dir():
            root.put(parts, None)
            continue
        with archive.open(member) as file:  # reads no more than the checked size
            root.put(parts, file.read(member.file_size + 1))
    return root


def _require_harmless(members: list[zipfile.ZipInfo], path: Path) -> None:
    """Raise a DataError for each member that must not be unpacked; nothing has been unpacked yet."""
    start, problems = Place(str(path), 1, 1), Problems()
    if len(members) > MOST_FILES:
        raise start.error(say("{number} files", number=len(members)), say("at most {most}", most=MOST_FILES))
    if (size := sum(member.file_size for member in members)) > MOST_BYTES:
        wrong = say("{size} MiB when unpacked", size=-(-size >> 20))
        raise start.error(wrong, say("at most {size} MiB", size=MOST_BYTES >> 20))
    taken: dict[str, bool] = {}
    for member in members:
        name = member.filename.rstrip("/").casefold()
        wrong = _member_error(member) or _clash(name, member.is_dir(), taken)
        if wrong is not None:
            problems.add(DataError(f"{path}/{member.filename}", 1, 1, *wrong))
        taken[name] = member.is_dir()
    problems.finish()


def _member_error(member: zipfile.ZipInfo) -> tuple[str, str] | None:
    """The error of a member of a zip file and what was expected; None if it is safe."""
    name, inside = member.orig_filename, _("a path inside the folder")
    parts = name.rstrip("/").split("/")
    if len(name) > LONGEST_NAME or not name.isprintable():
        return say("the name {name}", name=quoted(name)), _("a short name of printable characters")
    if name.startswith("/") or "\\" in name or ":" in name:
        return say("the absolute path or foreign name {name}", name=quoted(name)), inside
    if any(part in ("", ".", "..") for part in parts):
        return say("the path {name}", name=quoted(name)), inside
    kind = stat.S_IFMT(member.external_attr >> 16)
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        return _("a link or device"), _("a plain file")
    if member.flag_bits & _ENCRYPTED or member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return _("an encrypted file, or one packed by another method"), _("a file packed by 'deflate'")
    if member.file_size > max(RATIO_COUNTS_FROM, MOST_RATIO * member.compress_size):
        ratio = member.file_size // max(member.compress_size, 1)
        return say("a file {ratio} times as large when unpacked", ratio=ratio), say("at most {most}", most=MOST_RATIO)
    return None


def _clash(name: str, is_dir: bool, taken: dict[str, bool]) -> tuple[str, str] | None:
    """The error of a member at the path of another, ignoring case as Windows does, or below a file."""
    parts = name.split("/")
    above = ("/".join(parts[:depth]) for depth in range(1, len(parts)))
    if (name in taken and not (is_dir and taken[name])) or any(taken.get(folder) is False for folder in above):
        return _("the same path again"), _("each path once, whatever its case")
    return None


def write_pack(files: dict[str, bytes], path: Path) -> None:
    """Pack files into a new zip file; files: path inside the folder, with slashes, to content.

    The same files give the same bytes. Raises DataError if there are more than can be read back, OSError if the file
    exists or cannot be written.
    """
    start = Place(str(path), 1, 1)
    if len(files) > MOST_FILES:
        raise start.error(say("{number} files", number=len(files)), say("at most {most}", most=MOST_FILES))
    if sum(map(len, files.values())) > MOST_BYTES:
        raise start.error(_("the folder is too large"), say("at most {size} MiB", size=MOST_BYTES >> 20))
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(files.items()):
            member = zipfile.ZipInfo(name, _FIRST_TIME)
            member.external_attr = (stat.S_IFREG | 0o644) << 16
            member.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(member, data)
        _require_harmless(archive.infolist(), path)
    with path.open("xb") as file:
        file.write(whole.getvalue())
