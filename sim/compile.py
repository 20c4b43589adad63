"""The one decorator of every law of physics: `jit` compiles it where numba is installed.

A compiled law and the same law run as plain Python are one text, so `NUMBA_DISABLE_JIT=1` (or a machine without
numba) changes the speed and nothing else a reader of a display could see. A program that must not wait for the
compiler calls `start_plain` before it imports a law, has another process compile, and then calls what `load` returns.
"""

import hashlib
import os
import pickle
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from importlib import import_module
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from types import ModuleType
from typing import Any, ClassVar, TypeVar, cast

import platformdirs

_Law = TypeVar("_Law", bound=Callable[..., Any])

PARENT = "lukewarm-laws"
"""Folder that holds the cache folders of all versions and nothing else."""
OURS = re.compile(r"compiled-[0-9a-f]{16}")
"""Name of the cache folder of one version."""
UNUSED_BEFORE_REMOVAL = 86_400.0
"""Age [s] at which another version's compiled laws are removed: one day, for another copy or another Python may be
working from a younger one at this moment."""

_COMPLETE = "signatures.pickle"
"""File in a version's folder that is written once the laws of a job have been compiled into it: their signatures."""


def _fingerprint(folder: Path) -> str:
    """Hash of everything the machine code depends on.

    numba's own cache looks at the file of the compiled function alone and would miss a change in a law that it calls.
    It finds nothing for a file of another place or time, so these count: a second installation has a folder of its own.
    """
    digest = hashlib.sha256(f"{version('numba')} {version('numpy')} {sys.version}".encode())
    for source in sorted(folder.rglob("*.py")):
        digest.update(f"{source.absolute()} {source.stat().st_mtime_ns}".encode())
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


@cache
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
    cached = folder is not None and str(folder) == import_module("numba.core.config").CACHE_DIR
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


class _Plain:
    """Laws that run as plain Python until ``switch``."""

    started = False
    waiting: ClassVar[list[tuple[Callable[..., Any], bool]]] = []
    """Each with whether it makes arrays of its own."""


def cache_folder() -> Path | None:
    """Folder of the machine code of exactly these laws, None where nothing is kept."""
    return _compilers()[2]


def compiled() -> bool:
    """Whether the laws run as machine code in this process at present."""
    return not _Plain.started and _compilers()[0] is not None


def jit(law: _Law) -> _Law:
    """The law, compiled by numba without fast-math where numba may be used, else the law itself.

    A law makes no array and returns none: it is compiled without numba's counting of references to them, an atomic
    operation for each array handed on, which took a quarter of all stepping. Its type is kept, so a type checker sees
    the arguments and the result of the law as written.
    """
    return _law(law, counting=False)


def jit_making_arrays(function: _Law) -> _Law:
    """The same for a function that makes arrays of its own."""
    return _law(function, counting=True)


def _law(law: _Law, counting: bool) -> _Law:
    if _Plain.started:
        _Plain.waiting.append((law, counting))
        return law
    return cast(_Law, _machine_code(law, counting))


_machine: list[Any] = []
"""Every compiled law of this process."""


def _machine_code(law: Callable[..., Any], counting: bool) -> Callable[..., Any]:
    plain_law_compiler, counting_compiler, _ = _compilers()
    compiler = counting_compiler if counting else plain_law_compiler
    if compiler is None:
        return law
    _machine.append(compiler(law))
    return _machine[-1]


# -- plain Python first -----------------------------------------------------------------------------------------------


def start_plain() -> bool:
    """Run laws that are imported from now on as plain Python, where numba is there and nobody has compiled them yet.

    To be called before the first law is imported. Returns whether the laws are plain and `load` is to follow. numba
    itself is not imported.
    """
    if os.environ.get("NUMBA_DISABLE_JIT", "0") not in ("", "0") or any(name in sys.modules for name in _LAWS):
        return False
    try:
        folder = _prepare_cache()
    except PackageNotFoundError:
        return False
    _Plain.started = folder is not None and not (folder / _COMPLETE).is_file()
    return _Plain.started


_LAWS = ("numba", "sim.laws.powers", "sim.fleet")
"""Modules whose presence tells that laws, or numba, were imported already."""


def note_compiled() -> None:
    """Write down which laws this process has compiled, and for which types, so that another can load them.

    Called once all that a job needs has run. Does nothing where no machine code is kept.
    """
    folder = cache_folder()
    if folder is None:
        return
    found = {(law.__module__, law.__name__): law.signatures for law in _machine if law.signatures}
    unfinished = folder / f"{_COMPLETE}.{os.getpid()}"
    unfinished.write_bytes(pickle.dumps(found))
    unfinished.replace(folder / _COMPLETE)


def _modules() -> list[ModuleType]:
    return [module for module in list(sys.modules.values()) if isinstance(module, ModuleType)]


def load() -> Callable[[], None]:
    """Load the machine code of the plain laws from the cache, beside them; returns what puts it in their place.

    Takes about a second, mostly numba's import, and may run in a thread of its own while plain laws are at work. What
    it returns takes some milliseconds and must run while no law is at work; it replaces laws in every module that
    holds them by name. Calling laws then gives the same display steps, some hundred times as fast.
    """
    laws = [(law, _machine_code(law, counting)) for law, counting in list(_Plain.waiting)]
    by_name: dict[tuple[str, str], Any] = {(law.__module__, law.__name__): machine for law, machine in laws}
    folder = cache_folder()
    complete = folder / _COMPLETE if folder else None
    if complete is not None and complete.is_file():
        for name, signatures in pickle.loads(complete.read_bytes()).items():
            for signature in signatures if name in by_name else ():
                # one that is not in the cache after all is compiled when it is first called
                with suppress(Exception):
                    by_name[name].compile(signature)

    def switch() -> None:
        imported_since = [(law, _machine_code(law, counting)) for law, counting in _Plain.waiting[len(laws) :]]
        machine = {id(law): compiled_law for law, compiled_law in (*laws, *imported_since)}
        for module in _modules():
            names = vars(module)
            for name, value in list(names.items()):
                if id(value) in machine:
                    names[name] = machine[id(value)]
        _Plain.started = False
        _Plain.waiting.clear()

    return switch
