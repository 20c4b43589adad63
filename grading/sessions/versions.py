"""Hashes of what a record was made with: equal hashes guarantee equal readings."""

from __future__ import annotations

import hashlib
import json
import platform
import sys
import weakref
from dataclasses import asdict
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import NamedTuple

import scenarios
import sim
from scenarios.model import Catalogue


class Versions(NamedTuple):
    """Hashes of the engine, the catalogue and the rubric."""

    engine: str
    catalogue: str
    rubric: str


@cache
def program_version() -> str:
    """Version of the installed program; "0" if it is not installed."""
    try:
        return version("lukewarm")
    except PackageNotFoundError:
        return "0"


@cache
def engine_hash() -> str:
    """Hash of everything but the catalogue that affects readings: sources, numerical libraries, machine type.

    Two machine types may differ in the last bit of a power, and so, rarely, in a display step.
    """
    digest = hashlib.blake2b(digest_size=16)
    kind = (version("numpy"), version("numba"), sys.platform, platform.machine())
    digest.update(" ".join(kind).encode())
    folder = Path(scenarios.__file__).parent
    sources = sorted(Path(sim.__file__).parent.rglob("*.py"))
    sources += sorted(path for path in folder.glob("*.py") if path.name != "language.py")
    sources += [Path(__file__).with_name(name) for name in ("perception.py", "session.py")]
    for source in sources:
        digest.update(source.name.encode())
        digest.update(source.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def catalogue_hash(catalogue: Catalogue) -> str:
    """Hash of everything in a catalogue."""
    key = id(catalogue)
    if key not in _catalogues or _catalogues[key][0]() is not catalogue:
        text = json.dumps(asdict(catalogue), default=sorted, sort_keys=True, ensure_ascii=False)
        _catalogues[key] = weakref.ref(catalogue), hashlib.blake2b(text.encode(), digest_size=16).hexdigest()
    return _catalogues[key][1]


_catalogues: dict[int, tuple[weakref.ref[Catalogue], str]] = {}
