"""Whether the words of a job card give the fault away before a single check is made."""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from grading.fairness.doubt import Doubt
from grading.observer.prior import prior
from scenarios.language import Message
from scenarios.model import Catalogue, Fault, Job

MOST_TIMES = 1.5
"""How many times as likely a fault may be by the words of the card as by the complaint alone."""
EVERYDAY = frozenset(
    {"blower", "coolant", "dash gauge", "drive belt", "none", "radiator", "rear heater", "heater circuit", "fan"}
)
"""Parts that a customer names without knowing what is wrong (common practice, no source)."""


def given_away(catalogue: Catalogue, job: Job) -> Iterator[Doubt]:
    """Doubts about title and complaint that name the part or the failure of a planted fault.

    Whoever reads that takes it for one of the faults of that part, or of that failure. The history may name any part:
    that is work that was done.
    """
    faults = catalogue.faults_of(catalogue.vehicles[job.vehicle])
    chance = prior(job, faults)
    told = _words(f"{job.title}. {job.complaint}")
    named = np.array([_is_named(fault, told) for fault in faults], bool)
    for place, planted in enumerate(job.faults):
        own = next((k for k, fault in enumerate(faults) if fault.id == planted.fault), None)
        if own is None or not named[own] or planted.severity == 0.0:
            continue
        times = 1.0 / float(chance[named].sum())
        if times > MOST_TIMES:
            what = _named_by(faults[own], told)
            problem = Message(
                "title and complaint name '{what}': the fault is {times:.1f} times as likely as by the complaint alone",
                what=what,
                times=times,
            )
            yield Doubt(place, problem, Message("at most {most:g} times", most=MOST_TIMES))


def _words(text: str) -> str:
    """Words in small letters, plural s and hyphens left out, with a space on either side."""
    words = re.findall(r"[^\W\d_]+", text.lower().replace("-", " "))
    return f" {' '.join(_singular(word) for word in words)} "


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _phrases(fault: Fault) -> list[str]:
    """Names that stand for a fault alone: of its part, and of its part's failure where that is more than a word."""
    part = [] if fault.part in EVERYDAY else [fault.part]
    return [*part, fault.name, *([fault.mode] if " " in fault.mode else [])]


def _named_by(fault: Fault, told: str) -> str:
    """The name by which a text names a fault, empty if by none."""
    return next((phrase for phrase in _phrases(fault) if _words(phrase) in told), "")


def _is_named(fault: Fault, told: str) -> bool:
    return bool(_named_by(fault, told))
