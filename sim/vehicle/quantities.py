"""Everything about a vehicle that follows at once from its state: flows, powers, voltages, positions.

``evaluate`` in ``sim.vehicle.rates`` fills one record of ``DTYPE``; the rates, the instruments and the traces all read
it, so that each law is applied in one place.
"""

from __future__ import annotations

import numpy as np

FIELDS: dict[str, str] = {
    # engine
    "rpm": "1/min",
    "work_kW": "kW",
    "heat_in_W": "W",
    "block_loss_W": "W",
    "bay_C": "degC",
    "air_moves": "-",
    # flows
    "pump_flow": "L/min",
    "bypass_flow": "L/min",
    "radiator_flow": "L/min",
    "heater_flow": "L/min",
    "rear_flow": "L/min",
    "rear_kg_s": "kg/s",
    "rear_K": "W/K",
    "rear_W": "W",
    "front_W": "W",
    "runs": "-",
    "contact": "-",
    "heat_asked": "-",
    "blower_command": "-",
    "branch_dp": "kPa",
    "radiator_kg_s": "kg/s",
    "heater_kg_s": "kg/s",
    "radiator_kg_s_per_lift": "kg/s",
    "sensed_C": "degC",
    # conductances [W/K]
    "metal_UA": "W/K",
    "radiator_film_kg_s": "kg/s",
    "radiator_film": "-",
    "radiator_K": "W/K",
    "core_film_kg_s": "kg/s",
    "core_film": "-",
    "core_K": "W/K",
    "feed_creep": "W/K",
    "return_creep": "W/K",
    "upper_creep": "W/K",
    # inventory
    "coolant_L": "L",
    "gas_L": "L",
    "missing_L": "L",
    "void_L": "L",
    "lock": "-",
    "wetted": "-",
    "freezing_C": "degC",
    "pressure_kPa": "kPa",
    "give_L_kPa": "L/kPa",
    "vapour_kPa": "kPa",
    "air_kPa": "kPa",
    "cap_liquid_kg_s": "kg/s",
    "cap_gas_rate": "kPa L/s",
    "steam_kg_s": "kg/s",
    "neck_flow": "L/s/kPa",
    "drawn_kg_s": "kg/s",
    "drawn_gas_rate": "kPa L/s",
    "leak_kg_s": "kg/s",
    "core_leak_kg_s": "kg/s",
    "core_air_rate": "L/s",
    "enthalpy_out_W": "W",
    # actuation
    "valve": "-",
    "blend": "-",
    "mode": "-",
    "recirculation": "-",
    # electrics
    "supply_V": "V",
    "battery_V": "V",
    "base_A": "A",
    "blower_feed_V": "V",
    "blower_ground_V": "V",
    "blower_V": "V",
    "blower_A": "A",
    "blower_speed": "-",
    "valve_V": "V",
    # air side
    "intake_C": "degC",
    "air_kg_s": "kg/s",
    "core_air_kg_s": "kg/s",
    "glass_C": "degC",
    "condensing_kg_s": "kg/s",
    "condensing_slope": "kg/s",
    "raw_vent_C": "degC",
    "vent_C": "degC",
    "fan_share": "-",
    "sensor_C": "degC",
    "sensor_dry": "-",
    "sensor_ok": "-",
    "pcm_C": "degC",
    # powers of the balance
    "heater_W": "W",
    "radiator_W": "W",
    "hose_loss_W": "W",
    "loss_W": "W",
}
DTYPE = np.dtype([(name, np.float64) for name in FIELDS])
