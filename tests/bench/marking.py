"""How fast and how sure the marking is: a grade's time, all checks scored, two seeds and a larger run compared."""

from __future__ import annotations

import json
import math
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache, partial
from pathlib import Path

import numpy as np

from grading.marks.grade import Grader
from grading.marks.rubric import load_rubric
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.sessions.record import RecordEntry, as_bytes
from grading.sessions.session import Session
from grading.technicians import COMPETENT, Technician
from scenarios.actions import Action
from scenarios.files.loader import load_catalogue
from scenarios.model import Catalogue, Job
from sim.observation.instruments import INSTRUMENTS
from sim.observation.quantities import QUANTITIES
from sim.vehicle.tolerances import uniform
from tests.bench.bench import Bar, Bench, say
from tui.presentation.marking.graded_record import graded_record
from tui.presentation.marking.prepared_marks import PreparedMarks

TWELVE = (
    Action("check", ("overflow-level",)),
    Action("check", ("coolant-level-cold",)),
    Action("ignition", ("on",)),
    Action("check", ("blower-each-speed",)),
    Action("set", ("heater", 100.0)),
    Action("set", ("blower", 1.0)),
    Action("engine", ("start",)),
    Action("drive", (20.0, 50.0)),
    Action("check", ("gauge",)),
    Action("check", ("vent-temperature",)),
    Action("check", ("heater-feed-infrared",)),
    Action("check", ("heater-return-infrared",)),
    Action("check", ("upper-radiator-hose-touch",)),
    Action("rev", (1800.0, 5.0)),
    Action("idle", (10.0,)),
    Action("check", ("heater-return-touch",)),
)
"""A usual way through a job: twelve steps that look or wait, some 55 minutes, and the controls between them."""
VEHICLES, CHECKS = 15_000, 60
SESSIONS = 100
LARGER = 20
REPEATED = 3


@cache
def catalogue() -> Catalogue:
    """The packaged catalogue."""
    return load_catalogue()


def session(job: Job, seed: int, chosen: int | None = None) -> list[RecordEntry]:
    """Entries of a job worked with TWELVE, or with a part of it drawn by the number chosen, and declared."""
    made = Session(catalogue(), job, seed)
    for k, action in enumerate(TWELVE):
        if chosen is None or action.verb != "check" or uniform("part", chosen, k) < 0.5:
            made.do(action)
    made.do(Action("diagnose", ("none", 50.0)))
    return made.recorder.entries


def _time_grade() -> dict[str, float]:
    jobs = list(catalogue().jobs.values())
    Grader(catalogue(), jobs[0], 1).grade(session(jobs[0], 1), look_ahead=True)  # compile and warm, all of it
    worst = slowest = 0.0
    for job in jobs[:: max(len(jobs) // 6, 1)]:
        entries = session(job, 2)
        grade = partial(_grade, job, entries)
        took, passed = _times(grade), _times(grade, time.perf_counter)
        say(f"grade of {job.id}: {', '.join(f'{each:.2f}' for each in took)} s, {min(passed):.2f} s by the clock")
        worst, slowest = max(worst, min(took)), max(slowest, min(passed))
    return {"grade_seconds": worst, "grade_wall_seconds": slowest, "yardstick_seconds": _yardstick()}


def _grade(job: Job, entries: list[RecordEntry]) -> None:
    Grader(catalogue(), job, 2).grade(entries, look_ahead=True)


def _time_hand_back() -> dict[str, float]:
    slowest = 0.0
    jobs = list(catalogue().jobs.values())
    with tempfile.TemporaryDirectory() as folder, _data_in(folder):
        for job in jobs[:: max(len(jobs) // 6, 1)]:
            work = Session(catalogue(), job, 2)
            Technician(work, COMPETENT).play()
            entries = work.recorder.entries
            prepared = PreparedMarks(catalogue(), entries[0], load_rubric())
            prepared.follow(entries[:-1], lambda share: None)  # as a process does while the job goes on
            mark = partial(graded_record, catalogue(), as_bytes(entries), Path("record"), prepared=prepared)
            passed = _times(lambda mark=mark: mark().complete(), time.perf_counter)
            say(f"marks of {job.id}, {len(entries)} lines: {', '.join(f'{each:.2f}' for each in passed)} s")
            slowest = max(slowest, min(passed))
    return {"hand_back_wall_seconds": slowest}


@contextmanager
def _data_in(folder: str) -> Iterator[None]:
    """Keep marks in a folder of their own."""
    before = os.environ.get("XDG_DATA_HOME")
    os.environ["XDG_DATA_HOME"] = folder
    try:
        yield
    finally:
        if before is None:
            del os.environ["XDG_DATA_HOME"]
        else:
            os.environ["XDG_DATA_HOME"] = before


def _times(work: Callable[[], object], clock: Callable[[], float] = time.process_time) -> list[float]:
    """Times [s] of some work, REPEATED, the processor's if no other clock is given: the least is its own, for a
    neighbour on the machine only adds.
    """
    took = []
    for _ in range(REPEATED):
        start = clock()
        work()
        took.append(clock() - start)
    return took


def _yardstick() -> float:
    """Processor time [s] of three million additions in plain Python: what this machine is worth at this moment."""
    start, total = time.process_time(), 0
    for k in range(3_000_000):
        total += k * k
    return time.process_time() - start


def _time_belief() -> dict[str, float]:
    job = next(iter(catalogue().jobs.values()))
    few = Particles.sample_prior(catalogue(), job)
    for action in TWELVE[4:8]:
        few.act(action)
    fleet = few.workshop.fleet.select(np.resize(np.arange(len(few.label)), VEHICLES))
    specs = [spec for check in catalogue().checks.values() for spec in check.readings[:1]]
    specs = [specs[k % len(specs)] for k in range(CHECKS)]
    steps = [INSTRUMENTS[s.instrument].read(float(QUANTITIES[s.quantity](fleet)[0]), 0.5) for s in specs]

    def score() -> None:
        for spec, step in zip(specs, steps, strict=True):
            INSTRUMENTS[spec.instrument].likelihood(step, QUANTITIES[spec.quantity](fleet))

    score()
    return {"belief_ms": 1000.0 * min(_times(score))}


def believed(entries: list[RecordEntry], job: Job, seed: str, scale: int = 1) -> dict[str, float]:
    """Belief in each fault after a record's actions; seed, scale: of the imagined vehicles."""
    belief_cache = BeliefCache(Particles.sample_prior(catalogue(), job, seed, scale), most=1)
    now = belief_cache.start
    for entry in entries:
        if entry.kind == "action" and entry.data["verb"] not in ("diagnose", "handback"):
            now, _ = belief_cache.after(now, entry.action, entry.steps, entry.noticed)
    return {fault.id: float(p) for fault, p in zip(now.faults, now.belief(), strict=True)}


def _repeat() -> dict[str, float]:
    jobs = list(catalogue().jobs.values())
    differences, scores = [], []
    for k in range(SESSIONS):
        job = jobs[k % len(jobs)]
        truth = job.faults[0].fault if job.faults else "none"
        entries = session(job, 100 + k, chosen=k)
        a, b = (believed(entries, job, seed)[truth] for seed in ("imagined", "other"))
        differences.append(abs(a - b))
        if k % 5 == 0:
            large = believed(entries, job, "large", LARGER)[truth]
            scores.append(math.log(max(large, 1e-9)) - math.log(max(a, 1e-9)))
        if k % 10 == 9:
            say(f"{k + 1} sessions: two seeds differ by up to {max(differences):.3f}")
    return {
        "belief_repeatability_p95": float(np.quantile(differences, 0.95)),
        "belief_repeatability_max": max(differences),
        "belief_vs_large": abs(float(np.mean(scores))),
    }


def _calibration() -> dict[str, float]:
    kept = json.loads(KEPT.read_text(encoding="utf-8"))
    say(f"calibration: kept figures of {kept['date']}, commit {kept['commit']}, {kept['sessions']:.0f} sessions")
    names = ("calibration_error", "calibration_error_by_luck", "mean_log_score", "mean_log_score_of_prior")
    return {name: float(kept[name]) for name in names}


KEPT = Path(__file__).parents[1] / "studies" / "calibration.json"
BENCHES = [
    Bench(
        {"grade_seconds": Bar(at_most=3.0), "grade_wall_seconds": Bar(at_most=2.0), "yardstick_seconds": Bar()},
        _time_grade,
    ),
    Bench({"hand_back_wall_seconds": Bar(at_most=0.5)}, _time_hand_back),
    Bench({"belief_ms": Bar(at_most=50.0)}, _time_belief),
    Bench(
        {
            "belief_repeatability_p95": Bar(at_most=0.05),
            "belief_repeatability_max": Bar(at_most=0.15),
            "belief_vs_large": Bar(at_most=0.05),
        },
        _repeat,
    ),
    Bench(
        {
            "calibration_error": Bar(at_most=0.03),
            "calibration_error_by_luck": Bar(),
            "mean_log_score": Bar(),
            "mean_log_score_of_prior": Bar(),
        },
        _calibration,
    ),
]
