"""The one decorator of every law of physics: `jit` compiles it where numba is installed.

A compiled law and the same law run as plain Python are one text, so `NUMBA_DISABLE_JIT=1` (or a machine without
numba) changes the speed and nothing else a reader of a display could see.
"""

import hashlib
import os
import shutil
import sys
import time
from collections.abc import Callable
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any, TypeVar, cast

import platformdirs

_Law = TypeVar("_Law", bound=Callable[..., Any])

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


def _remove_unused(caches: Path, kept: Path) -> None:
    for other in caches.glob("compiled-*"):
        try:
            unused = time.time() - other.stat().st_mtime > UNUSED_BEFORE_REMOVAL
        except OSError:  # another process removed it first
            continue
        if other != kept and unused:
            shutil.rmtree(other, ignore_errors=True)


def _prepare_cache() -> bool:
    """Point numba at a writable cache folder, for the folder of the installation may be read-only."""
    if os.environ.get("NUMBA_CACHE_DIR"):
        return True
    caches = Path(platformdirs.user_cache_dir("lukewarm", appauthor=False))
    folder = caches / f"compiled-{_fingerprint(Path(__file__).parent)}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        os.utime(folder)
    except OSError:
        return False
    os.environ["NUMBA_CACHE_DIR"] = str(folder)
    _remove_unused(caches, folder)
    return True


def _compilers() -> tuple[Callable[[Any], Any] | None, Callable[[Any], Any] | None]:
    """What compiles a law, and what compiles a function that makes arrays; None where numba may not be used."""
    if os.environ.get("NUMBA_DISABLE_JIT", "0") not in ("", "0"):
        return None, None
    try:
        cached = _prepare_cache()
        import numba  # only now: numba reads NUMBA_CACHE_DIR while it is imported
    except (ImportError, PackageNotFoundError):
        return None, None
    njit = cast(Callable[..., Any], numba.njit)
    options = {"cache": cached, "nogil": True, "error_model": "numpy", "fastmath": False}
    return njit(**options, **_without_counting()), njit(**options)


def _without_counting() -> dict[str, bool]:
    """The option by which numba counts no references, where it has it: an unknown one would fail at the first call."""
    try:
        from numba.core.options import DefaultOptions
    except ImportError:  # it is numba's own, and may move
        return {}
    return {"_nrt": False} if hasattr(DefaultOptions, "_nrt") else {}


_compile, _compile_counting = _compilers()

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
