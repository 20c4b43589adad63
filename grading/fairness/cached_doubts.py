"""Cache of doubts about jobs, so that an unchanged job is not simulated again.

The key is a hash of everything that the doubts depend on.
"""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import asdict, replace
from functools import cache
from pathlib import Path
from typing import Any

import platformdirs

import grading
from grading.fairness.doubt import Doubt
from grading.marks.rubric import Rubric
from grading.sessions.message_data import from_data, to_data
from grading.sessions.versions import engine_hash
from scenarios.language import chosen
from scenarios.model import Catalogue, Job

LARGEST = 2**20
"""Largest cache file that is read [bytes]."""


def cache_folder() -> Path:
    """Folder of the cache, in the operating system's cache folder of the user."""
    return platformdirs.user_cache_path("lukewarm", appauthor=False) / "proven"


def key_of(catalogue: Catalogue, job: Job, rubric: Rubric, seed: int) -> str:
    """Hash of everything that the doubts about a job on one vehicle depend on. Other jobs of the catalogue are left
    out. The language is included, as the reason why a vehicle cannot be calculated is stored in it.
    """
    digest = hashlib.blake2b(digest_size=16)
    alone = replace(catalogue, jobs={job.id: job})
    data = json.dumps(asdict(alone), default=sorted, sort_keys=True, ensure_ascii=False)
    for part in (engine_hash(), _marking_hash(), rubric.hash, data, str(seed), chosen()):
        digest.update(part.encode() + b"\0")
    return digest.hexdigest()


@cache
def _marking_hash() -> str:
    """Hash of the sources that marks depend on; ``engine_hash`` covers those that readings depend on."""
    digest = hashlib.blake2b(digest_size=16)
    for source in sorted(Path(grading.__file__).parent.rglob("*.py")):
        digest.update(source.name.encode())
        digest.update(source.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def read_doubts(key: str) -> tuple[Doubt, ...] | None:
    """The doubts stored under a key; None if there are none or the file cannot be read."""
    path = cache_folder() / f"{key}.json"
    try:
        if path.stat().st_size > LARGEST:
            return None
        found = json.loads(path.read_text(encoding="utf-8"))
        return tuple(_doubt(one) for one in found)
    except (OSError, ValueError, RecursionError, TypeError, KeyError):
        return None


def _doubt(data: dict[str, Any]) -> Doubt:
    fault = data["fault"]
    if fault is not None and (not isinstance(fault, int) or fault < 0):
        raise ValueError("the place of a fault is a whole number from 0")
    return Doubt(fault, from_data(data["problem"]), from_data(data["expected"]))


def store_doubts(key: str, doubts: tuple[Doubt, ...]) -> None:
    """Store doubts under a key; does nothing if the folder cannot be written."""
    path = cache_folder() / f"{key}.json"
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    data = [
        {"fault": doubt.fault, "problem": to_data(doubt.problem), "expected": to_data(doubt.expected)}
        for doubt in doubts
    ]
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(json.dumps(data, ensure_ascii=False, allow_nan=False), encoding="utf-8", newline="\n")
        beside.replace(path)
    except OSError:
        return
