"""Doubts that were worked out on this machine, by the hash of all that they depend on, so that a job that has not
changed is not simulated again.
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
"""Bytes of a kept file."""


def kept_folder() -> Path:
    """Where doubts are kept, in the user's cache folder as the operating system has it."""
    return platformdirs.user_cache_path("lukewarm", appauthor=False) / "proven"


def key_of(catalogue: Catalogue, job: Job, rubric: Rubric, seed: int) -> str:
    """Hash of all that the doubts about a job on one vehicle depend on. Other jobs of the catalogue do not count;
    the language does, for a vehicle that cannot be calculated says why in it.
    """
    digest = hashlib.blake2b(digest_size=16)
    alone = replace(catalogue, jobs={job.id: job})
    data = json.dumps(asdict(alone), default=sorted, sort_keys=True, ensure_ascii=False)
    for part in (engine_hash(), _marking_hash(), rubric.hash, data, str(seed), chosen()):
        digest.update(part.encode() + b"\0")
    return digest.hexdigest()


@cache
def _marking_hash() -> str:
    """Hash of the sources that decide a mark; ``engine_hash`` has those that decide a reading."""
    digest = hashlib.blake2b(digest_size=16)
    for source in sorted(Path(grading.__file__).parent.rglob("*.py")):
        digest.update(source.name.encode())
        digest.update(source.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def kept_doubts(key: str) -> tuple[Doubt, ...] | None:
    """The doubts kept by a key; None where there are none or the file cannot be read."""
    path = kept_folder() / f"{key}.json"
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


def keep_doubts(key: str, doubts: tuple[Doubt, ...]) -> None:
    """Keep doubts by a key. Where the folder cannot be written they are not kept."""
    path = kept_folder() / f"{key}.json"
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
