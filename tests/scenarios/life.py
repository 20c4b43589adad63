"""A life of a fleet: cold start, town, idle, road, a hard pull, a hot day and a frosty one, and what customers notice.

All thresholds are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from scenarios.model import Fault
from scenarios.planting import plant
from sim.fleet import Fleet
from sim.observation.instruments import RED_FROM
from sim.observation.loop import neck_shortfall
from sim.observation.quantities import QUANTITIES
from sim.vehicle import states as st
from sim.world import Weather, World, running

MILD_C, HOT_C, FROST_C = 2.0, 33.0, -22.0
WARM_C = 45.0  # vent temperature that customers call warm
STILL_WARM_C, BARELY_WARM_C = 35.0, 20.0  # what is no longer called warm, and what is called plain cold
NO_AIR = 1.0  # kg/min at the vents, a third of what the blower gives on speed 2
DAMP = 0.0040  # kg/kg outside on a damp day, nine tenths of what air of 2 degC can hold
RAINY_C, WET = 9.0, 0.0066  # kg/kg outside on a rainy day, nine tenths of what air of 9 degC can hold
MIST = 0.08  # of the glass, as the eye's first bound
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
        q, y = fleet.algebraic, fleet.state
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
            "stopped": fleet.switches["stopped"].copy(),
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
    winter.notes["short at first"] = neck_shortfall(winter.fleet)
    winter.notes["bottle at first"] = QUANTITIES["bottle level"](winter.fleet)
    winter.go(180.0, "first", **running(rpm=1200.0))
    winter.go(1200.0, "town", **running(kmh=50.0))
    winter.go(300.0, "idle", **running())
    winter.go(600.0, "road", **running(kmh=110.0))
    winter.go(90.0, "pull", **{**running(kmh=125.0), "load_kW": 15.0})
    winter.go(240.0, "control at cold", heater=0.0, **running(kmh=50.0))
    for swing in range(4):
        winter.go(120.0, f"swing {swing}", **running(kmh=50.0))
        winter.go(60.0, f"back {swing}", heater=0.0, **running(kmh=50.0))
    winter.go(30.0, "full blower", blower=4.0, **running(kmh=50.0))
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
    autumn = Diary.of(parameters, RAINY_C, mend)
    autumn.fleet.controls["outside_humidity"] = WET
    autumn.fleet.state[:, st.HUMIDITY] = WET
    autumn.go(1200.0, "rain", **{**running(kmh=40.0), "recirculation": 1.0, "occupants": 3.0})
    return {**winter.notes, **summer.notes, **frost.notes, **breath.notes, **autumn.notes}


def complaints(n: Notes, good: Notes) -> dict[str, np.ndarray]:
    """Which vehicles (n,) bring which complaint; n: their notes; good: those of the same vehicles without a fault."""

    def blows(moment: str) -> np.ndarray:
        return n[f"{moment}: air"] > NO_AIR

    def cold(moment: str) -> np.ndarray:
        return (n[f"{moment}: vent"] < WARM_C) & (good[f"{moment}: vent"] > WARM_C) & blows(moment)

    def lukewarm(moment: str) -> np.ndarray:
        vent = n[f"{moment}: vent"]
        return (vent < good[f"{moment}: vent"] - 10.0) & (vent > BARELY_WARM_C) & blows(moment)

    def late(moment: str, step: float) -> np.ndarray:
        return n[f"{moment}: vent"] < good[f"{moment}: vent"] - step

    freezes = np.interp(n["glycol"], [0.0, 0.4, 0.5], [0.0, -24.0, -37.0])
    red = np.zeros(len(n["glycol"]), bool)
    for moment in ("town", "road", "pull", "summer", "traffic", "frost"):
        boils = n[f"{moment}: most steam"] > 1e-4
        red |= ((n[f"{moment}: most needle"] > RED_FROM) | boils) & (good[f"{moment}: most needle"] < RED_FROM)
        red |= (n[f"{moment}: most metal"] > 135.0) & (good[f"{moment}: most metal"] < 130.0)
    best = np.maximum(n["town: vent"], n["road: vent"])
    rests = (n["idle: vent"] > STILL_WARM_C) & blows("idle")
    shift = (n["idle: vent"] - n["road: vent"]) - (good["idle: vent"] - good["road: vent"])
    air = np.minimum(n["town: air"] / good["town: air"], n["idle: air"] / good["idle: air"])
    full = n["full blower: air"] / good["full blower: air"]
    warm_at_last = (n["town: vent"] > np.maximum(WARM_C, good["town: vent"] - 15.0)) & blows("town")
    never_red = n["town: most needle"] < RED_FROM
    return {
        "cold": cold("town") | cold("idle") & cold("road"),
        "lukewarm": lukewarm("town") | lukewarm("idle"),
        "cold at idle": (n["idle: vent"] < np.minimum(good["idle: vent"] - 12.0, best - 10.0))
        & (best > STILL_WARM_C)
        & blows("idle"),
        "cold on the road": (shift > 8.0) & (n["road: vent"] < good["road: vent"] - 10.0) & rests,
        "cold standing": (n["idle: least vent"] < good["idle: least vent"] - 12.0)
        & (n["idle: most stopped"] > 0.5)
        & (best > WARM_C)
        & blows("idle"),
        "cold in the rear": (n["town: rear"] < good["town: rear"] - 20.0) & ~cold("town") & blows("town"),
        "slow": (late("first", 5.0) | late("frost, early", 5.0) | late("frost", 3.0) | late("town", 5.0))
        & warm_at_last,
        "too warm": (n["traffic: vent"] > good["traffic: vent"] + 3.0) & blows("traffic"),
        "no air": np.minimum(n["town: air"], n["idle: air"]) < NO_AIR,
        "weak air": (air > 0.1) & (air < 0.7),
        "weak full speed": (full < 0.8) & (full > 0.1) & (air > 0.7),
        "wrong outlet": np.max([n[f"{m}: most mode"] for m in ("town", "road", "pull")], axis=0) > 0.5,
        "fogging": (n["three aboard: most fog"] > good["three aboard: most fog"] + MIST)
        | (n["rain: fog"] > good["rain: fog"] + MIST),
        "overheating": red,
        "gauge": (np.abs(n["town: needle"] - good["town: needle"]) > 0.08) & never_red
        | (np.abs(n["first: needle"] - good["first: needle"]) > 0.08),
        "wet carpet": n["town: carpet"] > 0.06,
        "losing coolant": (n["short at first"] > good["short at first"] + 0.25)
        | (n["bottle at first"] < good["bottle at first"] - 0.3)
        | (n["pull: lost"] > good["pull: lost"] + 0.2),
        "poor coolant": (n["coolant_V"] > 0.3) | (freezes > -20.0) | (n["sludge"] > 0.35),
        "fan noise": n["first: fan"] > 0.6,
    }


def passing(n: Notes, good: Notes) -> dict[str, np.ndarray]:
    """Which vehicles (n,) bring which complaint for half a minute or more and not all the time."""
    warm = ("idle", "road", "swing 0", "swing 1", "swing 2", "swing 3")
    driven = ("town", *warm)

    def falls(name: str, moments: tuple[str, ...], step: float) -> np.ndarray:
        below = [n[f"{m}: least {name}"] < good[f"{m}: least {name}"] - step for m in moments]
        well = [n[f"{m}: most {name}"] > good[f"{m}: most {name}"] - step for m in driven]
        return np.logical_or.reduce(below) & np.logical_or.reduce(well)

    back = [n[f"back {swing}: vent"] > good[f"back {swing}: vent"] + 12.0 for swing in range(4)]
    mode = np.array([n[f"{m}: most mode"] for m in ("town", "road", "pull")])
    return {
        "cold": falls("vent", warm, 12.0),
        "too warm": np.logical_or.reduce(back) & ~np.logical_and.reduce(back),
        "no air": falls("air", driven, 1.0),
        "fan noise": np.logical_or.reduce(
            [(n[f"{m}: most fan"] > 0.6) & (good[f"{m}: most fan"] < 0.3) for m in ("first", "town", "idle", "road")]
        ),
        "weak full speed": n["full blower: most air"] < 0.8 * good["full blower: most air"],
        "gauge": falls("needle", driven, 0.2),
        "wrong outlet": np.logical_or.reduce(mode > 0.5) & np.logical_or.reduce(mode < 0.5),
    }


def with_fault(good: np.ndarray, fault: Fault, share: float, variant: np.ndarray | float) -> np.ndarray:
    """Good vehicles with a fault, part of the way through its severities."""
    low, high = fault.severity
    parameters = good.copy()
    plant(parameters, fault, np.full(len(good), low + share * (high - low)), np.full(len(good), variant))
    return parameters


def shown(faults: list[Fault], notes: Notes, good: Notes) -> list[set[str]]:
    """Of each vehicle i, which of its fault's own complaints it brings; faults: of each vehicle, good: of one."""
    return [seen & set(fault.shows) for fault, seen in zip(faults, brings(faults, notes, good), strict=True)]


def brings(faults: list[Fault], notes: Notes, good: Notes) -> list[set[str]]:
    """Of each vehicle i, all that it brings; a fault that comes and goes what it brings at times."""
    count = len(faults)
    usual = {name: np.repeat(values, count // len(values)) for name, values in good.items()}
    seen, at_times = complaints(notes, usual), passing(notes, usual)
    each = [at_times if fault.comes_and_goes else seen for fault in faults]
    return [{name for name, whom in kinds.items() if whom[i]} for i, kinds in enumerate(each)]
