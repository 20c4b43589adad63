"""A life of a fleet: cold start, town, idle, road, a hard pull, a hot day and a frosty one, and what customers notice.

All thresholds are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from scenarios.model import Fault
from scenarios.planting import plant
from sim import states as st
from sim.fleet import Fleet
from sim.observe import QUANTITIES
from sim.world import Weather, World, running

MILD_C, HOT_C, FROST_C = 2.0, 33.0, -22.0
WARM_C = 45.0  # vent temperature that customers call warm
NO_AIR = 1.0  # kg/min at the vents, a third of what the blower gives on speed 2
DAMP = 0.0040  # kg/kg outside on a damp day, nine tenths of what air of 2 degC can hold
RED = 0.86  # where the gauge's red begins
ASKED = {"heater": 1.0, "blower": 2.0, "occupants": 1.0}

Notes = dict[str, np.ndarray]
Mend = Callable[[Fleet], None]


@dataclass
class Diary:
    """What was noted of each vehicle of a fleet, by name of the moment and quantity."""

    fleet: Fleet
    world: World
    notes: Notes = field(default_factory=dict)

    @classmethod
    def of(cls, parameters: np.ndarray, ambient: float, mend: Mend | None = None) -> Diary:
        fleet = Fleet.cold(parameters, ambient)
        if mend:
            mend(fleet)
        return cls(fleet, World(fleet, Weather(ambient)))

    def go(self, seconds: float, moment: str, **controls: float) -> None:
        """Let a leg pass, note what stands at its end, and the extremes of what stood each half minute."""
        self.world.set(**{**ASKED, **controls})
        low, high = None, None
        for _ in range(max(int(seconds / 30.0), 1)):
            self.world.wait(min(seconds, 30.0))
            now = self._now()
            low = now if low is None else {k: np.minimum(v, now[k]) for k, v in low.items()}
            high = now if high is None else {k: np.maximum(v, now[k]) for k, v in high.items()}
        assert low is not None and high is not None
        for name, value in self._now().items():
            self.notes[f"{moment}: {name}"] = value
            self.notes[f"{moment}: least {name}"] = low[name]
            self.notes[f"{moment}: most {name}"] = high[name]

    def _now(self) -> Notes:
        fleet = self.fleet
        q, y = fleet.quantities, fleet.state
        return {
            "vent": q["vent_C"].copy(),
            "air": QUANTITIES["blower air"](fleet),
            "needle": QUANTITIES["gauge needle"](fleet),
            "mode": np.abs(q["mode"] - fleet.controls["vents"]),
            "fan": q["fan_share"].copy(),
            "fog": QUANTITIES["glass fog"](fleet),
            "carpet": y[:, st.CARPET].copy(),
            "cabin": y[:, st.CABIN].copy(),
            "rear": QUANTITIES["rear vent temperature"](fleet),
            "coolant": y[:, st.COOLANT].copy(),
            "lost": y[:, st.LOST].copy(),
            "metal": y[:, st.METAL].copy(),
            "steam": q["steam_kg_s"].copy(),
            "pcm": QUANTITIES["engine computer's coolant temperature"](fleet),
            "code": QUANTITIES["trouble code"](fleet),
        }


def live(parameters: np.ndarray, mend: Mend | None = None) -> Notes:
    """Notes of a fleet's winter, summer and frost; mend: what is done to it before each of them."""
    winter = Diary.of(parameters, MILD_C, mend)
    for name in ("glycol", "coolant_V", "sludge"):
        winter.notes[name] = winter.fleet.parameters[name].copy()
    winter.notes["coolant at first"] = winter.fleet.state[:, st.COOLANT].copy()
    winter.go(180.0, "first", **running(rpm=1200.0))
    winter.go(1200.0, "town", **running(kmh=50.0))
    winter.go(300.0, "idle", **running())
    winter.go(600.0, "road", **running(kmh=110.0))
    winter.go(90.0, "pull", **{**running(kmh=125.0), "load_kW": 15.0})
    winter.go(240.0, "control at cold", heater=0.0, **running(kmh=50.0))
    for swing in range(4):
        winter.go(120.0, f"swing {swing}", **running(kmh=50.0))
        winter.go(60.0, f"back {swing}", heater=0.0, **running(kmh=50.0))
    summer = Diary.of(parameters, HOT_C, mend)
    summer.go(900.0, "summer", **{**running(kmh=110.0), "load_kW": 8.0, "heater": 0.0})
    summer.go(1500.0, "traffic", **{**running(), "load_kW": 7.0, "heater": 0.0})
    frost = Diary.of(parameters, FROST_C, mend)
    frost.go(240.0, "frost, early", recirculation=1.0, **running(kmh=70.0))
    frost.go(660.0, "frost", recirculation=1.0, **running(kmh=70.0))
    breath = Diary.of(parameters, MILD_C, mend)
    breath.fleet.controls["outside_humidity"] = DAMP
    breath.fleet.state[:, st.HUMIDITY] = DAMP
    breath.go(1500.0, "three aboard", **{**running(kmh=40.0), "occupants": 3.0})
    return {**winter.notes, **summer.notes, **frost.notes, **breath.notes}


def complaints(n: Notes, good: Notes) -> dict[str, np.ndarray]:
    """Which vehicles (n,) bring which complaint; n: their notes; good: those of the same vehicles without a fault."""

    def cold(moment: str) -> np.ndarray:
        return (n[f"{moment}: vent"] < WARM_C) & (good[f"{moment}: vent"] > WARM_C)

    freezes = np.interp(n["glycol"], [0.0, 0.4, 0.5], [0.0, -24.0, -37.0])
    red = np.zeros(len(n["glycol"]), bool)
    for moment in ("town", "road", "pull", "summer", "traffic", "frost"):
        boils = n[f"{moment}: most steam"] > 1e-4
        red |= ((n[f"{moment}: most needle"] > RED) | boils) & (good[f"{moment}: most needle"] < RED)
        red |= (n[f"{moment}: most metal"] > 135.0) & (good[f"{moment}: most metal"] < 130.0)
    wanders = np.zeros(len(n["glycol"]), bool)
    for moment in ("swing 0", "swing 1", "swing 2", "swing 3"):
        wanders |= np.abs(n[f"{moment}: vent"] - good[f"{moment}: vent"]) > 12.0
        wanders |= n[f"{moment}: least vent"] < good[f"{moment}: least vent"] - 12.0
    for moment in ("town", "idle", "road"):
        for name, step in (("vent", 12.0), ("air", 1.0), ("needle", 0.2)):
            swing = n[f"{moment}: most {name}"] - n[f"{moment}: least {name}"]
            usual = good[f"{moment}: most {name}"] - good[f"{moment}: least {name}"]
            wanders |= swing > usual + step
    return {
        "cold": cold("town") | cold("idle") & cold("road"),
        "lukewarm": (n["town: vent"] < good["town: vent"] - 10.0) | (n["idle: vent"] < good["idle: vent"] - 10.0),
        "cold at idle": cold("idle") | (n["idle: vent"] < good["idle: vent"] - 12.0),
        "cold on the road": cold("road") | (n["road: vent"] < good["road: vent"] - 15.0),
        "cold standing": n["idle: least vent"] < good["idle: least vent"] - 12.0,
        "cold in the rear": (n["town: rear"] < good["town: rear"] - 20.0) & ~cold("town"),
        "slow": (n["first: vent"] < good["first: vent"] - 5.0)
        | (n["frost, early: vent"] < good["frost, early: vent"] - 5.0)
        | (n["frost: vent"] < good["frost: vent"] - 3.0)
        | (n["town: vent"] < good["town: vent"] - 5.0),
        "too warm": n["traffic: vent"] > good["traffic: vent"] + 3.0,
        "no air": n["town: air"] < NO_AIR,
        "weak air": (n["town: air"] < 0.7 * good["town: air"]),
        "wrong outlet": np.max([n[f"{m}: most mode"] for m in ("town", "road", "pull")], axis=0) > 0.5,
        "fogging": n["three aboard: most fog"] > good["three aboard: most fog"] + 0.1,
        "overheating": red,
        "gauge": (np.abs(n["town: needle"] - good["town: needle"]) > 0.08)
        | (np.abs(n["first: needle"] - good["first: needle"]) > 0.08),
        "wet carpet": n["town: carpet"] > 0.06,
        "losing coolant": good["coolant at first"] - n["coolant at first"] + n["pull: lost"] - good["pull: lost"] > 0.2,
        "poor coolant": (n["coolant_V"] > 0.3) | (freezes > -20.0) | (n["sludge"] > 0.35),
        "fan noise": n["first: fan"] > 0.6,
        "now and then": wanders,
    }


def with_fault(good: np.ndarray, fault: Fault, share: float, luck: np.ndarray | float) -> np.ndarray:
    """Good vehicles with a fault, part of the way through its severities."""
    low, high = fault.severity
    parameters = good.copy()
    plant(parameters, fault, np.full(len(good), low + share * (high - low)), np.full(len(good), luck))
    return parameters


def shown(faults: list[Fault], notes: Notes, good: Notes) -> list[set[str]]:
    """Of each vehicle i, which of its fault's own complaints it brings; faults: of each vehicle, good: of one."""
    count = len(faults)
    seen = complaints(notes, {name: np.repeat(values, count // len(values)) for name, values in good.items()})
    return [{name for name in fault.shows if name in seen and seen[name][i]} for i, fault in enumerate(faults)]
