"""What of a record is work on the vehicle."""

from __future__ import annotations

from grading.sessions.record import Entry
from scenarios.model import Catalogue, Repair


def is_work(repair: Repair) -> bool:
    """Whether a repair changes the vehicle; explaining does not."""
    return bool(repair.renews or repair.does or repair.opens_cap or repair.part != "none")


def first_after_work(catalogue: Catalogue, actions: list[Entry]) -> int:
    """Index of the first action after the last work, 0 where there was none."""
    last = -1
    for k, entry in enumerate(actions):
        if entry.data["verb"] == "repair" and is_work(catalogue.repairs[entry.action.text(0)]):
            last = k
    return last + 1


def repairs_done(actions: list[Entry]) -> list[str]:
    """Ids of the repairs done, in order."""
    return [entry.action.text(0) for entry in actions if entry.data["verb"] == "repair"]


def done_work(catalogue: Catalogue, actions: list[Entry]) -> list[str]:
    """Ids of repairs done, and of checks that do work once they have read: a bleed done as a check is a bleed."""
    ids = []
    for entry in actions:
        name = entry.action.text(0) if entry.data["verb"] in ("repair", "check") else ""
        if entry.data["verb"] == "repair" or (entry.data["verb"] == "check" and _works(catalogue, entry)):
            ids.append(name)
    return ids


def _works(catalogue: Catalogue, entry: Entry) -> bool:
    """Whether a check did its work: one that was broken off did not, and its minutes stand among its arguments."""
    check = catalogue.checks.get(entry.action.text(0))
    return check is not None and bool(check.does) and len(entry.action.arguments) == 1
