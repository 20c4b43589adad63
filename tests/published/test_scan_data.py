"""Scan data against SAE J1979 and SAE J2012 as secondary copies give them."""

import math

import pytest

from sim.observation import scan_data


def test_every_byte_is_its_degree_less_forty() -> None:
    """SAE J1979 parameter 05: degC = A - 40 (F)."""
    assert [scan_data.decode_coolant_temperature(a) for a in range(256)] == [float(a - 40) for a in range(256)]


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("P0115", ["circuit"]),
        ("P0116", ["range", "performance"]),
        ("P0117", ["low"]),
        ("P0118", ["high"]),
        ("P0125", ["insufficient", "closed loop"]),
        ("P0128", ["below thermostat regulating temperature"]),
        ("P0217", ["over temperature"]),
        ("P2181", ["cooling system performance"]),
    ],
)
def test_text_of_trouble_code(code: str, words: list[str]) -> None:
    """SAE J2012 / ISO 15031-6 in short, as the library `obd` has them (C, not run here)."""
    assert [word for word in words if word not in scan_data.TROUBLE_CODES[code].lower()] == []


def test_shorted_sensor_reads_hot_and_open_sensor_cold() -> None:
    """SAE J2012 P0117 and P0118 (M)."""
    shorted = scan_data.temperature_from_voltage(scan_data.sensor_voltage(0.0))
    open_circuit = scan_data.temperature_from_voltage(scan_data.sensor_voltage(math.inf))
    assert (shorted, open_circuit) == (215.0, -40.0)
