"""Predictions are scored by the replay of a record: its own bands are not trusted, nor its marks."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from grading.sessions.marks_store import marks_of
from grading.sessions.records import kept_records
from scenarios.model import Catalogue
from tui.presentation.between_jobs.progress import progress_of
from tui.presentation.marking.graded_record import graded_record

Run = Callable[..., tuple[int, str, str]]
LINES = ("ignition on", "predict gauge sound", "check gauge", "diagnose coolant-low 80", "handback")


def _with_bands(whole: bytes, low: int, high: int) -> bytes:
    """A record whose prediction claims that sound vehicles show the steps from low to high."""
    lines = [json.loads(line) for line in whole.splitlines()]
    (made,) = [line for line in lines if line["kind"] == "prediction"]
    for band in made["bands"]:
        band["steps"] = [low, high]
    return "".join(json.dumps(line) + "\n" for line in lines).encode()


def test_bands_of_a_record_change_nothing(catalogue: Catalogue, records: Path, lukewarm: Run) -> None:
    told = lukewarm("text", "cold-tern", lines=LINES)
    (path,) = records.glob("*.jsonl")
    whole = path.read_bytes()
    marks = marks_of(whole)
    assert marks is not None, told
    (right,) = marks["predictions"]
    assert progress_of(catalogue, kept_records()).predictions == (right,)
    for bands in ((-1000, 1000), (5000, 5001)):
        path.write_bytes(_with_bands(whole, *bands))
        assert progress_of(catalogue, kept_records()).predictions == ()  # another record, which nobody has marked
        graded_record(catalogue, path.read_bytes(), path, look_ahead=False)
        assert progress_of(catalogue, kept_records()).predictions == (right,)
        told = [
            line for section in graded_record(catalogue, path.read_bytes(), path).sections() for line in section.lines
        ]
        assert any(("That was right" if right else "That was wrong") in line for line in told)
