"""The one decorator of every law of physics: `jit` compiles it where numba is installed.

A compiled law and the same law run as plain Python are one text, so `NUMBA_DISABLE_JIT=1` (or a machine without
numba) changes the speed and nothing else a reader of a display could see.
"""

import hashlib
import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any, TypeVar, cast

import platformdirs

_Law = TypeVar("_Law", bound=Callable[..., Any])

PARENT = "lukewarm-laws"
"""Folder that holds the cache folders of all versions and nothing else."""
OURS = re.compile(r"compiled-[0-9a-f]{16}")
"""Name of the cache folder of one version."""
UNUSED_BEFORE_REMOVAL = 86_400.0
"""Age [s] at which another version's compiled laws are removed: one day, for another copy or another Python may be
working from a younger one at this moment."""


def _fingerprint(folder: Path) -> str:
    """Hash of everything the machine code depends on.

    numba's own cache looks at the file of the compiled function alone and would miss a change in a law that it calls.
    """
    digest = hashlib.sha256(f"{version('numba')} {version('numpy')} {sys.version}".encode())
    for source in sorted(folder.rglob("*.py")):
        digest.update(source.relative_to(folder).as_posix().encode())
        digest.update(source.read_bytes())
    return digest.hexdigest()[:16]


def _caches() -> Path:
    """Parent of the cache folders of all versions: in NUMBA_CACHE_DIR where it is set, else in the user's own cache.

    A child process inherits NUMBA_CACHE_DIR as set below: it finds the same parent and nests no further level.
    """
    given = os.environ.get("NUMBA_CACHE_DIR")
    base = Path(given or platformdirs.user_cache_dir("lukewarm", appauthor=False)).absolute()
    if OURS.fullmatch(base.name) and base.parent.name == PARENT:
        return base.parent
    return base / PARENT


def _remove_unused(caches: Path, kept: Path) -> None:
    """Remove other versions' folders from ours, and nothing that does not bear the name of one."""
    for other in caches.iterdir():
        try:
            unused = time.time() - other.stat().st_mtime > UNUSED_BEFORE_REMOVAL
        except OSError:  # another process removed it first
            continue
        if unused and other != kept and OURS.fullmatch(other.name):
            shutil.rmtree(other, ignore_errors=True)


def _prepare_cache() -> Path | None:
    """Point numba at the folder of exactly these laws and return it; None where nothing can be written there.

    Also where the user set NUMBA_CACHE_DIR the fingerprint is part of the folder, or changed laws would run as old
    machine code.
    """
    caches = _caches()
    folder = caches / f"compiled-{_fingerprint(Path(__file__).parent)}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        os.utime(folder)
        tempfile.TemporaryFile(dir=folder).close()  # numba would fall back to a folder without a fingerprint
        _remove_unused(caches, folder)
    except OSError:
        return None
    os.environ["NUMBA_CACHE_DIR"] = str(folder)
    return folder


def _compilers() -> tuple[Callable[[Any], Any] | None, Callable[[Any], Any] | None, Path | None]:
    """What compiles a law, what compiles a function that makes arrays, and the folder where both keep machine code.

    The compilers are None where numba may not be used, the folder also where nothing can be kept.
    """
    if os.environ.get("NUMBA_DISABLE_JIT", "0") not in ("", "0"):
        return None, None, None
    try:
        folder = _prepare_cache()
        import numba  # only now: numba reads NUMBA_CACHE_DIR while it is imported
    except (ImportError, PackageNotFoundError):
        return None, None, None
    # one that was imported before looks into another folder, whose machine code may be of other laws
    cached = folder is not None and str(folder) == cast(Any, numba).config.CACHE_DIR
    njit = cast(Callable[..., Any], numba.njit)
    options = {"cache": cached, "nogil": True, "error_model": "numpy", "fastmath": False}
    return njit(**options, **_without_counting()), njit(**options), folder if cached else None


def _without_counting() -> dict[str, bool]:
    """The option by which numba counts no references, where it has it: an unknown one would fail at the first call."""
    try:
        from numba.core.options import DefaultOptions
    except ImportError:  # it is numba's own, and may move
        return {}
    return {"_nrt": False} if hasattr(DefaultOptions, "_nrt") else {}


_compile, _compile_counting, CACHE = _compilers()
"""CACHE: folder of the machine code of exactly these laws, None where nothing is kept."""

COMPILED: bool = _compile is not None
"""Whether the laws run as machine code in this process."""


def jit(law: _Law) -> _Law:
    """The law, compiled by numba without fast-math where numba may be used, else the law itself.

    A law makes no array and returns none: it is compiled without numba's counting of references to them, an atomic
    operation for each array handed on, which took a quarter of all stepping. Its type is kept, so a type checker sees
    the arguments and the result of the law as written.
    """
    return law if _compile is None else cast(_Law, _compile(law))


def jit_making_arrays(function: _Law) -> _Law:
    """The same for a function that makes arrays of its own."""
    return function if _compile_counting is None else cast(_Law, _compile_counting(function))
