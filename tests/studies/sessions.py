"""Sessions of all kinds to be judged by people: ``python -m tests.studies.sessions [--number N] [--blind]``.

Technicians of every level and the games, on packaged jobs. Each session is printed as a record shows it, with the truth
that an assessor's key gives; without ``--blind`` its marks and explanation follow.
"""

from __future__ import annotations

import argparse
import sys

from grading.marks.grade import Grader
from grading.report.action_words import describe
from grading.report.afterwards import afterwards
from grading.report.explanation import explanation
from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue
from tests.studies.games import PLAYS
from tests.studies.verdict_study import jobs_of, measured

FIRST = 40_000
"""First of the numbers by which jobs and vehicles are chosen."""


def told(catalogue: Catalogue, entry: RecordEntry) -> str:
    """One line of a record in words."""
    seen = [f"{reading['label']}: {reading['shown']}" for reading in entry.data["readings"]]
    hurt = [f"SAFETY: {event['what']}" for event in entry.data.get("safety", ())]
    words = describe(catalogue, entry.action)
    return f"  {float(entry.data['minute']):6.1f} min  {'; '.join([words, *seen, *hurt])}"


def show(name: str, grader: Grader, number: int, blind: bool) -> None:
    """Play a session and print it."""
    job, session = grader.job, Session(grader.catalogue, grader.job, grader.seed)
    PLAYS[name].play(session)
    entries = session.recorder.entries
    grade = grader.grade(entries)
    print(f"\n== {number}. {job.id.removeprefix('study-')}, {grader.catalogue.vehicles[job.vehicle].name}")
    print(f'  "{job.complaint}" {job.ambient_C:g} degC outside.')
    print(f"  It was: {', '.join(grader.catalogue.faults[fault].name for fault in grade.truth)}.")
    print(f"  Allowed: {grader.rubric.allowed(job):.0f} minutes to the diagnosis.")
    for entry in entries:
        if entry.kind == "action":
            print(told(grader.catalogue, entry))
    print("  " + " ".join(afterwards(grade)))
    if not blind:
        print(f"  -- {name}: {grade.verdict.upper()}, {grade.total:g} of 100; {grade.criteria}")
        print("\n".join(f"  {line}" for line in explanation(grader.catalogue, entries, grade)))


def main() -> int:
    """Print the sessions."""
    parser = argparse.ArgumentParser(description="Sessions of all kinds to be judged by people.")
    parser.add_argument("--number", type=int, default=30)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--blind", action="store_true", help="without marks and explanations")
    asked = parser.parse_args()
    catalogue, names, shown = packaged_catalogue(), list(PLAYS), 0
    for k in range(4 * asked.number):
        if shown == asked.number:
            break
        name, number = names[k % len(names)], asked.first + k
        for job, _ in jobs_of(catalogue, number, False, [name]).values():
            shown += 1
            show(name, Grader(catalogue, measured(catalogue, job), number), shown, asked.blind)
            sys.stdout.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main())
