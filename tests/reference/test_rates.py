"""The vehicle's rates against the same equations written a second time, over random vehicles, states and controls."""

import numpy as np
import pytest

from sim.vehicle import rates as rates_law
from sim.vehicle import states as st
from sim.vehicle.algebraic import DTYPE as ALGEBRAIC
from tests.reference import draw
from tests.reference.switches import vehicle_of

SAME = 1e-8
"""Difference allowed between the two [share of the rate]."""
ROUNDING = 1e-10
"""Difference allowed where the rate is nothing [share of the state's size, per s]."""
SIZE = np.array(
    [1e2] * 16
    + [10.0, 1.0, 1.0, 1e3, 1.0, 1.0, 0.1, 1.0, 1e2, 1e2]
    + [1e4] * 4
    + [1e2, 1.0, 1.0, 1e2, 1e2, 1e2, 1.0, 0.01]
)
"""Size of each state [its unit]."""


def both(seed: int, changes: dict[str, float] | None = None) -> tuple[np.ndarray, np.ndarray, float]:
    """Our rates, the reference's, and the difference of the fan's sensor [K], for one random case."""
    rng = np.random.default_rng(seed)
    p, c = draw.parameters(rng), draw.controls(rng)
    for name, value in (changes or {}).items():
        (p if name in (p.dtype.names or ()) else c)[name] = value
    y = draw.state(rng, p, float(c["ambient_C"][0]))
    s, q, rates = np.zeros(1, st.SWITCHES), np.zeros(1, ALGEBRAIC), np.zeros(st.STATES)
    s["fan"], s["blend"], s["asked"] = rng.integers(2), rng.random(), rng.random()
    s["open"], s["stopped"] = rng.random() < 0.3, rng.random() < 0.1
    s["seized"], s["drained"] = rng.random() < 0.05, rng.random() < 0.05
    s["runs_on"] = s["stopped"] * (1.0 - c["engine"])
    s["valve"], s["heater_cut"] = rng.random(), rng.random() < 0.2
    rates_law.rates(y, draw.row(p), draw.row(c), draw.row(s), draw.row(q), rates)
    vehicle = vehicle_of(draw.record(p), draw.record(c), draw.record(s))
    return rates, np.array(vehicle.rates(0.0, y.tolist())), abs(vehicle.sensor(y.tolist()) - float(q["pcm_C"][0]))


def worst(seeds: range, changes: dict[str, float] | None = None) -> tuple[float, str]:
    """Greatest difference over what is allowed, and where."""
    found = (0.0, "")
    for seed in seeds:
        ours, theirs, sensor = both(seed, changes)
        assert np.isfinite(ours).all(), seed
        assert sensor < 1e-9, seed
        share = np.abs(ours - theirs) / (SAME * np.abs(theirs) + ROUNDING * SIZE)
        i = int(np.argmax(share))
        found = max(found, (float(share[i]), f"{st.NAMES[i]} of seed {seed}: {ours[i]} against {theirs[i]}"))
    return found


def test_random_vehicles() -> None:
    share, where = worst(range(400))
    assert share < 1.0, where


@pytest.mark.parametrize("name", draw.FAULTS)
def test_every_kind_of_fault(name: str) -> None:
    low, high = draw.FAULTS[name]
    for k, value in enumerate(np.linspace(low, high, 4)):
        share, where = worst(range(1000 + 10 * k, 1010 + 10 * k), {name: float(np.round(value, 1))})
        assert share < 1.0, where


@pytest.mark.parametrize("name", [*draw.SWITCHED, *draw.SHARES])
def test_every_switch_and_share(name: str) -> None:
    for value in (0.0, 1.0) if name in draw.SWITCHED else (0.0, 0.4):
        share, where = worst(range(2000, 2015), {name: value})
        assert share < 1.0, where


@pytest.mark.parametrize(
    "changes",
    [
        {"has_bottle": 0.0, "tank_air_L": 0.7},
        {"boost_head_kPa": 12.0, "heater": 1.0, "ignition": 1.0},
        {"boost_head_kPa": 12.0, "heater": 1.0, "ignition": 1.0, "engine": 0.0},
        {"electric_rpm": 6000.0, "pump_head_kPa": 2.4, "ignition": 1.0, "engine": 1.0, "heater": 1.0, "blower": 2.0},
        {"electric_rpm": 6000.0, "pump_head_kPa": 2.4, "pump_ground_ohm": 1.5, "ignition": 1.0, "engine": 1.0},
        {"electric_rpm": 6000.0, "pump_head_kPa": 2.4, "feed_soft": 0.9, "pump_command": 0.0, "engine": 0.0},
        {"fan_viscous": 1.0, "engine": 1.0},
        {"cap": 0.0},
        {"valve_drive": 1.0, "blend_drive": 1.0},
        {
            "coolant_heater_kW": 5.0,
            "heat_pump_kW": 3.6,
            "heater": 1.0,
            "ignition": 1.0,
            "engine": 1.0,
            "ambient_C": -5.0,
        },
    ],
    ids=[
        "expansion tank",
        "boost pump",
        "boost pump alone",
        "electric main pump",
        "its ground",
        "without command",
        "viscous fan",
        "cap off",
        "vacuum",
        "electric drive",
    ],
)
def test_kinds_of_vehicle(changes: dict[str, float]) -> None:
    share, where = worst(range(3000, 3060), changes)
    assert share < 1.0, where
