"""What a job takes competent technicians, who work by rules of the trade alone: the base of its allowance."""

from __future__ import annotations

from collections.abc import Iterable
from statistics import median

from grading.marks.criteria import counted_checks
from grading.reference.preparation import stood
from grading.sessions.record import Entry
from grading.sessions.session import Session
from grading.technicians import COMPETENT, Technician
from scenarios.model import Catalogue, Job

COMPETENT_SEEDS = range(15)
"""Vehicles that are measured where nothing else is said."""


def competent_medians(catalogue: Catalogue, job: Job, seeds: Iterable[int] = COMPETENT_SEEDS) -> tuple[float, float]:
    """Median minutes to the last diagnosis that names another fault, standing counted a tenth, and median number of
    checks that count up to it, of competent technicians: as ``grading.marks`` counts them.
    """
    minutes, checks = [], []
    for seed in seeds:
        session = Session(catalogue, job, seed)
        Technician(session, COMPETENT).play()
        entries = [entry for entry in session.recorder.entries if entry.kind == "action"]
        named = [k for k, entry in enumerate(entries) if entry.action.verb == "diagnose"]
        last = max(k for at, k in enumerate(named) if at == 0 or _fault(entries[k]) != _fault(entries[named[at - 1]]))
        actions = [entry.action for entry in entries[:last]]
        minutes.append(float(entries[last].data["minute"]) - stood(actions))
        checks.append(counted_checks(catalogue, [action.text(0) for action in actions if action.verb == "check"]))
    return median(minutes), median(checks)


def _fault(entry: Entry) -> str:
    return entry.action.text(0)
