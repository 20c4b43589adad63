"""Parameters of a vehicle, each with its unit, default, spread and meaning.

A parameter is one number per vehicle. A fleet holds them as one structured NumPy array of ``DTYPE``:
``fleet.parameters["core_UA"]`` is an array over the fleet, and ``p.core_UA`` a number of one vehicle inside a compiled
law.

``spread`` is the tolerance between sound vehicles of one type: the standard deviation of the logarithm where
``spread_kind`` is "factor", the standard deviation in the parameter's unit where it is "offset", and 0 where the value
is fixed by the type. Defaults are those of an invented mid-size car; where no other source is given they are common
practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from sim.vehicle.calibration import calibrated

SpreadKind = Literal["factor", "offset"]


@dataclass(frozen=True, slots=True)
class Parameter:
    """One number of a vehicle.

    name: identifier in laws and in vehicle files; default [unit]; spread, spread_kind: tolerance, see module; meaning:
    one line, shown to authors of vehicle files.
    """

    name: str
    default: float
    unit: str
    spread: float
    spread_kind: SpreadKind
    meaning: str


def _p(
    name: str, default: float, unit: str, spread: float, meaning: str, spread_kind: SpreadKind = "factor"
) -> Parameter:
    return Parameter(name, default, unit, spread, spread_kind, meaning)


_ENGINE = (
    _p("idle_rpm", 750.0, "1/min", 0.02, "idle speed, warm"),
    _p("rpm_per_kmh", 27.0, "min-1/(km/h)", 0.0, "engine speed per road speed in the gear usually taken"),
    _p("heat_at_1000", 4.6, "kW", 0.05, "heat to metal and coolant at 1000 rpm without load, warm"),
    _p("heat_speed_exponent", 0.75, "-", 0.0, "how that heat grows with engine speed"),
    _p("heat_per_work", 0.37, "-", 0.05, "heat to metal and coolant per brake work"),
    _p("cold_extra", 1.2, "-", 0.1, "extra heat share 100 K below 80 degC: enrichment and stiff oil"),
    _p("oil_share", 0.05, "-", 0.0, "share of that heat which goes to oil and outer block, not to the liners"),
    _p("rolling_N", 150.0, "N", 0.0, "rolling resistance"),
    _p("drag_N_per_kmh2", 0.032, "N/(km/h)^2", 0.0, "air drag"),
    _p("accessory_kW", 0.8, "kW", 0.0, "brake work of alternator and pumps at idle"),
    _p("metal_kJ_K", 33.0, "kJ/K", 0.05, "head, liners: metal beside the coolant"),
    _p("block_kJ_K", 60.0, "kJ/K", 0.05, "outer block, sump and oil"),
    _p("metal_block_W_K", 22.0, "W/K", 0.05, "conduction between the two"),
    _p("metal_coolant_W_K", 1500.0, "W/K", 0.05, "liner to coolant at 40 L/min"),
    _p("metal_still_W_K", 160.0, "W/K", 0.0, "liner to coolant that stands"),
    _p("block_loss_W_K", 10.0, "W/K", 0.08, "outer block to air, standing"),
    _p("block_loss_per_kmh", 0.012, "1/(km/h)", 0.0, "growth of that loss with road speed"),
)

_LOOP = (
    _p("jacket_L", 3.2, "L", 0.0, "coolant in the engine's jacket"),
    _p("upper_hose_L", 0.4, "L", 0.0, "coolant in the upper radiator hose"),
    _p("radiator_L", 2.4, "L", 0.0, "coolant in the radiator and lower hose"),
    _p("feed_hose_L", 0.2, "L", 0.0, "coolant in the heater feed hose"),
    _p("core_L", 0.35, "L", 0.0, "coolant in the heater core"),
    _p("return_hose_L", 0.2, "L", 0.0, "coolant in the heater return hose"),
    _p("glycol", 0.5, "kg/kg", 0.02, "mass fraction of glycol in the coolant", "offset"),
    _p("pump_head_kPa", 14.2, "kPa", 0.04, "shut-off head of the coolant pump at 1000 rpm"),
    _p("pump_droop", 0.003, "kPa/(L/min)^2", 0.0, "loss of head inside the pump"),
    _p("pump_grip", 1.0, "-", 0.0, "share of the shaft's speed that the impeller turns with"),
    _p("pump_drive", 1.0, "-", 0.0, "share of its speed that the belt gives the shaft"),
    _p("pump_vanes", 1.0, "-", 0.0, "head that the vanes still make, of new ones"),
    _p("jacket_R", 0.004, "kPa/(L/min)^2", 0.05, "resistance of the jacket"),
    _p("bypass_G", 10.5, "L/min/kPa^0.5", 0.05, "conductance of the bypass, its plate open"),
    _p("bypass_plate", 0.9, "-", 0.0, "share of the bypass that the thermostat's plate shuts at full lift"),
    _p("radiator_G", 8.0, "L/min/kPa^0.5", 0.05, "conductance of the radiator branch at full lift"),
    _p("radiator_clear", 1.0, "-", 0.0, "share of the radiator's tubes that is open"),
    _p("thermostat_weep", 0.006, "L/min/kPa^0.5", 0.0, "conductance of the radiator branch at no lift"),
    _p("heater_feed_R", 0.015, "kPa/(L/min)^2", 0.05, "resistance of the heater feed hose"),
    _p("heater_return_R", 0.015, "kPa/(L/min)^2", 0.05, "resistance of the heater return hose"),
    _p("core_R", 0.06, "kPa/(L/min)^2", 0.08, "resistance of the clean heater core"),
    _p("core_clear", 1.0, "-", 0.0, "share of the heater core's tubes that is open"),
    _p("core_bursts_kPa", 600.0, "kPa", 0.25, "pressure at which the seams of a new heater core burst"),
    _p("core_km", 0.0, "km", 0.0, "how far the heater core has been driven: its seams weaken"),
    _p("sealant", 0.0, "-", 0.0, "sealant that drifts in the coolant and has not settled yet, of one tin"),
    _p("over_exhaust", 0.0, "-", 0.0, "1: what drips from the heater hoses falls on the exhaust"),
    _p("feed_clear", 1.0, "-", 0.0, "share of the feed hose's bore that is open"),
    _p("return_clear", 1.0, "-", 0.0, "share of the return hose's bore that is open"),
    _p("valve_G", 4.5, "L/min/kPa^0.5", 0.05, "conductance of the heater control valve, open"),
    _p("valve_weep", 0.002, "L/min/kPa^0.5", 0.0, "conductance of the heater control valve, shut"),
    _p("boost_head_kPa", 0.0, "kPa", 0.04, "shut-off head of the electric heater pump, 0 where there is none"),
    _p("boost_works", 1.0, "-", 0.0, "1 while the electric heater pump can run"),
    _p("feed_soft", 0.0, "-", 0.0, "share of the feed hose's bore that the pump's suction closes at 2500 rpm"),
    _p("rear_G", 0.0, "L/min/kPa^0.5", 0.06, "conductance of the rear heater's branch, 0 where there is none"),
    _p("rear_L", 0.0, "L", 0.0, "coolant in the rear heater and its hoses"),
    _p("rear_UA", 150.0, "W/K", 0.06, "rear heater to its air at 0.06 kg/s, with coolant flowing"),
    _p("rear_air_kg_s", 0.06, "kg/s", 0.06, "air of the rear heater's own blower, which the same switch works"),
    _p("rear_air_share", 0.0, "-", 0.0, "share of the rear heater that holds air as the vehicle arrives"),
    _p("rear_lock_kPa", 45.0, "kPa", 0.1, "pressure across its long branch that pushes trapped air out of it"),
    _p("sludge", 0.08, "-", 0.04, "how rusty and thick the coolant is to the eye, 0 clean to 1", "offset"),
    _p("stiff_exponent", 0.25, "-", 0.0, "how resistance grows with viscosity (Blasius)"),
)

_THERMOSTAT = (
    _p("opens_C", 85.0, "degC", 1.0, "thermostat begins to open", "offset"),
    _p("span_K", 12.0, "K", 0.05, "from beginning to open to full lift"),
    _p("hysteresis_K", 1.0, "K", 0.1, "how much lower it closes than it opens"),
    _p("wax_s", 9.0, "s", 0.15, "lag of the wax behind the coolant"),
    _p("lift_s", 1.5, "s", 0.0, "lag of the lift behind the wax"),
    _p("lift_least", 0.0, "-", 0.0, "lift it cannot go below (stuck open)"),
    _p("lift_most", 1.0, "-", 0.0, "lift it cannot go above (stuck closed)"),
    _p("at_inlet", 0.0, "-", 0.0, "1: it senses the pump inlet's mix, 0: the engine's outlet"),
)

_RADIATOR = (
    _p("radiator_UA", 2260.0, "W/K", 0.08, "radiator's air side at 1.8 kg/s of air"),
    _p("radiator_coolant_UA", 18000.0, "W/K", 0.08, "its coolant side at 60 L/min"),
    _p("radiator_fins", 1.0, "-", 0.0, "share of the face that air passes"),
    _p("ram_kg_s_kmh", 0.018, "kg/s/(km/h)", 0.08, "radiator air per road speed"),
    _p("still_kg_s", 0.02, "kg/s", 0.1, "radiator air standing, no fan"),
    _p("fan_kg_s", 0.50, "kg/s", 0.08, "radiator air from the fan"),
    _p("fan_on_C", 97.0, "degC", 1.0, "fan switches on", "offset"),
    _p("fan_off_K", 6.0, "K", 0.1, "how much lower it switches off"),
    _p("fan_works", 1.0, "-", 0.0, "1 while the fan can run"),
    _p("fan_forced", 0.0, "-", 0.0, "1 while the fan runs whatever the temperature"),
    _p("fan_viscous", 0.0, "-", 0.0, "1: a viscous clutch on the pump's shaft instead of an electric fan"),
    _p("viscous_slip", 0.2, "-", 0.1, "share of fan air while the viscous clutch is cool"),
)

_HOSES = (
    _p("hose_wall_W_K", 4.7, "W/K", 0.08, "coolant to outer skin of one heater hose"),
    _p("hose_area_m2", 0.075, "m2", 0.05, "outer face of one heater hose"),
    _p("hose_skin_J_K", 330.0, "J/K", 0.05, "heat in the outer half of one heater hose's rubber"),
    _p("big_hose_wall_W_K", 5.0, "W/K", 0.08, "coolant to outer skin of one radiator hose"),
    _p("big_hose_area_m2", 0.08, "m2", 0.05, "outer face of one radiator hose"),
    _p("big_hose_skin_J_K", 450.0, "J/K", 0.05, "heat in the outer half of one radiator hose's rubber"),
    _p("film_still_W_m2K", 11.0, "W/(m2 K)", 0.1, "hose to still air, radiation included"),
    _p("film_moving_W_m2K", 25.0, "W/(m2 K)", 0.1, "hose to moving air, radiation included"),
    _p("creep_W_K", 3.0, "W/K", 0.15, "exchange of a dead-ended hose with the coolant passing its mouth at 30 L/min"),
    _p("valve_at_engine", 1.0, "-", 0.0, "1: the heater valve sits at the engine end of the feed hose, 0: at the core"),
    _p("bay_share_closed", 0.50, "-", 0.1, "how far the air under a shut bonnet lies from ambient to engine, standing"),
    _p("bay_share_open", 0.09, "-", 0.1, "the same under an open bonnet"),
    _p("bay_s", 200.0, "s", 0.1, "how fast that air, and the sheet metal about it, follows, standing"),
)

_PRESSURE = (
    _p("cap_kPa", 100.0, "kPa", 0.04, "gauge pressure at which the cap opens"),
    _p("cap_flow", 0.0006, "kg/s/kPa", 0.0, "coolant through the open cap per pressure above that"),
    _p("cap_gas_flow", 0.15, "L/s/kPa", 0.0, "gas through the open cap per pressure above that"),
    _p("cap_vacuum_kPa", 4.0, "kPa", 0.0, "vacuum at which the cap lets fluid back in"),
    _p("cap_vacuum_flow", 0.002, "kg/s/kPa", 0.0, "coolant back through the cap per vacuum beyond that"),
    _p("cap_seal", 1.0, "-", 0.0, "share of its rating that the cap holds"),
    _p("cap_breathes", 1.0, "-", 0.0, "1 while the cap's vacuum valve opens"),
    _p("has_bottle", 1.0, "-", 0.0, "1: radiator cap and unpressurised overflow bottle, 0: pressurised expansion tank"),
    _p("tank_air_L", 0.0, "L", 0.0, "air above the cold-fill line of an expansion tank"),
    _p("bottle_L", 0.6, "L", 0.3, "coolant in the overflow bottle as it was last filled, cold"),
    _p("bottle_line_L", 0.6, "L", 0.0, "the bottle's cold-fill line"),
    _p("bottle_room_L", 1.6, "L", 0.0, "the bottle runs over above this"),
    _p("compliance_L_kPa", 0.0045, "L/kPa", 0.1, "how hoses and plastic tanks give with pressure"),
    _p("missing_L", 0.0, "L", 0.0, "coolant missing from the loop as the vehicle arrives, cold"),
    _p("leak_hose", 0.0, "g/s/kPa", 0.0, "leak at a hose end per pressure"),
    _p("leak_pump", 0.0, "g/s/kPa", 0.0, "leak at the pump's weep hole per pressure"),
    _p("leak_radiator", 0.0, "g/s/kPa", 0.0, "leak at a seam of the radiator per pressure"),
    _p("leak_housing", 0.0, "g/s/kPa", 0.0, "leak at the thermostat housing per pressure"),
    _p("leak_tee", 0.0, "g/s/kPa", 0.0, "leak at the plastic tee in the heater hose per pressure"),
    _p("leak_tank", 0.0, "g/s/kPa", 0.0, "leak at the seam of the expansion tank per pressure"),
    _p("leak_core", 0.0, "g/s/kPa", 0.0, "leak of the heater core into the cabin per pressure"),
    _p("leak_head", 0.0, "g/s/kPa", 0.0, "leak of coolant into a cylinder per pressure"),
    _p("gas_ingress", 0.0, "kPa L/s", 0.0, "combustion gas into the coolant 10 kW beyond where the gasket gives"),
    _p("gasket_holds_kW", 4.0, "kW", 0.0, "brake work up to which a damaged head gasket still holds combustion gas"),
    _p("morning_kPa", 0.0, "kPa", 0.0, "pressure that trapped gas holds in the cold loop as the vehicle arrives"),
)

_AIR_LOCK = (
    _p("core_air_share", 0.0, "-", 0.0, "share of the heater core that holds air as the vehicle arrives"),
    _p("lock_head_kPa", 15.0, "kPa", 0.1, "pressure across the heater branch that pushes trapped air out of the core"),
    _p("purge_s", 25.0, "s", 0.2, "how long that takes at twice the pressure"),
    _p("neck_free_L", 0.5, "L", 0.15, "air that radiator's top or tank takes before the heater core begins to empty"),
    _p("bleed_line", 0.0, "-", 0.0, "1: a line carries air from the loop's high place to the expansion tank"),
    _p("part_s", 240.0, "s", 0.2, "how fast air parts from the coolant by that line, driven"),
    _p("settle_s", 60.0, "s", 0.2, "how fast air finds the heater core while the flow is weak"),
    _p("sensor_dry_L", 2.6, "L", 0.08, "air in the loop at which the temperature sensor stands half in steam"),
    _p("pump_dry_L", 3.4, "L", 0.08, "air in the loop at which the pump's eye begins to draw it"),
)

_HEATER = (
    _p("core_air_UA", 220.0, "W/K", 0.06, "heater core, air side, at 0.10 kg/s"),
    _p("core_coolant_UA", 990.0, "W/K", 0.06, "heater core, coolant side, at 8 L/min"),
    _p("core_fins", 1.0, "-", 0.0, "share of the core's face that air passes"),
    _p("blower_m3_s", 0.085, "m3/s", 0.05, "air at highest blower speed, floor, clean filter"),
    _p("filter_R", 0.15, "-", 0.2, "resistance of the cabin filter, of the rest of the duct"),
    _p("ram_m3_s_kmh", 0.00012, "m3/s/(km/h)", 0.2, "air through the heater from road speed alone"),
    _p("wheel_grip", 1.0, "-", 0.0, "share of the motor's speed that the blower wheel turns with"),
    _p("blend_leak", 0.06, "-", 0.3, "share of the air that passes the blend door at either end"),
    _p("duct_share", 0.5, "-", 0.1, "how far the air comes to the temperature of the walls of heater box and ducts"),
    _p("duct_W_K", 10.0, "W/K", 0.1, "those walls to the cabin"),
    _p("duct_kJ_K", 3.0, "kJ/K", 0.1, "heat in those walls"),
    _p("air_heater_kW", 0.0, "kW", 0.0, "electric air heater behind the core, 0 where there is none"),
    _p("air_heater_works", 1.0, "-", 0.0, "1 while it can run"),
)

_ACTUATION = (
    _p("has_valve", 1.0, "-", 0.0, "1 where there is a heater control valve"),
    _p("valve_drive", 0.0, "-", 0.0, "what moves the heater valve: 0 cable, 1 vacuum, 2 electric"),
    _p("valve_linkage", 1.0, "-", 0.0, "share of the drive's movement that reaches the valve"),
    _p("valve_supply", 1.0, "-", 0.0, "share of its voltage or vacuum that reaches the valve's drive"),
    _p("valve_coil", 1.0, "-", 0.0, "1 while the valve's coil or diaphragm is whole"),
    _p("valve_rest", 1.0, "-", 0.0, "opening of the valve when nothing moves it"),
    _p("valve_stays", 0.0, "-", 0.0, "1: a geared motor moves it, which holds it where it is without current"),
    _p("valve_least", 0.0, "-", 0.0, "opening the valve cannot go below"),
    _p("valve_most", 1.0, "-", 0.0, "opening the valve cannot go above"),
    _p("valve_stem", 1.0, "-", 0.0, "share of full travel that the valve's stem makes when worked"),
    _p("blend_drive", 0.0, "-", 0.0, "what moves the blend door: 0 cable, 1 vacuum, 2 motor"),
    _p("blend_linkage", 1.0, "-", 0.0, "share of the drive's movement that reaches the door"),
    _p("blend_learned", 1.0, "-", 0.0, "share of the door's travel between the end stops that its drive has learned"),
    _p("blend_supply", 1.0, "-", 0.0, "share of its voltage or vacuum that reaches the door's drive"),
    _p("blend_motor", 1.0, "-", 0.0, "1 while the door's motor runs"),
    _p("blend_rest", 0.0, "-", 0.0, "hot share of the door where its drive left it or its weight takes it"),
    _p("blend_least", 0.0, "-", 0.0, "hot share the door cannot go below"),
    _p("blend_most", 1.0, "-", 0.0, "hot share the door cannot go above"),
    _p("mode_moves", 1.0, "-", 0.0, "1 while the mode door follows its control"),
    _p("mode_rest", 2.0, "-", 0.0, "where it stands otherwise: 0 floor, 1 face, 2 screen"),
    _p("recirculation_moves", 1.0, "-", 0.0, "1 while the recirculation door follows its control"),
    _p("recirculation_rest", 0.0, "-", 0.0, "where it stands otherwise: 0 fresh, 1 recirculated"),
    _p("mode_vacuum", 0.0, "-", 0.0, "1: vacuum moves the mode door, which rests otherwise"),
    _p("command", 1.0, "-", 0.0, "share of what the heater control asks that reaches valve and door"),
    _p("automatic", 0.0, "-", 0.0, "1: an automatic control that holds the blower back while the coolant is cold"),
    _p("lockout_C", 35.0, "degC", 0.0, "coolant temperature at which it begins to let the blower run"),
    _p("lockout_stuck", 0.0, "-", 0.0, "share of the blower that it holds back for good"),
    _p("vacuum_kPa", 64.0, "kPa", 0.04, "manifold vacuum at warm idle"),
    _p("check_valve", 1.0, "-", 0.0, "1 while the vacuum reservoir's check valve holds"),
)

_ELECTRICS = (
    _p("battery_V", 12.6, "V", 0.008, "battery at rest"),
    _p("battery_ohm", 0.012, "ohm", 0.2, "battery's inner resistance"),
    _p("charging_V", 14.1, "V", 0.01, "charging voltage, engine running"),
    _p("charging_works", 1.0, "-", 0.0, "1 while the alternator charges"),
    _p("base_load_A", 12.0, "A", 0.1, "what else is on with the ignition"),
    _p("blower_fuse", 1.0, "-", 0.0, "1 while the blower's fuse is whole"),
    _p("fuse_A", 30.0, "A", 0.0, "rating of the blower's fuse as the handbook has it"),
    _p("blower_short", 0.0, "-", 0.0, "1 while the wire behind the blower's fuse is chafed through to ground"),
    _p("short_ohm", 0.02, "ohm", 0.0, "resistance of that place to ground, where there is one"),
    _p("loom_burnt", 0.0, "-", 0.0, "1 once the blower's wiring has burnt: nothing passes it"),
    _p("relay_clicks", 1.0, "-", 0.0, "1 while the coil of the blower's relay still pulls"),
    _p("blower_relay_ohm", 0.01, "ohm", 0.2, "blower relay's contacts; a dead relay is an open one"),
    _p("blower_switch_ohm", 0.01, "ohm", 0.2, "blower switch's contacts"),
    _p("blower_joint_ohm", 0.008, "ohm", 0.2, "blower's connector"),
    _p("blower_ground_ohm", 0.006, "ohm", 0.2, "blower's ground"),
    _p("motor_ohm", 0.25, "ohm", 0.05, "blower motor's winding and brushes"),
    _p("brush_ohm", 0.0, "ohm", 0.0, "what worn brushes add to the blower motor, until a knock seats them"),
    _p("bearing_drag", 0.0, "V A", 0.0, "power that dry bearings take from the blower motor at its rated speed"),
    _p("motor_back_V", 8.5, "V", 0.03, "back voltage of the blower motor at its rated speed"),
    _p("motor_torque", 170.0, "V A", 0.04, "power the blower wheel takes at its rated speed"),
    _p("pack_1_ohm", 2.4, "ohm", 0.04, "resistor pack at speed 1 of 4"),
    _p("pack_2_ohm", 1.4, "ohm", 0.04, "resistor pack at speed 2 of 4"),
    _p("pack_3_ohm", 0.6, "ohm", 0.04, "resistor pack at speed 3 of 4"),
    _p("pack_whole", 1.0, "-", 0.0, "1 while the resistor pack conducts"),
    _p("blower_electronic", 0.0, "-", 0.0, "1: an electronic controller instead of a resistor pack"),
    _p("controller_works", 1.0, "-", 0.0, "1 while the electronic blower controller works"),
    _p("engine_ground_ohm", 0.002, "ohm", 0.3, "engine to battery ground"),
    _p("coolant_V", 0.10, "V", 0.25, "voltage that the coolant itself makes against ground"),
)

_CABIN = (
    _p("cabin_air_kJ_K", 5.0, "kJ/K", 0.0, "cabin air and what follows it at once"),
    _p("trim_kJ_K", 90.0, "kJ/K", 0.08, "trim and seats"),
    _p("trim_W_K", 70.0, "W/K", 0.08, "cabin air to trim"),
    _p("shell_W_K", 45.0, "W/K", 0.08, "cabin air to outside, standing"),
    _p("shell_per_kmh", 0.006, "1/(km/h)", 0.0, "growth of that with road speed"),
    _p("cabin_m3", 3.0, "m3", 0.0, "cabin volume"),
    _p("carpet_g", 0.0, "g", 0.0, "water in the carpet as the vehicle arrives"),
    _p("carpet_rain", 0.0, "-", 0.0, "share of that water which is rain, not coolant"),
    _p("scuttle_drain", 1.0, "-", 0.0, "share of the scuttle's drain that is open"),
    _p("intake_seal", 1.0, "-", 0.0, "share of the seal between scuttle and cabin filter's housing that holds"),
)

_AIR_CONDITIONING = (
    _p("ac_fitted", 0.0, "-", 0.0, "1: an evaporator before the heater core, worked on screen and on recirculation"),
    _p("refrigerant", 1.0, "-", 0.0, "refrigerant, of a full charge"),
    _p("ac_clutch", 1.0, "-", 0.0, "1 while the coil of the compressor's clutch is whole"),
)

_HEATER_CIRCUITS = (
    _p("boost_fuse", 1.0, "-", 0.0, "1 while the fuse of the electric heater pump is whole"),
    _p("boost_relay", 1.0, "-", 0.0, "1 while its relay's contacts close"),
    _p("boost_wire", 1.0, "-", 0.0, "1 while the wire from relay to pump is whole"),
    _p("boost_ground_ohm", 0.0, "ohm", 0.0, "resistance in its ground beyond a sound wire's"),
    _p("valve_fuse", 1.0, "-", 0.0, "1 while the fuse of an electric heater valve is whole"),
    _p("valve_ground_ohm", 0.0, "ohm", 0.0, "resistance in its ground beyond a sound wire's"),
    _p("air_heater_fuse", 1.0, "-", 0.0, "1 while the fuse of the electric air heater is whole"),
    _p("air_heater_relay", 1.0, "-", 0.0, "1 while its relay's contacts close"),
    _p("air_heater_ground_ohm", 0.0, "ohm", 0.0, "resistance in its ground beyond a sound wire's"),
)

_ELECTRIC_PUMP = (
    _p("electric_rpm", 0.0, "1/min", 0.0, "full speed of an electric main coolant pump, 0 where the engine drives it"),
    _p("run_on_C", 98.0, "degC", 0.0, "coolant temperature above which it runs with the engine off"),
    _p("pump_motor", 1.0, "-", 0.0, "1 while its motor turns"),
    _p("pump_free", 1.0, "-", 0.0, "1 while nothing jams its impeller"),
    _p("pump_fuse", 1.0, "-", 0.0, "1 while its fuse is whole"),
    _p("pump_relay", 1.0, "-", 0.0, "1 while its relay's contacts close"),
    _p("pump_wire", 1.0, "-", 0.0, "1 while the wire from relay to pump is whole"),
    _p("pump_command", 1.0, "-", 0.0, "1 while the command wire from the engine computer is whole"),
    _p("pump_ground_ohm", 0.0, "ohm", 0.0, "resistance in its ground beyond a sound wire's"),
)

_SENSORS = (
    _p("sensor_s", 3.0, "s", 0.15, "lag of the coolant temperature sensor behind the coolant"),
    _p("sensor_offset_K", 0.0, "K", 0.7, "error of the temperature sensor", "offset"),
    _p("sensor_ohm_extra", 0.0, "ohm", 0.0, "resistance in the sensor's circuit; an open one is 1e9"),
    _p("sensor_short", 0.0, "-", 0.0, "1 while the sensor's circuit is shorted to ground"),
    _p(
        "sensor_default_C", -40.0, "degC", 0.0, "what the engine computer goes by while that circuit is open or shorted"
    ),
    _p("gauge_works", 1.0, "-", 0.0, "1 while the dash gauge follows its sensor"),
    _p("gauge_rest", 0.0, "-", 0.0, "where the needle stands otherwise, 0 to 1"),
)

_COMPUTER = (
    _p("regulates_C", 85.0, "degC", 0.0, "rating of the type's thermostat, as the engine computer holds it"),
    _p("expected_kJ_K", 95.0, "kJ/K", 0.0, "heat that the computer expects a warm-up to take, per kelvin"),
    _p("expected_W_K", 150.0, "W/K", 0.0, "heat that it expects heater and air to take at most meanwhile"),
)
"""Calibration of the engine computer; ``healthy`` derives it where a type gives none."""

_CONTACT = (
    _p("contact_of", 0.0, "-", 0.0, "loose contact: 0 none, 1 blower, 2 valve, 3 blend, 4 sensor, 5 boost, 6 brushes"),
    _p("contact_heat_C", 1e9, "degC", 0.0, "block (trim for 1 and 3) temperature above which it opens"),
    _p("contact_mean_s", 0.0, "s", 0.0, "mean time for which it holds, 0 where it does not come and go of itself"),
    _p("contact_shake", 0.0, "-", 0.0, "1: it opens on the road only"),
    _p("contact_key", 0.0, "-", 0.0, "what makes one vehicle's contact come and go unlike another's, 0..1"),
)
_HYBRID = (
    _p("stops_itself", 0.0, "-", 0.0, "1: the engine stops by itself, standing and warm"),
    _p("stop_C", 60.0, "degC", 0.0, "coolant temperature above which it may"),
    _p("restart_C", 50.0, "degC", 0.0, "coolant temperature below which it starts again"),
)

_ELECTRIC = (
    _p("coolant_heater_kW", 0.0, "kW", 0.0, "rated power of the high-voltage coolant heater, 0 where there is none"),
    _p("coolant_heater_works", 1.0, "-", 0.0, "share of the coolant heater's elements that conduct"),
    _p("coolant_heater_fuse", 1.0, "-", 0.0, "1 while the fuse of the coolant heater's 12 V supply is whole"),
    _p("coolant_heater_supply", 1.0, "-", 0.0, "share of its 12 V supply that reaches the coolant heater's control"),
    _p("heater_goal_C", 80.0, "degC", 0.0, "coolant temperature at which the coolant heater has come down to no power"),
    _p("heater_cut_C", 105.0, "degC", 0.0, "temperature of its elements at which the coolant heater cuts out"),
    _p("heater_back_K", 35.0, "K", 0.0, "how much cooler they are when it cuts in again"),
    _p("interlock", 1.0, "-", 0.0, "1 while the high-voltage interlock circuit is closed"),
    _p("isolation_kohm", 3000.0, "kohm", 0.0, "isolation resistance of the high-voltage system to the body"),
    _p("drive_charge", 0.7, "-", 0.0, "charge of the drive battery, 0..1"),
    _p("heat_pump_kW", 0.0, "kW", 0.0, "heat of the heat pump at 0 degC outside, 0 where there is none"),
    _p("refrigerant", 1.0, "-", 0.0, "share of the heat pump's refrigerant that is left"),
)

GROUPS: dict[str, tuple[Parameter, ...]] = {
    "engine": _ENGINE,
    "loop": _LOOP,
    "thermostat": _THERMOSTAT,
    "radiator": _RADIATOR,
    "hoses": _HOSES,
    "pressure": _PRESSURE,
    "air lock": _AIR_LOCK,
    "heater": _HEATER,
    "actuation": _ACTUATION,
    "electrics": _ELECTRICS,
    "heater circuits": _HEATER_CIRCUITS,
    "electric main pump": _ELECTRIC_PUMP,
    "cabin": _CABIN,
    "air conditioning": _AIR_CONDITIONING,
    "sensors": _SENSORS,
    "engine computer": _COMPUTER,
    "loose contact": _CONTACT,
    "hybrid": _HYBRID,
    "electric drive": _ELECTRIC,
}
PARAMETERS: dict[str, Parameter] = {p.name: p for group in GROUPS.values() for p in group}
DTYPE = np.dtype([(name, np.float64) for name in PARAMETERS])


def healthy(n: int, values: dict[str, float] | None = None) -> np.ndarray:
    """Parameters of n identical vehicles without a fault, shape (n,), dtype ``DTYPE``.

    values: parameters that differ from the defaults. Raises KeyError for an unknown name.
    """
    fleet, given = np.zeros(n, DTYPE), values or {}
    for name in given:
        if name not in PARAMETERS:
            raise KeyError(name)
    for name, parameter in PARAMETERS.items():
        fleet[name] = given.get(name, parameter.default)
    for name, value in calibrated(fleet).items():
        fleet[name] = given.get(name, value)
    return fleet
