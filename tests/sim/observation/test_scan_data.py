"""Properties of the laws of scan data as mathematics."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.observation import scan_data


@given(st.integers(0, 255))
def test_byte_survives_decoding_and_encoding(byte: int) -> None:
    assert scan_data.encode_coolant_temperature(scan_data.decode_coolant_temperature(byte)) == byte


@given(st.floats(-300.0, 2000.0))
def test_byte_is_the_nearest_degree_within_its_ends(temperature: float) -> None:
    shown = scan_data.decode_coolant_temperature(scan_data.encode_coolant_temperature(temperature))
    assert abs(shown - min(max(temperature, -40.0), 215.0)) <= 0.5


@given(st.floats(-50.0, 250.0), st.floats(500.0, 10_000.0), st.floats(2500.0, 4500.0))
def test_thermistor_inverts(temperature: float, at_20: float, beta: float) -> None:
    resistance = scan_data.thermistor_resistance(temperature, at_20, beta)
    assert scan_data.thermistor_temperature(resistance, at_20, beta) == pytest.approx(temperature, abs=1e-9)


@given(st.floats(-39.9, 214.9))
def test_good_circuit_reads_true(temperature: float) -> None:
    voltage = scan_data.sensor_voltage(scan_data.thermistor_resistance(temperature))
    assert 0.0 < voltage < scan_data.SUPPLY
    assert scan_data.temperature_from_voltage(voltage) == pytest.approx(temperature, abs=1e-6)


@given(st.floats(0.0, 120.0), st.floats(1.0, 1e5))
def test_resistance_in_the_wire_reads_colder(temperature: float, extra: float) -> None:
    voltage = scan_data.sensor_voltage(scan_data.thermistor_resistance(temperature) + extra)
    assert -40.0 <= scan_data.temperature_from_voltage(voltage) < temperature


@given(st.floats(0.0, math.inf))
def test_no_resistance_fails(resistance: float) -> None:
    assert 0.0 <= scan_data.sensor_voltage(resistance) <= scan_data.SUPPLY
    assert -40.0 <= scan_data.temperature_from_voltage(scan_data.sensor_voltage(resistance)) <= 215.0
    assert -100.0 <= scan_data.thermistor_temperature(resistance) <= 1000.0
