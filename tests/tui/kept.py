"""Records that are handed back, with marks of a test's own choosing."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from grading.sessions.marks_store import marks_folder, record_hash

MADE_WITH = {"program": "0", "engine": "e", "catalogue": "c", "rubric": "r"}


def write_record(
    path: Path,
    job: str,
    actions: Iterable[tuple[str, list[Any]]],
    marks: dict[str, Any] | None,
    when: float,
    mode: str = "free",
) -> None:
    """Write a record and keep its marks as if they had been worked out here; when: of the file [s since 1970]."""
    path.parent.mkdir(parents=True, exist_ok=True)
    nothing: dict[str, Any] = {"minute": 0.0, "minutes": 0.0, "readings": [], "noticed": [], "safety": []}
    lines: list[dict[str, Any]] = [
        {"n": 0, "kind": "job", "format": 2, **MADE_WITH, "job": job, "seed": int(when), "mode": mode}
    ]
    lines += [
        {"n": n, "kind": "action", "verb": verb, "arguments": arguments, **nothing}
        for n, (verb, arguments) in enumerate(actions, 1)
    ]
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8", newline="\n")
    os.utime(path, (when, when))
    if marks is not None:
        kept = marks_folder() / f"{record_hash(path.read_bytes())}.json"  # not by the store, which takes no NaN
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_text(json.dumps([{"made_with": ["e", "c", "r"], "marks": marks}]), encoding="utf-8")
