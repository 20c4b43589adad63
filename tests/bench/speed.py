"""Speed against LSODA, a bare evaluation of the rates, and fleets of other sizes. One core, compiled and warm.

Times are of the processor, for a machine may be shared.
"""

from __future__ import annotations

from time import process_time

import numpy as np
from scipy.integrate import odeint

from sim.compile import jit_making_arrays
from sim.fleet import Fleet, _as_records
from sim.vehicle.rates import rates
from sim.vehicle.states import STATES
from tests.bench.bench import Bar, Bench, say
from tests.bench.drives import MIXED, Drive, mixed_parameters
from tests.reference.draw import record
from tests.reference.lsoda import SMALL
from tests.reference.switches import vehicle_of

RTOL = 1e-6
"""Relative tolerance of LSODA where its time is compared [-]."""
REGULATING = 2
"""Legs of the mixed drive before the one in which the thermostat regulates."""
FLEET = 10_000
SAMPLE = 40
"""Vehicles of the fleet that LSODA is timed on."""


def warmed(n: int, drive: Drive = MIXED) -> Fleet:
    """A mixed fleet of n as the thermostat begins to regulate, the controls of that leg set."""
    fleet = Fleet.cold(mixed_parameters(min(n, 1000)), drive.ambient)
    now = 0.0
    for number, (seconds, controls) in enumerate(drive.legs[: REGULATING + 1]):
        for name, value in controls.items():
            fleet.controls[name] = value
        fleet.apply_controls()
        if number < REGULATING:
            fleet.advance(now, now + seconds)
            now += seconds
    fleet = fleet.select(np.arange(n) % len(fleet))
    fleet.counts[:] = 0
    return fleet


def lsoda_seconds(fleet: Fleet, vehicle: int, seconds: float) -> float:
    """Time [s] that LSODA takes for one vehicle, in its leanest form: no events, no samples, rates of plain scalars."""
    one = fleet.select(np.array([vehicle]))
    plain = vehicle_of(record(one.parameters), record(one.controls), record(one.switches))
    begin = process_time()
    odeint(
        lambda y, t: plain.rates(t, y.tolist()),
        one.state[0],
        [0.0, seconds],
        rtol=RTOL,
        atol=RTOL * SMALL,
        mxstep=200_000,
    )
    return process_time() - begin


@jit_making_arrays
def _evaluate_over(Y: np.ndarray, P: np.ndarray, K: np.ndarray, S: np.ndarray, Q: np.ndarray, times: int) -> None:
    out = np.zeros(STATES)
    for i in range(len(Y)):
        for _ in range(times):
            rates(Y[i], P[i], K[i], S[i], Q[i], out)


def bare_seconds(fleet: Fleet) -> float:
    """Time [s] of one compiled evaluation of the rates: the mean over vehicles of the fleet, each a thousand times."""
    some = fleet.select(np.arange(0, len(fleet), max(len(fleet) // 200, 1)))
    p, c, s, q = (_as_records(x) for x in (some.parameters, some.controls, some.switches, some.algebraic))
    best = np.inf
    _evaluate_over(some.state, p, c, s, q, 1)
    for _ in range(5):
        begin = process_time()
        _evaluate_over(some.state, p, c, s, q, 1000)
        best = min(best, process_time() - begin)
    return best / 1000.0 / len(some)


def timed(fleet: Fleet, seconds: float) -> tuple[float, int]:
    """Time [s] and evaluations of a copy of the fleet advanced by seconds."""
    copy = fleet.copy()
    begin = process_time()
    copy.advance(0.0, seconds)
    return process_time() - begin, int(copy.counts[:, 1].sum())


def measure_fleet() -> dict[str, float]:
    """A fleet of 10,000, thermostat regulating, faults mixed."""
    seconds = MIXED.legs[REGULATING][0]
    fleet = warmed(FLEET)
    fleet.copy().advance(0.0, 1.0)
    sample = np.linspace(0, 999, SAMPLE).astype(int)
    lsoda = np.mean([lsoda_seconds(fleet, int(i), seconds) for i in sample])
    say(f"LSODA: {seconds / lsoda:.3g} vehicle-seconds a second over {SAMPLE} vehicles")
    runs = []
    for _ in range(3):
        bare = bare_seconds(fleet)
        ours, evaluations = timed(fleet, seconds)
        runs.append((ours, evaluations * bare / ours))
        say(f"fleet: {ours:.2f} s, {evaluations} evaluations of {bare * 1e9:.0f} ns alone")
    ours = min(run[0] for run in runs)
    say(f"fleet: {FLEET * seconds / ours:.3g} vehicle-seconds a second")
    return {
        "fleet_vs_lsoda": FLEET * lsoda / ours,
        "fleet_vs_limit": float(np.median([run[1] for run in runs])),
        "fleet_vehicle_s_per_s": FLEET * seconds / ours,
    }


def measure_single() -> dict[str, float]:
    """One healthy vehicle through 30 minutes at 50 km/h from cold."""
    fleet = Fleet.cold(mixed_parameters(1), MIXED.ambient)
    for name, value in {**MIXED.legs[0][1], "kmh": 50.0}.items():
        fleet.controls[name] = value
    fleet.apply_controls()
    fleet.copy().advance(0.0, 1.0)
    lsoda = min(lsoda_seconds(fleet, 0, 1800.0) for _ in range(3))
    ours = min(timed(fleet, 1800.0)[0] for _ in range(20))
    say(f"single: LSODA {lsoda * 1e3:.1f} ms, ours {ours * 1e3:.3f} ms")
    return {"single_vs_lsoda": lsoda / ours, "single_ms": ours * 1e3}


def measure_scaling() -> dict[str, float]:
    """Time per vehicle of 100,000 over that of 1,000, the same thousand kinds over and over."""
    seconds = 120.0
    many, few = warmed(100_000), warmed(1_000)
    few.copy().advance(0.0, 1.0)
    per_vehicle = []
    for _ in range(3):
        small = min(timed(few, seconds)[0] for _ in range(5)) / len(few)
        per_vehicle.append(timed(many, seconds)[0] / len(many) / small)
        say(f"scaling: {per_vehicle[-1]:.3f}")
    return {"fleet_scaling": min(per_vehicle)}


BENCHES = [
    Bench(
        {"fleet_vs_lsoda": Bar(at_least=60.0), "fleet_vs_limit": Bar(at_least=0.6), "fleet_vehicle_s_per_s": Bar()},
        measure_fleet,
    ),
    Bench({"single_vs_lsoda": Bar(at_least=10.0), "single_ms": Bar()}, measure_single),
    Bench({"fleet_scaling": Bar(at_most=1.2)}, measure_scaling),
]
