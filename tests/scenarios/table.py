"""``python -m tests.scenarios.table`` writes signs.md: what each fault shows on key checks, by the physics.

One type of vehicle a fault, the first that can have it; the middle of its severities, no noise, no tolerance.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from scenarios.model import Catalogue, Check, Fault, Vehicle
from scenarios.workshop import Workshop
from sim.observation.categories import Categories
from sim.observation.instruments import INSTRUMENTS
from sim.observation.likelihood import Instrument
from sim.observation.quantities import QUANTITIES
from sim.vehicle.parameters import healthy
from sim.world import MINUTE, Weather, running
from tests.packaged import packaged_catalogue
from tests.scenarios.life import MILD_C, with_fault

PAGE = Path(__file__).with_name("signs.md")
ORDER = ("saloon", "hatch", "pickup", "van", "diesel-wagon", "hybrid", "electric", "compact")
LUCK = 0.35
COLD = ("coolant-level-cold", "overflow-level", "coolant-voltage", "refractometer", "pressure-test", "leaks-by-eye")
WARM = (
    "gauge",
    "scan-coolant-temperature",
    "trouble-codes",
    "pending-codes",
    "heater-control-codes",
    "heater-feed-infrared",
    "heater-return-infrared",
    "upper-radiator-hose-infrared",
    "vent-temperature",
    "blower-each-speed",
    "blend-door-listen",
    "blend-door-borescope",
    "valve-movement",
    "outlets-by-hand",
    "carpet-feel",
    "main-pump-listen",
    "main-pump-speed",
)
HEAD = """\
# What each fault shows

Written by `python -m tests.scenarios.table` from the physics: no reading is looked up by a fault's name.

{ambient:g} degC outside, the middle of the fault's severities, instruments without noise. Cold: before the engine has
run, voltage at idle. Warm: after 25 minutes at 50 km/h and four at 1800 rpm with the bonnet open, heater at full hot,
blower on 1. Hoses are skins by infrared thermometer. What is as on the same vehicle in good health is left out, so an
empty row is a fault that these checks cannot find as the vehicle stands: it wants another check, another moment or a
drive.

| fault | on | cold | warm |
|---|---|---|---|
"""


def _shop(catalogue: Catalogue, vehicle: Vehicle, parameters: np.ndarray) -> Workshop:
    good = healthy(len(parameters), vehicle.parameters)
    return Workshop(catalogue, vehicle, parameters, good, Weather(MILD_C), 101.325)


def _word(tool: Instrument, seen: float) -> str:
    """The reading without noise."""
    return tool.show(round(seen) if isinstance(tool, Categories) else tool.step(seen))


def _look(shop: Workshop, check: Check) -> list[tuple[str, list[str]]]:
    """Label and words, of every vehicle, of a check's readings as things stand, its own settings tried."""
    out = []
    for spec in check.readings:
        tool = INSTRUMENTS[spec.instrument]
        before = {name: shop.control(name) for name in spec.sets}
        shop.world.set(**spec.sets)
        seen = tool.response(QUANTITIES[spec.quantity](shop.fleet))
        out.append((spec.label, [_word(tool, float(x)) for x in seen]))
        shop.world.set(**before)
    return out


def _readings(catalogue: Catalogue, vehicle: Vehicle, parameters: np.ndarray) -> tuple[list[dict[str, str]], ...]:
    """Of every vehicle, label to words of the key checks, cold and warm."""
    shop = _shop(catalogue, vehicle, parameters)
    moments = []
    for names in (COLD, WARM):
        rows: list[dict[str, str]] = [{} for _ in parameters]
        if names is WARM:
            shop.world.set(heater=1.0, blower=1.0, bonnet=0.0, **running(kmh=50.0))
            shop.world.wait(25.0 * MINUTE)
            shop.world.set(bonnet=1.0, **running(rpm=1800.0))
            shop.world.wait(4.0 * MINUTE)
        for name in names:
            check = catalogue.checks[name]
            if not check.fits(vehicle):
                continue
            if name == "coolant-voltage":
                shop.world.set(**running())
            for label, shown in _look(shop, check):
                for row, words in zip(rows, shown, strict=True):
                    row[label] = words
        moments.append(rows)
    return tuple(moments)


def _differs(words: str, good: str) -> bool:
    """Whether a reading differs from the good one by more than a person would pass over."""
    try:
        a, b = float(words.split()[0]), float(good.split()[0])
    except ValueError:
        return words != good
    return abs(a - b) > (0.15 if words.endswith(" V") else 4.0)


def _told(row: dict[str, str], good: dict[str, str]) -> str:
    return "; ".join(f"{label}: {words}" for label, words in row.items() if _differs(words, good[label]))


def page(catalogue: Catalogue) -> str:
    """The whole page."""
    homes: dict[str, list[Fault]] = {name: [] for name in ORDER}
    for fault in catalogue.faults.values():
        if fault.changes:
            homes[next(name for name in ORDER if fault.fits(catalogue.vehicles[name]))].append(fault)
    rows: dict[str, str] = {}
    for name, faults in homes.items():
        vehicle = catalogue.vehicles[name]
        good = healthy(1, vehicle.parameters)
        fleet = np.concatenate([good, *(with_fault(good, fault, 0.5, LUCK) for fault in faults)])
        cold, warm = _readings(catalogue, vehicle, fleet)
        everything = "; ".join(f"{label}: {words}" for label, words in warm[0].items())
        chilly = "; ".join(f"{label}: {words}" for label, words in cold[0].items())
        rows[f"none on {name}"] = f"| none (all readings) | {name} | {chilly} | {everything} |"
        for k, fault in enumerate(faults, start=1):
            rows[fault.id] = f"| {fault.id} | {name} | {_told(cold[k], cold[0])} | {_told(warm[k], warm[0])} |"
    order = [fault for fault in catalogue.faults if fault in rows]
    order += [row for row in rows if row not in order]
    return HEAD.format(ambient=MILD_C) + "\n".join(rows[name] for name in order) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(packaged_catalogue()), encoding="utf-8")
