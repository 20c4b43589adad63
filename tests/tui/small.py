"""A catalogue of a handful of things, small enough to read, for tests of the interfaces."""

from __future__ import annotations

from scenarios.model import Catalogue, Caution, Change, Check, Fault, Job, Planted, ReadingSpec, Repair, Vehicle


def _fault(name: str, part: str, change: Change | None, cured_by: str) -> Fault:
    return Fault(
        id=name,
        name=name.replace("-", " "),
        system="coolant" if change else "nothing wrong",
        part=part,
        mode="failed",
        rate=1.0,
        rate_note="invented",
        severity=(1.0, 1.0),
        requires=frozenset(),
        excludes=frozenset(),
        changes=(change,) if change else (),
        cured_by=(cured_by,) if cured_by else (),
        relieved_by=(),
        explains="It fails.",
        prevents="",
    )


def _check(name: str, place: str, quantity: str, instrument: str, needs: tuple[str, ...] = (), **more: object) -> Check:
    facts = {
        "id": name,
        "name": name.replace("-", " "),
        "place": place,
        "minutes": 1.0,
        "tool": instrument,
        "needs": needs,
        "best_when": ("warm",),
        "requires": frozenset(),
        "cautions": (),
        "opens_cap": False,
        "does": (),
        "protected": False,
        "readings": (ReadingSpec(name.replace("-", " "), quantity, instrument),),
        "normal": "It depends.",
    }
    return Check(**{**facts, **more})  # pyright: ignore[reportArgumentType]


def small_catalogue() -> Catalogue:
    """One vehicle, three faults, a few checks and repairs, one job."""
    vehicle = Vehicle(
        "tern", "Tern", "A small car.", frozenset(), {}, {"coolant": "5.9 L"}, {"gauge": "Left of the dash."}
    )
    faults = [
        _fault("coolant-low", "coolant", Change("missing_L", to=1.8), "top-up"),
        _fault("thermostat-stuck-open", "thermostat", Change("lift_least", to=1.0), "renew-thermostat"),
        _fault("none", "nothing", None, ""),
    ]
    checks = [
        _check("gauge", "driver's seat", "gauge needle", "dash gauge", ("ignition-on",)),
        _check("vent-temperature", "driver's seat", "vent temperature", "air probe", ("engine-running",)),
        _check("heater-feed-infrared", "engine bay", "feed hose skin", "infrared thermometer"),
        _check("heater-return-infrared", "engine bay", "return hose skin", "infrared thermometer"),
        _check(
            "coolant-level-cold",
            "engine bay",
            "neck shortfall",
            "eye on the neck",
            ("engine-off",),
            cautions=("hot-cap",),
            opens_cap=True,
            best_when=("cold",),
        ),
        _check("road-gauge", "on the road", "gauge needle", "dash gauge", ("engine-running",), drive_kmh=60.0),
    ]
    repairs = [
        Repair("top-up", "Top up and bleed", "coolant", "engine bay", 15.0, "small", ("engine-off",), frozenset(),
               ("hot-cap",), True, (), ("fill and bleed",), ("vent-temperature",)),
        Repair("renew-thermostat", "Renew the thermostat", "thermostat", "engine bay", 45.0, "small", ("engine-off",),
               frozenset(), ("hot-cap",), True, ("lift_least",), ("fill and bleed",), ("gauge",)),
    ]  # fmt: skip
    job = Job(
        id="cold-tern",
        title="Cold Tern",
        customer="Ms Abara",
        complaint="It never gets warm in here.",
        complains_of=("cold",),
        comes_and_goes=False,
        vehicle="tern",
        faults=(Planted("coolant-low", 1.0),),
        ambient_C=2.0,
        altitude_m=100.0,
        mileage_km=88_000.0,
        history="Nothing known.",
        difficulty=1,
        warm_enough_C=35.0,
    )
    return Catalogue(
        {vehicle.id: vehicle},
        {fault.id: fault for fault in faults},
        {check.id: check for check in checks},
        {repair.id: repair for repair in repairs},
        {job.id: job},
        {"hot-cap": Caution("hot-cap", "Hot coolant under pressure burns. Feel the upper hose first.", True)},
    )
