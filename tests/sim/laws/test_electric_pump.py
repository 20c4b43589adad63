"""An electric main pump: its demand against common practice, its speed and current against the circuit's own laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from sim.laws import electric_pump, hydraulics
from tests.sim.vehicles import driving

TEMPERATURES = st.floats(-30.0, 130.0)
LOADS = st.floats(0.0, 60.0)
SOLVED = 1e-9
"""Difference to SciPy's root [share]."""
PUMP = {"electric_rpm": 6000.0, "pump_head_kPa": 2.4}


@given(TEMPERATURES, TEMPERATURES, st.floats(0.0, 1.0), LOADS)
def test_demand_grows_with_temperature_within_bounds(one: float, other: float, heat: float, work: float) -> None:
    low, high = (electric_pump.pump_demand(t, heat, work) for t in sorted((one, other)))
    assert 0.0 < low <= high <= 1.0


@given(TEMPERATURES, st.floats(0.0, 1.0), LOADS)
def test_demand_grows_with_load_and_heat(coolant: float, heat: float, work: float) -> None:
    asked = electric_pump.pump_demand(coolant, heat, work)
    assert electric_pump.pump_demand(coolant, heat, work + 5.0) >= asked
    assert electric_pump.pump_demand(coolant, 1.0, work) >= asked
    assert electric_pump.pump_demand(coolant, 1.0, work) >= electric_pump.HEAT


def test_a_cold_pump_all_but_stands_unless_heat_is_asked_for() -> None:
    """Common practice, no source; worked by hand from the bounds stated in the module."""
    assert electric_pump.pump_demand(-20.0, 0.0, 30.0) == pytest.approx(0.1)
    assert electric_pump.pump_demand(-20.0, 1.0, 30.0) == pytest.approx(0.35)
    assert electric_pump.pump_demand(90.0, 0.0, 0.0) == pytest.approx(0.25)
    assert electric_pump.pump_demand(102.0, 0.0, 0.0) == pytest.approx(0.25 + 0.75 * 0.5)
    assert electric_pump.pump_demand(108.0, 0.0, 0.0) == 1.0


@given(st.floats(0.0, 1000.0))
def test_speed_on_a_bad_ground_solves_its_circuit(ground: float) -> None:
    """Voltages around the circuit: n of the rated one at the motor, I R over the ground, I of the rated one as n^2."""

    def left_over(n: float) -> float:
        return 13.5 * n + ground * (13.5 / electric_pump.RATED_OHM) * n * n - 13.5

    solved = brentq(left_over, 0.0, 1.0, xtol=1e-14)
    assert electric_pump.reachable_speed(ground) == pytest.approx(solved, rel=SOLVED)


def test_current_by_the_affinity_laws() -> None:
    """Half the speed is an eighth of the power (textbook); at half the voltage that is a quarter of the current."""
    full = electric_pump.pump_current(1.0, 1.0, 1.0, 1.0) - electric_pump.ELECTRONICS_A
    half = electric_pump.pump_current(0.5, 1.0, 1.0, 1.0) - electric_pump.ELECTRONICS_A
    starved = electric_pump.pump_current(0.5, 0.5, 1.0, 1.0) - electric_pump.ELECTRONICS_A
    assert (half / full, starved / full) == pytest.approx((0.125, 0.25))
    assert full * 13.5 == pytest.approx(324.0)  # [W], common practice for small cars: 300 to 400 W


def test_hydraulic_power_is_a_sound_share_of_the_electric_power() -> None:
    """By hand: 84 L/min against 60 kPa behind the pump are 84 W of 326 W; small pumps give 20 to 50 % (textbook, M)."""
    head = hydraulics.pump_head(2.4, 6000.0, 1.0, 1.0, 1.0, 1.0)
    assert head == pytest.approx(86.4)
    flow = sum(hydraulics.split_flow(head, 0.007, 10.5, 0.0, 3.2)[:3])
    watts = (head - 0.003 * flow * flow) * flow / 60.0
    assert 0.2 < watts / (13.5 * electric_pump.pump_current(1.0, 1.0, 1.0, 1.0)) < 0.5


def test_engine_speed_moves_no_coolant_on_a_vehicle_with_it() -> None:
    idle, revved = (
        driving(PUMP, rpm=rpm, ignition=1.0, engine=1.0, heater=1.0, blower=2.0).algebraic for rpm in (800.0, 4000.0)
    )
    assert float(idle["heater_flow"][0]) > 3.0
    assert float(revved["heater_flow"][0]) == pytest.approx(float(idle["heater_flow"][0]), rel=0.05)
    belt, faster = (
        driving({}, rpm=rpm, ignition=1.0, engine=1.0, heater=1.0, blower=2.0).algebraic for rpm in (800.0, 4000.0)
    )
    assert float(faster["heater_flow"][0]) > 3.0 * float(belt["heater_flow"][0])
