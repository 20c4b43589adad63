"""Scan data against SAE J1979 and a generic thermistor's table."""

from functools import partial

from sim.observation import scan_data
from tests.published.value import Letter, PublishedValue

TABLE = 0.6
"""Tolerance of the thermistor's table [ohm]: its rounding to one ohm."""


def _resistance(temperature: float, expected: float) -> PublishedValue:
    return PublishedValue(
        key=f"scan data/thermistor at {temperature:g}",
        what=f"coolant sensor, {temperature:g} °C",
        source="generic thermistor, 2500 ohm at 20 °C, beta 3548 K",
        letter="M",
        expected=expected,
        unit="ohm",
        tolerance=TABLE,
        compute=partial(scan_data.thermistor_resistance, temperature),
    )


def _decoded(byte: int, expected: float, source: str, letter: Letter) -> PublishedValue:
    return PublishedValue(
        key=f"scan data/byte {byte:02X}",
        what=f"coolant temperature of the answer 41 05 {byte:02X}",
        source=source,
        letter=letter,
        expected=expected,
        unit="°C",
        tolerance=1e-9,
        compute=partial(scan_data.decode_coolant_temperature, byte),
    )


VALUES = [
    _decoded(0x00, -40.0, "SAE J1979", "F"),
    _decoded(0x82, 90.0, "SAE J1979; the library `obd` reads the same", "F"),
    _decoded(0xFF, 215.0, "SAE J1979", "F"),
    *(_resistance(t, r) for t, r in ((0.0, 6065.0), (20.0, 2500.0), (80.0, 320.0), (90.0, 242.0), (100.0, 187.0))),
]
