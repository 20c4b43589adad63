"""Storage of marks computed on this machine; marks are never read from a record itself.

A file for each record, named by the hash of its bytes, holds one set of marks for each engine, catalogue and rubric it
was marked with, the latest last. A changed record has another hash and so no marks.
"""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Any

import platformdirs

from grading.sessions.versions import Versions

LARGEST = 2**20
"""Largest size of a file of marks [bytes]."""


def marks_folder() -> Path:
    """The folder of marks, in the user's data folder of the operating system."""
    return platformdirs.user_data_path("lukewarm", appauthor=False) / "marks"


def record_hash(record: bytes) -> str:
    """Hash of a record's bytes."""
    return hashlib.blake2b(record, digest_size=16).hexdigest()


def save_marks(record: bytes, versions: Versions, marks: dict[str, Any]) -> None:
    """Store the marks of a record, replacing any with the same versions. Raises OSError."""
    path = marks_folder() / f"{record_hash(record)}.json"
    others = [one for one in _kept(path) if one["made_with"] != list(versions)]
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    text = json.dumps([*others, {"made_with": list(versions), "marks": marks}], ensure_ascii=False, allow_nan=False)
    beside.write_text(text, encoding="utf-8", newline="\n")
    beside.replace(path)


def marks_of(record: bytes) -> dict[str, Any] | None:
    """The latest marks of a record, None if it was not marked on this machine."""
    kept = _kept(marks_folder() / f"{record_hash(record)}.json")
    return kept[-1]["marks"] if kept else None


def _kept(path: Path) -> list[dict[str, Any]]:
    """Contents of a file of marks; empty if it cannot be read."""
    try:
        if path.stat().st_size > LARGEST:
            return []
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return []
    if not isinstance(found, list):
        return []
    return [
        one
        for one in found
        if isinstance(one, dict) and isinstance(one.get("marks"), dict) and isinstance(one.get("made_with"), list)
    ]
