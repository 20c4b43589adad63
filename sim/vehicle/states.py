"""State vector, controls and switches of a vehicle.

The state of a fleet is a float64 array (n, STATES), one row per vehicle. Its first ``STIFF`` entries are the fast
coolant loop, integrated implicitly; the others change slowly.

The compiled laws of ``sim.vehicle`` and ``sim.solver`` name their arguments alike; numba infers the types, so they are
annotated ``Any``:

| y | state of one vehicle, float64 (STATES,) |
| dy, f, f0, f1 | its rates of change [unit of the state per s], float64 (STATES,) |
| p | its parameters, a record of ``sim.vehicle.parameters.DTYPE`` |
| c | its controls, a record of ``CONTROLS`` |
| s | its switches, a record of ``SWITCHES`` |
| q | its algebraic variables, a record of ``sim.vehicle.algebraic.DTYPE``; filled by ``sim.vehicle.rates.evaluate`` |
| m | its trouble codes, float64 (ROWS, COLUMNS) of ``sim.vehicle.code_memory`` |
| Y, P, K, S, Q, M | the same of a fleet, one row per vehicle; K: controls |
"""

from __future__ import annotations

import numpy as np

# Fast coolant loop: temperatures [degC], wax [degC], lift [-]
METAL = 0
JACKET = 1
UPPER = 2
RADIATOR = 3
FEED = 4
CORE = 5
RETURN = 6
WAX = 7
LIFT = 8
STIFF = 9
# Slow temperatures [degC]
BLOCK = 9
FEED_SKIN = 10
RETURN_SKIN = 11
UPPER_SKIN = 12
LOWER_SKIN = 13
CABIN = 14
TRIM = 15
TEMPERATURES = 16  # all entries before this are temperatures, except LIFT
# Coolant and gas: [kg], [kg], [kg], [kPa L at 20 degC], [L], [kg]
COOLANT = 16
BOTTLE = 17
LOST = 18
GAS = 19
CORE_AIR = 20
CARPET = 21
# Cabin humidity ratio [kg/kg], battery charge [0..1], reservoir vacuum [kPa], accumulated overheating [K min]
HUMIDITY = 22
CHARGE = 23
VACUUM = 24
OVERHEATING = 25
# Energy integrals since the start [J], not fed back
HEAT_IN = 26
HEAT_HEATER = 27
HEAT_RADIATOR = 28
HEAT_LOSS = 29
# Rear heater [degC], air trapped in it [L]; engine running time [s]
REAR = 30
REAR_AIR = 31
RUN = 32
# Tip of the coolant temperature sensor [degC]
SENSOR = 33
# Air under the bonnet, walls of the heater box and ducts [degC]
BAY = 34
DUCT = 35
# Air separated from the coolant at filler neck or expansion tank, beyond the tank's own [L]
NECK_AIR = 36
# Water on the inner face of the windscreen [kg]
GLASS_WATER = 37
STATES = 38

NAMES = (
    "metal",
    "jacket",
    "upper_hose",
    "radiator",
    "feed",
    "core",
    "return",
    "wax",
    "lift",
    "block",
    "feed_skin",
    "return_skin",
    "upper_skin",
    "lower_skin",
    "cabin",
    "trim",
    "coolant",
    "bottle",
    "lost",
    "gas",
    "core_air",
    "carpet",
    "humidity",
    "charge",
    "vacuum",
    "overheating",
    "heat_in",
    "heat_heater",
    "heat_radiator",
    "heat_loss",
    "rear",
    "rear_air",
    "run",
    "sensor",
    "bay",
    "duct",
    "neck_air",
    "glass_water",
)

CONTROLS = np.dtype(
    [
        (name, np.float64)
        for name in (
            "ignition",  # 0 off, 1 run
            "engine",  # 0 stopped, 1 running
            "rpm",  # demanded engine speed [1/min]; idle speed where lower
            "kmh",  # road speed
            "load_kW",  # brake work in addition to road load and accessories [kW]
            "heater",  # temperature control 0..1
            "blower",  # 0..4
            "vents",  # 0 floor, 1 face, 2 screen
            "recirculation",  # 0 fresh, 1 recirculated
            "bonnet",  # 0 shut, 1 open
            "cap",  # 1 on, 0 off
            "ambient_C",
            "atmosphere_kPa",
            "outside_humidity",  # [kg/kg]
            "occupants",
        )
    ]
)

SWITCHES = np.dtype(
    [
        (name, np.float64)
        for name in (
            "fan",  # 1 while the electric fan runs
            "valve",  # position of the heater valve when its drive was last powered, 0..1
            "open",  # 1 while a loose contact is open
            "stopped",  # 1 while stop-start has stopped the engine
            "toggles",  # number of times a loose contact has opened or closed
            "next",  # time of its next change [s]
            "blend",  # position of the blend door when its drive was last powered, 0..1
            "asked",  # position demanded of the blend door then, 0..1
            "seized",  # 1 once overheating has seized the engine
            "drained",  # 1 while a flat battery prevents the demanded engine from running
            "trip",  # 1 from an engine start until the ignition goes off
            "started_C",  # coolant temperature at the start of the trip, as the engine computer sees it [degC]
            "expected_C",  # coolant temperature it expects of a sound engine by now [degC]
            "ran_s",  # running time in this trip [s]
            "idled_s",  # time of it spent idling or crawling [s]
            "watched",  # 1 while the thermostat monitor is active in this trip
            "warmed",  # 1 once this trip has been a warm-up
            "ready",  # 1 once the thermostat monitor has completed since the codes were cleared
            "frame_of",  # row + 1 of the code that stored the freeze frame, 0 without one
            "frame_C",  # coolant temperature in the freeze frame [degC]
            "door_code",  # 1: the heater control has stored a blend door position fault
            "blower_code",  # 1: the heater control has stored a blower current fault
            "heater_cut",  # 1 while the coolant heater has cut itself out, too hot
            "runs_on",  # 1 while an electric main pump runs with the engine off, to cool it
            "heater_code",  # 1: the coolant heater has stored that it cut itself out
        )
    ]
)
