"""Errors against the independent rates integrated by LSODA, and how well heat and mass close, over every fault."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.fleet import Fleet
from sim.solver import integrator, slow_block
from sim.vehicle import states as st
from sim.vehicle.rates import stored_heat
from tests.bench.bench import Bar, Bench, say
from tests.bench.drives import MIXED, WINTER, Case, Drive, cases, cold
from tests.reference.draw import record, row
from tests.reference.lsoda import integrate

GRAZES_K = 0.05
"""A run in which a switch turned back this near its threshold [K], or ends otherwise, grazes an event."""
TRUE_RTOL = 1e-9
TEMPERATURES = [*(i for i in range(st.TEMPERATURES) if i != st.LIFT), st.REAR, st.SENSOR]
EVENTS = ("fan", "stopped", "open", "seized", "drained")


@dataclass(frozen=True)
class Outcome:
    """One run: worst error [K] and where, whether it grazes an event, closures [-], steps."""

    name: str
    error: float
    where: str
    grazes: bool
    energy: float
    mass: float
    steps: int


def step_ends(fleet: Fleet, start: float, end: float) -> np.ndarray:
    """Moments [s] at which the steps of a fleet of one will end; the fleet stays as it is."""
    twin = fleet.copy()
    ends = np.full(400_000, np.nan)
    scratch = np.zeros((8, st.STATES))
    matrices = np.zeros((st.STIFF, st.STIFF)), np.zeros((slow_block.ROWS, st.STATES)), np.zeros((st.STIFF, st.STIFF))
    p, c, s, q = (row(x) for x in (twin.parameters, twin.controls, twin.switches, twin.algebraic))
    none = np.zeros(0), np.zeros((0, st.STATES)), np.zeros(0, st.SWITCHES)
    m = twin.codes[0]
    steps, *_ = integrator.advance(twin.state[0], p, c, s, q, m, start, end, *none, ends, scratch, matrices)
    return ends[:steps]


def run(case: Case, drive: Drive) -> Outcome:
    """Drive one vehicle twice, by our integrator and by LSODA on the independent rates, and compare."""
    fleet = cold(case.parameters, drive)
    p = record(fleet.parameters)
    true_y, true_switches, now = fleet.state[0].copy(), record(fleet.switches), 0.0
    begin = fleet.state[0].copy()
    stored = stored_heat(begin, row(fleet.parameters))
    error, where, grazes = 0.0, "", False
    for seconds, controls in drive.legs:
        for name, value in controls.items():
            fleet.controls[name] = value
        fleet.apply_controls()
        marks = np.union1d(np.arange(now, now + seconds + 1e-9), step_ends(fleet, now, now + seconds))
        true_switches |= {name: float(fleet.switches[name][0]) for name in ("blend", "asked")}
        controls_now = record(fleet.controls)
        path = integrate(p, controls_now, true_switches, true_y, now, now + seconds, marks, TRUE_RTOL)
        ours = fleet.advance(now, now + seconds, marks)[0]
        off = np.abs(ours - path.states)[:, TEMPERATURES]
        worst = np.unravel_index(int(np.argmax(off)), off.shape)
        if off[worst] > error:
            error, where = float(off[worst]), f"{st.NAMES[TEMPERATURES[worst[1]]]} at {marks[worst[0]]:.0f} s"
        ends_otherwise = any(float(fleet.switches[name][0]) != path.switches[name] for name in EVENTS)
        grazes |= path.nearest > -GRAZES_K or ends_otherwise
        true_y, true_switches, now = path.states[-1].copy(), path.switches, now + seconds
    end = fleet.state[0]
    kept = stored_heat(end, row(fleet.parameters)) - stored
    given = end[st.HEAT_IN]
    out = end[st.HEAT_HEATER] + end[st.HEAT_RADIATOR] + end[st.HEAT_LOSS]
    filled = begin[st.COOLANT] + begin[st.BOTTLE]
    held = end[st.COOLANT] + end[st.BOTTLE] + end[st.LOST]
    return Outcome(
        case.name,
        error,
        where,
        grazes,
        float(abs(given - kept - out) / given),
        float(abs(held - filled) / filled),
        int(fleet.counts[0, 0]),
    )


def measure(drive: Drive, names: tuple[str, ...]) -> dict[str, float]:
    """Every case through a drive; names: keys of worst error, median error, share of runs within 0.02 K, closures."""
    outcomes = []
    for case in cases():
        outcome = run(case, drive)
        outcomes.append(outcome)
        graze = " grazes an event" if outcome.grazes else ""
        say(
            f"{outcome.name:50} {outcome.error:9.5f} K {outcome.where:24} heat {outcome.energy:.1e}"
            f" mass {outcome.mass:.1e} {outcome.steps:6} steps{graze}"
        )
    errors = np.array([outcome.error for outcome in outcomes])
    say(f"{len(errors)} runs, {sum(o.grazes for o in outcomes)} graze an event (listed above, not dropped)")
    values = (
        float(errors.max()),
        float(np.median(errors)),
        float(np.mean(errors <= 0.02)),
        max(outcome.energy for outcome in outcomes),
        max(outcome.mass for outcome in outcomes),
    )
    return dict(zip(names, values, strict=True))


MIXED_KEYS = {
    "max_error_K": Bar(at_most=0.02),
    "median_error_K": Bar(),
    "runs_within_bar": Bar(),
    "energy_closure": Bar(at_most=1e-3),
    "mass_closure": Bar(at_most=1e-9),
}
WINTER_KEYS = {
    "winter_max_error_K": Bar(),
    "winter_median_error_K": Bar(),
    "winter_runs_within_bar": Bar(),
    "winter_energy_closure": Bar(),
    "winter_mass_closure": Bar(),
}
BENCHES = [
    Bench(MIXED_KEYS, lambda: measure(MIXED, tuple(MIXED_KEYS))),
    Bench(WINTER_KEYS, lambda: measure(WINTER, tuple(WINTER_KEYS))),
]
