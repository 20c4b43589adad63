"""Where a job stands, from the complaint to the keys, and what is to be done next."""

from __future__ import annotations

from dataclasses import dataclass

from grading.marks.criteria import WRITTEN, written
from grading.marks.what_counts import read_since_work, what_counts
from grading.sessions.session import Session
from scenarios.language import N_, _, plural, say

COMPLAINT, READINGS, DIAGNOSIS = N_("complaint"), N_("readings"), N_("diagnosis")
REPAIR, PROOF, WRITE_UP, KEYS = N_("repair"), N_("proof"), N_("write-up"), N_("keys")
NOTHING_WRONG = "nothing wrong"
"""System of the faults that want no repair."""


@dataclass(frozen=True, slots=True)
class Stage:
    """A part of a job.

    name: in English, as screens know it by; told: in the language chosen, with how far it is; done; now: whether it is
    the first one that is not done.
    """

    name: str
    told: str
    done: bool
    now: bool


def stages(session: Session) -> list[Stage]:
    """All parts of a job in their order; a job that ends with the diagnosis has no repair and no proof."""
    actions = [entry for entry in session.recorder.entries if entry.kind == "action"]
    taken = len(session.readings)
    texts = sum(1 for kind in WRITTEN if kind in written(actions))
    found = [
        (COMPLAINT, _("complaint"), taken > 0),
        (READINGS, plural(taken, "{n} reading", "{n} readings"), taken > 0),
        (DIAGNOSIS, _("diagnosis"), session.diagnosis is not None),
    ]
    if wants_repair(session):
        proofs = len(read_since_work(session.catalogue, session.job, actions)) if session.repairs else 0
        repairs = len(session.repairs)
        found.append(
            (REPAIR, plural(repairs, "{n} repair", "{n} repairs") if repairs > 1 else _("repair"), repairs > 0)
        )
        found.append((PROOF, say("proof {count}", count=proofs) if proofs else _("proof"), proofs > 0))
    found.append((WRITE_UP, say("write-up {texts}/{all}", texts=texts, all=len(WRITTEN)), texts == len(WRITTEN)))
    found.append((KEYS, _("keys"), session.finished))
    first = next((name for name, _told, done in found if not done), KEYS)
    return [Stage(name, told, done, name == first) for name, told, done in found]


def wants_repair(session: Session) -> bool:
    """Whether a repair is due in this job: not where it ends with the diagnosis, or nothing is declared to be wrong."""
    faults = session.catalogue.faults
    sound = [faults[name].system == NOTHING_WRONG for name in session.diagnoses if name in faults]
    return not session.job.diagnosis_only and not (sound and all(sound))


def next_step(session: Session) -> str:
    """What is to be done next, in a sentence."""
    now = next(stage.name for stage in stages(session) if stage.now)
    match now:
        case "complaint" | "readings":
            return _("Next: find out whether the complaint is there, and take a reading.")
        case "diagnosis":
            return _("Next: go on reading until you know, then declare a suspect.")
        case "repair":
            return _("Next: the repair. Place 5 lists all of them.")
        case "proof":
            return say("Next: prove it. {counts}", counts=_(what_counts(session.job)))
        case "write-up":
            return _("Next: write the job up with t.")
        case _:
            return _("Next: hand back the keys with x.")
