"""Blower and its resistor pack against the trade's figures, and the engine's heat against usual ranges."""

from sim.laws.circuits import motor_speed
from sim.laws.engine_heat import brake_work, coolant_heat
from sim.vehicle.parameters import PARAMETERS
from tests.published.value import PublishedValue

VOLTS, WINDING, HIGH_A = 13.5, 0.25, 20.0
"""Supply [V], winding [ohm], current on the highest speed [A]."""
BACK = VOLTS - WINDING * HIGH_A
"""Back voltage at rated speed [V]."""
PACK = {
    0.0: (20.0, 13.5, 1.0),
    0.3: (12.4, 9.8, 0.79),
    0.8: (7.8, 7.3, 0.62),
    1.6: (5.0, 5.5, 0.50),
    2.4: (3.7, 4.6, 0.43),
}
"""Resistance of the pack [ohm] to current [A], voltage at the motor [V] and flow over the highest [-]."""
ROUNDING = {"A": 0.06, "V": 0.06, "-": 0.006}
"""Tolerance: the figures' own rounding, in their units."""


def _blower(ohm: float) -> dict[str, float]:
    """Current [A], voltage at the motor [V], flow [-] behind a pack of ohm [ohm]."""
    speed = motor_speed(VOLTS, WINDING + ohm, BACK, BACK * HIGH_A)
    current = HIGH_A * speed * speed
    return {"A": current, "V": VOLTS - current * ohm, "-": speed}


def _pack(ohm: float, unit: str, name: str, expected: float) -> PublishedValue:
    return PublishedValue(
        key=f"blower/{name} {ohm:g}",
        what=f"{name} behind a resistor pack of {ohm:g} ohm, {VOLTS:g} V",
        source="V = I (Ra + R) + k w, k I = c w^2, flow ~ w, worked out elsewhere",
        letter="P",
        expected=expected,
        unit=unit,
        tolerance=ROUNDING[unit],
        compute=lambda: _blower(ohm)[unit],
    )


def _heat(kmh: float) -> float:
    """Heat [kW] to metal and coolant of the warm mid-size car at a steady speed [km/h]."""
    p = {name: parameter.default for name, parameter in PARAMETERS.items()}
    work = brake_work(kmh, p["rolling_N"], p["drag_N_per_kmh2"], p["accessory_kW"], 0.0)
    rpm = max(p["idle_rpm"], kmh * p["rpm_per_kmh"])
    laws = (p["heat_at_1000"], p["heat_speed_exponent"], p["heat_per_work"], p["cold_extra"])
    return coolant_heat(rpm, work, 93.0, *laws) / 1000.0


def _warm_engine(kmh: float, low: float, high: float) -> PublishedValue:
    where = f"{kmh:g} km/h" if kmh else "idle"
    return PublishedValue(
        key=f"engine heat/{kmh:g} kmh",
        what=f"heat to the coolant, warm, at {where}, mid-size car (usual: {low:g} to {high:g})",
        source="vehicle figures",
        letter="P",
        expected=0.5 * (low + high),
        unit="kW",
        tolerance=0.5 * (high - low),
        compute=lambda: _heat(kmh),
    )


VALUES = [
    *(
        _pack(ohm, unit, name, expected)
        for ohm, figures in PACK.items()
        for unit, name, expected in zip(("A", "V", "-"), ("current", "motor voltage", "flow"), figures, strict=True)
    ),
    _warm_engine(0.0, 3.5, 4.5),
    _warm_engine(50.0, 6.0, 8.0),
    _warm_engine(100.0, 13.0, 15.0),
]
