"""Coolant temperature on a scan tool: sensor, its circuit, the data byte; and texts of trouble codes."""

import math

from sim.compile import jit

SENSOR_AT_20 = 2500.0
"""Resistance of the coolant sensor at 20 degC [ohm], +-5 %. Source: a generic thermistor, recalled."""
SENSOR_BETA = 3548.0
"""Beta value of the sensor [K], +-1 %. Source: a generic thermistor, recalled."""
SUPPLY = 5.0
"""Reference voltage of the control module [V], +-0.1. Source: recalled."""
PULL_UP = 2200.0
"""Pull-up resistor between reference voltage and sensor [ohm], from 1000 to 10000 depending on the maker. Source:
recalled."""

COLDEST, HOTTEST = -40.0, 215.0
"""Ends of the data byte [degC], exact. Source: SAE J1979, read in a secondary copy."""

TROUBLE_CODES: dict[str, str] = {
    "P0115": "Engine Coolant Temperature Circuit",
    "P0116": "Engine Coolant Temperature Circuit Range/Performance",
    "P0117": "Engine Coolant Temperature Circuit Low",
    "P0118": "Engine Coolant Temperature Circuit High",
    "P0125": "Insufficient Coolant Temperature for Closed Loop Fuel Control",
    "P0128": "Coolant Thermostat (Coolant Temperature Below Thermostat Regulating Temperature)",
    "P0217": "Engine Coolant Over Temperature Condition",
    "P2181": "Cooling System Performance",
    "P2600": "Coolant Pump Control Circuit/Open",
    "P2601": "Coolant Pump Control Circuit Range/Performance",
}
"""Text of each trouble code of engine cooling. Source: SAE J2012 as worded in the open library `obd` 0.7; P2600 and
P2601 from memory."""


@jit
def encode_coolant_temperature(temperature: float) -> int:
    """Data byte A [-], 0 to 255, of parameter 05 for a coolant `temperature` [degC], to the nearest degree.

    A = T + 40, clamped at -40 and 215 degC. Accuracy: half a degree. Source: SAE J1979 / ISO 15031-5, read in a
    secondary copy; rounding to nearest is assumed.

    >>> encode_coolant_temperature(90.2)
    130
    """
    return int(min(max(temperature, COLDEST), HOTTEST) + 40.5)


@jit
def decode_coolant_temperature(byte: int) -> float:
    """Coolant temperature [degC], -40 to 215, of data `byte` A [-], 0 to 255, of parameter 05.

    T = A - 40. Exact. Source: SAE J1979 / ISO 15031-5, read in a secondary copy.

    >>> decode_coolant_temperature(0x82)
    90.0
    """
    return min(max(byte, 0), 255) - 40.0


@jit
def thermistor_resistance(temperature: float, at_20: float = SENSOR_AT_20, beta: float = SENSOR_BETA) -> float:
    """Resistance [ohm] of a coolant sensor at `temperature` [degC], -50 to 250.

    R = R20 exp(beta (1 / T - 1 / 293.15)), T in kelvin, with `at_20` [ohm] and `beta` [K]. Accuracy: 3 % of a real
    thermistor. Source: beta law, textbook.

    >>> round(thermistor_resistance(100.0))
    187
    """
    kelvin = max(temperature, -100.0) + 273.15
    return at_20 * math.exp(beta * (1.0 / kelvin - 1.0 / 293.15))


@jit
def thermistor_temperature(resistance: float, at_20: float = SENSOR_AT_20, beta: float = SENSOR_BETA) -> float:
    """Temperature [degC], -100 to 1000, of a coolant sensor of `resistance` [ohm].

    Inverse of `thermistor_resistance`, with `at_20` [ohm] and `beta` [K]; clamped at the ends of its range for an open
    or shorted sensor. Accuracy: 1e-9 K as an inverse. Source: beta law, textbook.

    >>> round(thermistor_temperature(187.0))
    100
    """
    inverse = 1.0 / 293.15 + math.log(min(max(resistance, 1e-6), 1e12) / at_20) / beta
    return min(max(1.0 / min(max(inverse, 1.0 / 1273.15), 1.0 / 173.15) - 273.15, -100.0), 1000.0)


@jit
def sensor_voltage(resistance: float, supply: float = SUPPLY, pull_up: float = PULL_UP) -> float:
    """Voltage [V] at the control module's input, with `resistance` [ohm] of sensor and wires, 0 (short) to inf (open).

    V = supply R / (R + pull_up), with `supply` [V] and `pull_up` [ohm]. Exact. Source: voltage divider.

    >>> sensor_voltage(2200.0)
    2.5
    """
    if resistance <= 0.0:
        return 0.0
    return supply / (1.0 + pull_up / resistance)


@jit
def temperature_from_voltage(voltage: float, supply: float = SUPPLY, pull_up: float = PULL_UP) -> float:
    """Coolant temperature [degC], -40 to 215, that the control module derives from the input `voltage` [V].

    The divider and the beta law of a sound sensor inverted, with `supply` [V] and `pull_up` [ohm]: an open circuit
    reads -40, a short 215. Accuracy: 1e-6 K as an inverse. Source: voltage divider and beta law; that an open circuit
    reads cold and a short hot is recalled of SAE J2012 P0118 and P0117.

    >>> temperature_from_voltage(5.0)
    -40.0
    """
    if voltage >= supply:
        return COLDEST
    if voltage <= 0.0:
        return HOTTEST
    return min(max(thermistor_temperature(pull_up * voltage / (supply - voltage)), COLDEST), HOTTEST)
