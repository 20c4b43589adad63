"""The error raised where the equations of a vehicle cannot be solved, and its text."""

from __future__ import annotations

import numpy as np

from scenarios.language import N_, _, say
from scenarios.wrong_use import WrongUse
from sim.fleet import Fleet
from sim.laws.pressure import ATMOSPHERE
from sim.solver.integrator import TOO_MANY_STEPS
from sim.vehicle import states as st
from sim.world import MINUTE

BEFORE_THE_JOB = N_("in the days before the job")
IN_THE_JOB = N_("in the job")
AFTER_THE_JOB = N_("in the month after the job")
IN_THE_DRIVE = N_("in the drive")


class PhysicsFailed(WrongUse):
    """The equations of a vehicle cannot be solved any further; the text says when, why and in what state it was."""


def require_solved(fleet: Fleet, when: str) -> None:
    """Raise PhysicsFailed for the first failed vehicle of a fleet; when: one of the texts above."""
    failed = np.flatnonzero(fleet.failed)
    if not len(failed):
        return
    i = failed[0]
    y, why, at_s = fleet.state[i], fleet.failures["why"][i], float(fleet.failures["at_s"][i])
    reason = (
        _("its equations take too many steps") if why == TOO_MANY_STEPS else _("a figure of it is no longer finite")
    )
    state = say(
        "engine coolant {coolant:.1f} °C, metal {metal:.1f} °C, {mass:.2f} kg of coolant, {air:.2f} L of air",
        coolant=float(y[st.JACKET]),
        metal=float(y[st.METAL]),
        mass=float(y[st.COOLANT]),
        air=float(y[st.GAS]) / ATMOSPHERE,
    )
    raise PhysicsFailed(
        say(
            "the vehicle cannot be calculated beyond minute {minute:.2f} {when}: {reason} ({state})",
            minute=at_s / MINUTE,
            when=_(when),
            reason=reason,
            state=state,
        )
    )
