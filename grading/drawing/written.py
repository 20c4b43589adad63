"""Writing drawn jobs as data files, which any command accepts by ``--with``."""

from __future__ import annotations

import json
import os
from pathlib import Path

from scenarios.model import Job


def written(job: Job, origin: str) -> str:
    """Text of a job's file, the same on every machine; origin: first comment line."""
    lines = [f"# {origin}", "# Invented: people, place, vehicle and figures."]
    lines += [f"id: {job.id}", *(f"{key}: {_quoted(getattr(job, key))}" for key in ("title", "customer", "complaint"))]
    lines += [
        f"complains_of: [{', '.join(job.complains_of)}]",
        f"comes_and_goes: {str(job.comes_and_goes).lower()}",
        f"vehicle: {job.vehicle}",
        "faults: []" if not job.faults else "faults:",
        *(f"  - {{fault: {planted.fault}}}" for planted in job.faults),
        *(f"{key}: {getattr(job, key):g}" for key in ("ambient_C", "altitude_m")),
        f"mileage_km: {job.mileage_km:.0f}",
        f"history: {_quoted(job.history)}",
        f"difficulty: {job.difficulty}",
    ]
    if job.competent_minutes is not None:
        lines += [f"competent_minutes: {job.competent_minutes:.0f}", f"competent_checks: {job.competent_checks}"]
    if job.diagnosis_only:
        lines.append("diagnosis_only: true")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    """A text in double quotes for YAML 1.2, of which JSON is a subset."""
    return json.dumps(text, ensure_ascii=False)


def write_jobs(folder: Path, jobs: list[Job], origin: str) -> list[Path]:
    """Write jobs into ``jobs`` in a folder; returns their files. Raises OSError."""
    place = folder / "jobs"
    place.mkdir(parents=True, exist_ok=True)
    files = []
    for job in jobs:
        file = place / f"{job.id}.yaml"
        unfinished = file.with_suffix(f".{os.getpid()}")  # another process must not read a partial file
        unfinished.write_text(written(job, origin), encoding="utf-8", newline="\n")
        unfinished.replace(file)
        files.append(file)
    return files
