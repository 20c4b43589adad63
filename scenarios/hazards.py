"""Whether the hazard that a caution warns of exists as a vehicle stands."""

from __future__ import annotations

from scenarios.model import Caution, Check, Repair
from scenarios.workshop import Workshop
from sim.vehicle import states as st


def hazard_exists(workshop: Workshop, caution: Caution, thing: Check | Repair) -> bool:
    """Whether it exists once the needs of a check or repair are met."""
    needs = {*thing.needs}
    runs = workshop.control("engine") > 0.5 and not needs & {"engine-off", "ignition-off"}
    runs = runs or "engine-running" in needs or (isinstance(thing, Check) and thing.runs_engine)
    has_run = runs or float(workshop.fleet.state[0, st.RUN]) > 0.0
    ignition = workshop.control("ignition") > 0.5 and "ignition-off" not in needs
    exists = {
        "engine runs": runs,
        "engine has run": has_run,
        "fan can start": has_run or ignition or "ignition-on" in needs,
    }
    return exists.get(caution.when, True)
