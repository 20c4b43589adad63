"""The repairs done in a record: cures, needless parts, and work on the vehicle."""

from __future__ import annotations

from collections.abc import Iterable

from grading.sessions.record import RecordEntry
from scenarios.actions import Action
from scenarios.model import COST_CLASSES, Catalogue, Fault, Repair


def repairs_in(catalogue: Catalogue, action: Action) -> frozenset[str]:
    """Id of the repair of an action, or of a check that does work after its readings: bleeding as a check is bleeding.
    An interrupted check, which has its minutes as an argument, did no work.
    """
    check = catalogue.checks.get(action.text(0)) if action.verb == "check" else None
    works = check is not None and bool(check.does) and len(action.arguments) == 1
    return frozenset({action.text(0)}) if action.verb == "repair" or works else frozenset()


def cures(fault: Fault) -> frozenset[str]:
    """Ids of the repairs that cure a fault, also as a side effect."""
    return frozenset((*fault.cured_by, *fault.cured_in_passing))


def first_cure(catalogue: Catalogue, actions: Iterable[Action], fault: Fault) -> int | None:
    """Index of the first action that cures a fault; None if none does."""
    wanted = cures(fault)
    return next((k for k, action in enumerate(actions) if wanted & repairs_in(catalogue, action)), None)


def is_left(catalogue: Catalogue, actions: Iterable[Action], fault: Fault) -> bool:
    """Whether none of the actions cures a fault; False for a fault that no repair cures."""
    return bool(cures(fault)) and first_cure(catalogue, actions, fault) is None


def is_relieved(catalogue: Catalogue, actions: Iterable[Action], fault: Fault) -> bool:
    """Whether an action relieves a fault for a time."""
    return any(set(fault.relieved_by) & repairs_in(catalogue, action) for action in actions)


def price(repair: Repair) -> float:
    """Cost of a repair [min]: work and part."""
    return repair.minutes + COST_CLASSES[repair.cost]


def is_needless(repair: Repair, left: Iterable[Fault], truths: Iterable[Fault]) -> bool:
    """Whether a repair neither cures a real fault nor relieves a remaining one, other than as a side effect.

    Renewing a sound part is needless even if refilling the loop afterwards helps for a while.
    """
    if any(repair.id in fault.cured_by for fault in truths):
        return False
    return bool(repair.renews) or not any(repair.id in fault.relieved_by for fault in left)


def would_cure(faults: Iterable[Fault], repair: str) -> list[int]:
    """Indices of the faults that a repair cures."""
    return [k for k, fault in enumerate(faults) if repair in fault.cured_by]


def is_work(repair: Repair) -> bool:
    """Whether a repair changes the vehicle; an explanation to the customer does not."""
    return bool(repair.renews or repair.does or repair.opens_cap or repair.part != "none")


def first_after_work(catalogue: Catalogue, actions: list[RecordEntry]) -> int:
    """Index of the first action after the last work, 0 if there was none."""
    last = -1
    for k, entry in enumerate(actions):
        if entry.data["verb"] == "repair" and is_work(catalogue.repairs[entry.action.text(0)]):
            last = k
    return last + 1


def repairs_done(actions: list[RecordEntry]) -> list[str]:
    """Ids of the repairs done, in order."""
    return [entry.action.text(0) for entry in actions if entry.data["verb"] == "repair"]
