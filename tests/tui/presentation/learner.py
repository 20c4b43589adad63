"""Records of a learner on days of a test's own choosing, with jobs and faults enough to confuse."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from grading.drawing.written import write_jobs
from scenarios.files.own_folders import drawn_folder
from scenarios.model import Catalogue, Planted
from tests.tui.kept import MADE_WITH, write_record

LOW, STUCK, NONE = "coolant-low", "thermostat-stuck-open", "none"
COLD, OTHER, SOUND, HARD = "cold-tern", "other-tern", "sound-tern", "a-hard-tern"


def four_jobs(catalogue: Catalogue) -> Catalogue:
    """Jobs with each fault and none, and a hard one; the thermostat is of another system than the coolant."""
    job = catalogue.jobs[COLD]
    stuck = (replace(job.faults[0], fault=STUCK),)
    faults = {
        **catalogue.faults,
        LOW: replace(catalogue.faults[LOW], shows=("cold",)),
        STUCK: replace(catalogue.faults[STUCK], system="engine temperature", shows=("cold", "gauge")),
    }
    jobs = {
        COLD: replace(job, difficulty=2),
        OTHER: replace(job, id=OTHER, title="Other Tern", faults=stuck, difficulty=1, complains_of=("gauge",)),
        SOUND: replace(job, id=SOUND, title="Sound Tern", faults=(), difficulty=3),
        HARD: replace(job, id=HARD, title="A hard Tern", faults=stuck, difficulty=5),
    }
    return replace(catalogue, faults=faults, jobs=jobs)


class Learner:
    """Writes records, each a moment after the one before."""

    def __init__(self, records: Path) -> None:
        self.records, self.number = records, 0

    def did(
        self,
        day: str,
        job: str,
        declared: str,
        passed: bool = True,
        mode: str = "free",
        marked: bool = True,
        **marks: Any,
    ) -> Path:
        """A job handed back on a day."""
        self.number += 1
        path = self.records / f"{job}-{day}-{self.number:06d}.jsonl"
        grade = {"total": 80.0 if passed else 30.0, "passed": passed, **marks} if marked else None
        actions = [("diagnose", [declared, 80.0]), ("handback", [])]
        write_record(path, job, actions, grade, 1e9 + self.number, mode)
        return path

    def began(self, day: str, job: str, mode: str = "free") -> Path:
        """A job that is still open."""
        self.number += 1
        path = self.records / f"{job}-{day}-{self.number:06d}.jsonl"
        path.parent.mkdir(parents=True, exist_ok=True)
        line = {"n": 0, "kind": "job", "format": 2, **MADE_WITH, "job": job, "seed": 1, "mode": mode}
        path.write_text(json.dumps(line) + "\n", encoding="utf-8")
        return path


def draw(catalogue: Catalogue, number: str, fault: str = LOW) -> str:
    """A job as if its vehicle had been drawn."""
    faults = () if fault == NONE else (Planted(fault, None),)
    job = replace(catalogue.jobs[COLD], id=f"draw-{number}", title="Drawn by chance", faults=faults)
    write_jobs(drawn_folder(job.id), [job], "Drawn for a test.")
    return job.id


def on(day: str) -> date:
    """A day."""
    return date.fromisoformat(day)
