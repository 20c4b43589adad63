"""Limits of parameters in data files: a coarse rule that catches typing errors."""

from sim.vehicle.parameters import Parameter

FACTOR = 30.0
"""Largest ratio to the value of a mid-size car, either way."""

_OWN_LIMITS = {
    "valve_drive": (0.0, 2.0),
    "blend_drive": (0.0, 2.0),
    "mode_rest": (0.0, 2.0),
    "cold_extra": (0.0, 5.0),
    "heat_speed_exponent": (0.0, 3.0),
    "heat_per_work": (0.0, 3.0),
    "filter_R": (0.0, 1000.0),
    "glycol": (0.0, 0.7),
    "sensor_offset_K": (-100.0, 100.0),
    "bottle_L": (0.0, 10.0),
    "bottle_line_L": (0.0, 10.0),
    "vacuum_kPa": (0.0, 90.0),
    "coolant_V": (0.0, 2.0),
    "contact_of": (0.0, 6.0),
    "contact_heat_C": (-60.0, 1e9),
    "contact_mean_s": (0.0, 1e5),
    "rear_G": (0.0, 100.0),
    "boost_head_kPa": (0.0, 100.0),
    "electric_rpm": (0.0, 10_000.0),
    "pump_ground_ohm": (0.0, 1000.0),
    "cap_gas_flow": (0.005, 1.0),
    "gas_ingress": (0.0, 100.0),
    "core_km": (0.0, 2e6),
    "missing_L": (0.0, 30.0),
    "tank_air_L": (0.0, 10.0),
    "rear_L": (0.0, 10.0),
    "air_heater_kW": (0.0, 10.0),
    "carpet_g": (0.0, 20_000.0),
    "bearing_drag": (0.0, 1000.0),
    "gasket_holds_kW": (-30.0, 30.0),
    "morning_kPa": (0.0, 150.0),
    # 0 in a vehicle without an engine
    "idle_rpm": (0.0, 20_000.0),
    "rpm_per_kmh": (0.0, 800.0),
    "heat_at_1000": (0.0, 140.0),
    "pump_head_kPa": (0.0, 400.0),
    "coolant_heater_kW": (0.0, 20.0),
    "heat_pump_kW": (0.0, 20.0),
    "isolation_kohm": (0.0, 1e5),
}
"""Parameters with limits of their own."""

_UNIT_LIMITS = {
    "-": (0.0, 1.0),
    "degC": (-60.0, 200.0),
    "ohm": (0.0, 1e9),
    "L/min/kPa^0.5": (1e-4, 100.0),
    "g/s/kPa": (0.0, 100.0),
}


def limits(parameter: Parameter) -> tuple[float, float]:
    """Least and greatest value [the parameter's unit] that a vehicle or a fault may give a parameter.

    Shares lie in 0..1, temperatures in -60..200 degC, resistances below the 1e9 ohm of an open circuit. Parameters with
    a default of 0 have limits of their own, beyond any real vehicle but within what can be simulated. All others stay
    within FACTOR of the default, as laws divide by many of them.

    >>> from sim.vehicle.parameters import PARAMETERS
    >>> limits(PARAMETERS["core_clear"]), limits(PARAMETERS["opens_C"]), limits(PARAMETERS["trim_kJ_K"])
    ((0.0, 1.0), (-60.0, 200.0), (3.0, 2700.0))
    """
    known = _OWN_LIMITS.get(parameter.name) or _UNIT_LIMITS.get(parameter.unit)
    if known:
        return known
    return parameter.default / FACTOR, parameter.default * FACTOR
