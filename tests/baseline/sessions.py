"""The sessions of the baseline, and what of each is kept."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict
from pathlib import Path
from typing import Any

from grading.marks.grade import Grade, Grader
from grading.sessions.record import RecordEntry
from tests.packaged import packaged_catalogue
from tests.studies.strategies import STRATEGIES, Player
from tests.studies.strategies_study import REMEMBERED, drawn_job

VEHICLES = 50
"""Vehicles, each worked on by every strategy."""
KEPT = Path(__file__).with_name("baseline.json")

Row = tuple[str, str, float]
"""Hash of what was done and read, hash of the marks, and the total, which shows how far a changed mark is off."""


def digest(data: Any) -> str:
    """A short hash of plain data."""
    text = json.dumps(data, ensure_ascii=False, sort_keys=True)
    return hashlib.blake2b(text.encode(), digest_size=8).hexdigest()


def done(entries: Iterable[RecordEntry]) -> list[Any]:
    """Actions, display steps, signs and safety errors of a record, whatever its format."""
    return [
        [
            entry.action.verb,
            [f"{a:.9g}" if isinstance(a, float) else str(a) for a in entry.action.arguments],
            entry.steps,
            [list(sign) for sign in entry.noticed],
            [[str(event["what"]), event["critical"]] for event in entry.data.get("safety", ())],
            f"{entry.data['minutes']:.3f}",
        ]
        for entry in entries
        if entry.kind == "action"
    ]


def marks(grade: Grade) -> dict[str, Any]:
    """The marks of a grade and what they rest on, as they are shown."""
    return {
        "total": grade.total,
        "passed": grade.passed,
        "criteria": grade.criteria,
        "safety": grade.safety,
        "reference": grade.course.checks,
        "group": grade.group,
        "belief": None if grade.belief is None else round(grade.belief, 4),
        "comeback": None if grade.comeback is None else asdict(grade.comeback),
    }


def rows_of(vehicle: int, names: Iterable[str] = tuple(STRATEGIES)) -> dict[str, Row]:
    """One vehicle worked on by strategies of these names, all if not given: ``"<vehicle> <strategy>"`` to its row."""
    catalogue = packaged_catalogue()
    grader = Grader(catalogue, drawn_job(catalogue, vehicle), vehicle)
    grader.belief_cache.most = REMEMBERED
    rows = {}
    for name in names:
        player = Player.of(grader)
        STRATEGIES[name](player)
        entries = player.session.recorder.entries
        grade = grader.grade(entries)
        rows[f"{vehicle} {name}"] = (digest(done(entries)), digest(marks(grade)), grade.total)
    return rows


def rows_by_vehicle(vehicles: Iterable[int], processes: int) -> Iterator[dict[str, Row]]:
    """Rows of many vehicles, in order, as soon as each is ready."""
    with ProcessPoolExecutor(processes) as pool:
        yield from pool.map(rows_of, vehicles)


def kept() -> dict[str, Row]:
    """The rows of the baseline."""
    return {key: tuple(row) for key, row in json.loads(KEPT.read_text(encoding="utf-8")).items()}


def keep(rows: dict[str, Row]) -> None:
    """Keep rows as the baseline, vehicle by vehicle."""
    lines = ",\n".join(f"{json.dumps(key)}: {json.dumps(row)}" for key, row in sorted(rows.items(), key=_order))
    KEPT.write_text("{\n" + lines + "\n}\n", encoding="utf-8", newline="\n")


def _order(item: tuple[str, Row]) -> tuple[int, int]:
    vehicle, name = item[0].split(" ", 1)
    return int(vehicle), list(STRATEGIES).index(name)
