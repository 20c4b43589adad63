"""What a vehicle remembers: the state vector, the controls upon it and its switches.

A fleet's state is a float64 array of shape (n, STATES), a row a vehicle. The first ``STIFF`` entries are
the fast coolant loop, which the integrator treats implicitly; those that follow change slowly.
"""

from __future__ import annotations

import numpy as np

# Implicit block [degC], wax [degC], lift [-]
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
TEMPERATURES = 16  # all before this are temperatures, but LIFT
# Coolant and gas: [kg], [kg], [kg], [kPa L at 20 degC], [L], [kg]
COOLANT = 16
BOTTLE = 17
LOST = 18
GAS = 19
CORE_AIR = 20
CARPET = 21
# Cabin humidity ratio [kg/kg], battery charge [0..1], reservoir vacuum [kPa], overheating [K min]
HUMIDITY = 22
CHARGE = 23
VACUUM = 24
OVERHEATING = 25
# Heat since the start [J]: integrals, never fed back
HEAT_IN = 26
HEAT_HEATER = 27
HEAT_RADIATOR = 28
HEAT_LOSS = 29
# Rear heater [degC], air in it [L]; time that the engine has run [s]
REAR = 30
REAR_AIR = 31
RUN = 32
# Tip of the coolant temperature sensor [degC]
SENSOR = 33
# Air under the bonnet, walls of heater box and ducts [degC]
BAY = 34
DUCT = 35
# Air that has parted from the coolant at neck or tank, beyond the tank's own [L]
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
            "rpm",  # engine speed asked for; idle speed where lower [1/min]
            "kmh",  # road speed
            "load_kW",  # brake work beyond road load and accessories [kW]
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
            "valve",  # where the heater valve's drive was left, 0..1
            "open",  # 1 while a loose contact is open
            "stopped",  # 1 while the engine has stopped itself
            "toggles",  # how often a loose contact has come and gone
            "next",  # when it will again [s]
            "blend",  # where the blend door was left, 0..1
            "asked",  # what was asked of the blend door then, 0..1
            "seized",  # 1 once the engine was overheated for so long that it turns no more
            "drained",  # 1 while a flat battery leaves an engine standing that was asked to run
            "trip",  # 1 from an engine start until the ignition goes off
            "started_C",  # what the engine computer took the coolant for as the trip began [degC]
            "expected_C",  # where it expects a sound engine's coolant by now [degC]
            "ran_s",  # how long the engine has run in this trip [s]
            "idled_s",  # how long of that it idled or crept [s]
            "watched",  # 1 while the thermostat is still to be judged in this trip
            "warmed",  # 1 once this trip has been a warm-up
            "ready",  # 1 once the thermostat has been judged since the codes were cleared
            "frame_of",  # row of the code, counted from 1, that the freeze frame belongs to, 0 without one
            "frame_C",  # coolant temperature in the freeze frame [degC]
            "door_code",  # 1: the heater control remembers a blend door that did not reach its place
            "blower_code",  # 1: the same of a blower that drew no current
        )
    ]
)
