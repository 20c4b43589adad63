"""The quantities that checks observe: true values of every vehicle, before any instrument."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.fleet import Fleet
from sim.laws import air
from sim.laws.actuators import BLEND_CONTACT, BLOWER_CONTACT, SENSOR_CONTACT
from sim.observation import codes, electric, main_pump
from sim.observation.heater import (
    actuator_moves,
    actuator_supply,
    blend_door_sound,
    blower_air,
    blower_drop,
    blower_sound,
    clutch_coil_ohm,
    commanded_door,
    coolant_voltage,
    fuse_feed,
    gain_by_knock,
    glass_fog,
    motor_resistance,
    neck_metal_voltage,
    plug_heat,
    pump_hand_vacuum,
    refrigerant_pressure,
    vacuum_at_valve,
    valve_stem_travel,
)
from sim.observation.heater_circuits import (
    air_heater_current,
    air_heater_current_with_relay,
    air_heater_feed,
    air_heater_fuse_feed,
    air_heater_ground_drop,
    heater_pump_hum,
    pump_feed,
    pump_fuse_feed,
    pump_ground_drop,
    valve_coil_ohm,
    valve_fuse_feed,
    valve_ground_drop,
)
from sim.observation.leaks import (
    pressure_drop,
    pressure_drop_pinched,
    wet,
    wet_hose_ends,
    wet_hoses,
    wet_pump,
)
from sim.observation.loop import (
    belt_state,
    bottle_level,
    cap_opening,
    combustion_gas,
    coolant_on_paper,
    fan_turns,
    feed_suction,
    freezing_protection,
    gauge_needle,
    hose_firmness,
    neck_shortfall,
    pcm_temperature,
    radiator_patch,
    sensor_ohm,
    sweet_smell,
    thermostat_in_pot,
    valve_inlet_skin,
    valve_outlet_skin,
)
from sim.observation.sounds import gurgling, hissing, idle_flare
from sim.vehicle import states as st
from sim.vehicle.records import copy_records

Quantity = Callable[[Fleet], np.ndarray]
LEADS_OHM = 0.1  # resistance of an ohmmeter's leads (common practice)


def _state(index: int) -> Quantity:
    return lambda fleet: fleet.state[:, index].copy()


def _field(name: str) -> Quantity:
    return lambda fleet: fleet.algebraic[name].copy()


def _parameter(name: str) -> Quantity:
    return lambda fleet: fleet.parameters[name].copy()


def with_parameters(quantity: Quantity, controls: dict[str, float] | None = None, **values: float) -> Quantity:
    """The same quantity with some parameters replaced, at once: a known good part swapped in, a lead bridged, a hose
    pinched.

    A fuse blows again at once where the wire behind it is shorted. controls: controls replaced likewise, as by a test
    lead.
    """

    def observe(fleet: Fleet) -> np.ndarray:
        view = fleet.what_if_view()
        view.parameters = copy_records(fleet.parameters)
        for name, value in values.items():
            view.parameters[name] = value
        if controls is not None:
            view.controls = copy_records(fleet.controls)
            for name, value in controls.items():
                view.controls[name] = value
        shorted = view.parameters["blower_short"] > 0.5
        view.parameters["blower_fuse"][shorted] = 0.0
        view.refresh()
        return quantity(view)

    return observe


def plug_moved(contact: float) -> Quantity:
    """1 where a connector loses contact when moved by hand: an intermittent contact, not a heat-sensitive one.

    contact: its place (``sim.laws.actuators``).
    """
    return lambda fleet: (
        (fleet.parameters["contact_of"] == contact) * (fleet.parameters["contact_mean_s"] > 0.0).astype(float)
    )


QUANTITIES: dict[str, Quantity] = {
    "coolant temperature": _state(st.JACKET),
    "engine computer's coolant temperature": pcm_temperature,
    "gauge needle": gauge_needle,
    "feed hose skin": _state(st.FEED_SKIN),
    "return hose skin": _state(st.RETURN_SKIN),
    "upper radiator hose skin": _state(st.UPPER_SKIN),
    "lower radiator hose skin": _state(st.LOWER_SKIN),
    "vent temperature": _field("vent_C"),
    "cabin temperature": _state(st.CABIN),
    "ambient temperature": lambda fleet: fleet.controls["ambient_C"].copy(),
    "blower air": blower_air,
    "neck shortfall": neck_shortfall,
    "bottle level": bottle_level,
    "sludge": _parameter("sludge"),
    "valve inlet skin": valve_inlet_skin,
    "valve outlet skin": valve_outlet_skin,
    "valve stem travel": valve_stem_travel,
    "blend door sound": blend_door_sound,
    "valve supply voltage": _field("valve_V"),
    "blower supply voltage": _field("blower_feed_V"),
    "blower ground voltage": _field("blower_ground_V"),
    "battery voltage": _field("supply_V"),
    "blower current": _field("blower_A"),
    "coolant voltage": coolant_voltage,
    "wet hose ends": wet_hose_ends,
    "coolant on paper": coolant_on_paper,
    "carpet wetness": _state(st.CARPET),
    "loop pressure": _field("pressure_kPa"),
    "air in the core": _state(st.CORE_AIR),
    "rear vent temperature": lambda fleet: (
        fleet.state[:, st.CABIN]
        + fleet.algebraic["rear_W"]
        / np.maximum(fleet.parameters["rear_air_kg_s"] * fleet.algebraic["blower_speed"], 0.005)
        / air.HEAT_CAPACITY
    ),
    "glass fog": glass_fog,
    "trouble code": codes.stored_code,
    "pending code": codes.pending_code,
    "freeze frame": codes.freeze_frame,
    "thermostat monitor": codes.not_ready,
    "heater control's door code": codes.door_code,
    "heater control's blower code": codes.blower_code,
    "engine lamp": codes.engine_lamp,
    "charge lamp": codes.charge_lamp,
    "hose firmness": hose_firmness,
    "feed hose narrowing": feed_suction,
    "pressure drop": pressure_drop,
    "cap opening": cap_opening,
    "freezing protection": freezing_protection,
    "vacuum at the valve": vacuum_at_valve,
    "manifold vacuum": _state(st.VACUUM),
    "hand pump vacuum": pump_hand_vacuum,
    "combustion gas": combustion_gas,
    "belt": belt_state,
    "fan": fan_turns,
    "blower relay drop": blower_drop("blower_relay_ohm"),
    "blower switch drop": blower_drop("blower_switch_ohm"),
    "blower connector drop": blower_drop("blower_joint_ohm"),
    "fuse feed voltage": fuse_feed,
    "valve coil resistance": valve_coil_ohm,
    "door short of command": commanded_door,
    "blend door position": _field("blend"),
    "mode door position": _field("mode"),
    "recirculation door position": _field("recirculation"),
    "filter": _parameter("filter_R"),
    "thermostat in a pot": thermostat_in_pot,
    "engine speed": _field("rpm"),
    "rear heater air": _state(st.REAR_AIR),
    "steam at the tailpipe": lambda fleet: fleet.algebraic["head_leak"] * fleet.algebraic["runs"],
    "weep hole": wet_pump,
    "wet radiator": wet("leak_radiator"),
    "wet thermostat housing": wet("leak_housing"),
    "wet tee": wet("leak_tee"),
    "wet expansion tank": wet("leak_tank"),
    "wet hoses and joints": wet_hoses,
    "wet heater box drain": wet("leak_core"),
    "water in the scuttle": lambda fleet: 1.0 - fleet.parameters["scuttle_drain"],
    "water past the intake seal": lambda fleet: 1.0 - fleet.parameters["intake_seal"],
    "compressor at work": _field("dries"),
    "clutch coil resistance": clutch_coil_ohm,
    "refrigerant pressure at rest": refrigerant_pressure,
    "air into the heater": _field("intake_C"),
    "radiator face": lambda fleet: 1.0 - fleet.parameters["radiator_fins"],
    "core face": lambda fleet: 1.0 - fleet.parameters["core_fins"],
    "wheel grip": _parameter("wheel_grip"),
    "feed hose coolant": _state(st.FEED),
    "return hose coolant": _state(st.RETURN),
    "flow at the neck": _field("radiator_flow"),
    "neck metal voltage": neck_metal_voltage,
    "radiator cold patch": radiator_patch,
    "sweet smell": sweet_smell,
    "relay click": lambda fleet: 1.0 - fleet.parameters["relay_clicks"] * (fleet.controls["ignition"] > 0.5),
    "blower sound": blower_sound,
    "gurgling": gurgling,
    "hissing": hissing,
    "idle flare": idle_flare,
    "blower air, relay swapped": with_parameters(blower_air, blower_relay_ohm=0.01),
    "blower air, fuse renewed": with_parameters(blower_air, blower_fuse=1.0),
    "blower air, motor on a fused lead": with_parameters(
        blower_air,
        {"ignition": 1.0, "blower": 4.0},  # powered by the lead, with the ignition off
        automatic=0.0,
        loom_burnt=0.0,
        blower_short=0.0,
        blower_fuse=1.0,
        blower_relay_ohm=0.01,
        blower_switch_ohm=0.01,
        blower_joint_ohm=0.008,
        pack_whole=1.0,
        controller_works=1.0,
        lockout_stuck=0.0,
    ),
    "blower air, ground bridged": with_parameters(blower_air, blower_ground_ohm=0.006),
    "blower wire to ground": lambda fleet: np.where(
        fleet.parameters["blower_short"] > 0.5, fleet.parameters["short_ohm"] + LEADS_OHM, 1e6
    ),
    "blower motor resistance": motor_resistance,
    "blower plug heat": plug_heat,
    "blower gain by a knock": gain_by_knock,
    "resistor pack resistance": lambda fleet: np.where(
        fleet.parameters["pack_whole"] > 0.5, fleet.parameters["pack_1_ohm"], 1e6
    ),
    "blower command": _field("blower_command"),
    "heat command": lambda fleet: 100.0 * fleet.algebraic["heat_asked"],
    "blend actuator": actuator_moves,
    "blend actuator supply": actuator_supply,
    "valve by hand": _parameter("valve_stem"),
    "valve cable end": _parameter("valve_linkage"),
    "blend cable end": _parameter("blend_linkage"),
    "vacuum at the door": lambda fleet: fleet.state[:, st.VACUUM] * fleet.parameters["blend_supply"],
    "sensor circuit resistance": sensor_ohm,
    "pressure drop, heater hoses pinched": pressure_drop_pinched,
    "feed hose bore": _parameter("feed_clear"),
    "core bore": _parameter("core_clear"),
    "return hose bore": _parameter("return_clear"),
    "fan on a fused lead": _parameter("fan_works"),
    "heater pump hum": heater_pump_hum,
    "heater pump fuse feed": pump_fuse_feed,
    "heater pump feed": pump_feed,
    "heater pump ground drop": pump_ground_drop,
    "heater pump hum, relay swapped": with_parameters(heater_pump_hum, boost_relay=1.0),
    "heater pump hum, driven by the tool": with_parameters(heater_pump_hum, {"ignition": 1.0, "heater": 1.0}),
    "heater pump hum on a fused lead": with_parameters(
        heater_pump_hum,
        {"ignition": 1.0, "heater": 1.0},
        boost_fuse=1.0,
        boost_relay=1.0,
        boost_wire=1.0,
        boost_ground_ohm=0.0,
    ),
    "air heater fuse feed": air_heater_fuse_feed,
    "air heater feed": air_heater_feed,
    "air heater ground drop": air_heater_ground_drop,
    "air heater current, relay swapped": air_heater_current_with_relay,
    "valve fuse feed": valve_fuse_feed,
    "blend door driven by the tool": with_parameters(_field("blend"), {"heater": 1.0}, command=1.0),
    "valve driven by the tool": with_parameters(valve_stem_travel, command=1.0),
    "blower driven by the tool": with_parameters(blower_air, {"blower": 4.0}, automatic=0.0, lockout_stuck=0.0),
    "air heater current": air_heater_current,
    "air at the blend door seal": _parameter("blend_leak"),
    "belt sound": lambda fleet: (
        (fleet.algebraic["runs"] > 0.5)
        * ((fleet.parameters["pump_drive"] > 0.05) & (fleet.parameters["pump_drive"] < 0.93))
    ),
    "valve feed drop": lambda fleet: (
        fleet.algebraic["supply_V"] * fleet.controls["ignition"] - fleet.algebraic["valve_V"]
    ),
    "valve ground drop": valve_ground_drop,
    "blower plug moved": plug_moved(BLOWER_CONTACT),
    "actuator plug moved": plug_moved(BLEND_CONTACT),
    "sensor plug moved": plug_moved(SENSOR_CONTACT),
    "main pump sound": main_pump.sound,
    "main pump sound, driven by the tool": main_pump.sound_driven,
    "main pump sound, relay swapped": main_pump.sound_relay_swapped,
    "main pump sound on a lead of its own": main_pump.sound_on_lead,
    "main pump speed asked for": main_pump.speed_asked,
    "main pump speed reported": main_pump.speed_reported,
    "main pump fuse feed": main_pump.fuse_feed,
    "main pump feed": main_pump.feed,
    "main pump ground drop": main_pump.ground_loss,
    "main pump current": main_pump.current_driven,
    "main pump command signal": main_pump.command_missing,
    "main pump inlet": main_pump.inlet,
    "not at READY": electric.not_at_ready,
    "drive code": electric.drive_code,
    "coolant heater request": electric.heater_request,
    "coolant heater power": electric.heater_power,
    "coolant heater fuse feed": electric.heater_fuse_feed,
    "coolant heater supply voltage": _field("heater_plug_V"),
    "coolant heater inlet": electric.heater_inlet,
    "coolant heater outlet": electric.heater_outlet,
    "heater loop flow": _field("heater_flow"),
    "interlock open": lambda fleet: 1.0 - fleet.parameters["interlock"],
    "isolation resistance": _parameter("isolation_kohm"),
    "drive battery charge": lambda fleet: 100.0 * fleet.parameters["drive_charge"],
    "refrigerant pressure": electric.high_side_pressure,
    "handbook": lambda fleet: np.zeros(len(fleet)),
}
"""Quantities by name, as functions of the fleet, each returning a float64 array (n,)."""
