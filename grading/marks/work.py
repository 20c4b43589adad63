"""The work that was done: which repairs cured what, what was fitted needlessly, what was poor work."""

from __future__ import annotations

from collections.abc import Iterable

from scenarios.actions import Action
from scenarios.model import COST_CLASSES, Catalogue, Fault, Repair


def repairs_in(catalogue: Catalogue, action: Action) -> frozenset[str]:
    """Ids of the repairs that an action does. A check that bleeds the loop or fills it does what that repair does."""
    if action.verb == "repair":
        return frozenset({action.text(0)})
    check = catalogue.checks.get(action.text(0)) if action.verb == "check" else None
    if check is None or not check.does:
        return frozenset()
    done = set(check.does)
    alike = (r for r in catalogue.repairs.values() if r.does and not r.renews and set(r.does) <= done)
    return frozenset(repair.id for repair in alike)


def cures(fault: Fault) -> frozenset[str]:
    """Ids of the repairs that cure a fault, also in passing."""
    return frozenset((*fault.cured_by, *fault.cured_in_passing))


def first_cure(catalogue: Catalogue, actions: Iterable[Action], fault: Fault) -> int | None:
    """Index of the first action that cures a fault; None where none does."""
    wanted = cures(fault)
    return next((k for k, action in enumerate(actions) if wanted & repairs_in(catalogue, action)), None)


def is_left(catalogue: Catalogue, actions: Iterable[Action], fault: Fault) -> bool:
    """Whether none of the work done cures a fault; one that no repair cures is not held against anyone."""
    return bool(cures(fault)) and first_cure(catalogue, actions, fault) is None


def is_relieved(catalogue: Catalogue, actions: Iterable[Action], fault: Fault) -> bool:
    """Whether some of the work done relieves a fault for a time."""
    return any(set(fault.relieved_by) & repairs_in(catalogue, action) for action in actions)


def price(repair: Repair) -> float:
    """What a repair costs, in minutes: its work and its part."""
    return repair.minutes + COST_CLASSES[repair.cost]


def is_needless(repair: str, truths: Iterable[Fault]) -> bool:
    """Whether a repair neither cures nor relieves any fault of the vehicle, but in passing at most."""
    return not any(repair in (*fault.cured_by, *fault.relieved_by) for fault in truths)


def would_cure(faults: Iterable[Fault], repair: str) -> list[int]:
    """Indices of the faults that a repair is for."""
    return [k for k, fault in enumerate(faults) if repair in fault.cured_by]
