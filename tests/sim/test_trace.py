"""The course of one vehicle: rows where they were asked for, and a balance of heat that closes in each."""

import numpy as np
import pytest

from sim.drive import DriveLog, RoadLoad, legs_of_log, parse_drive
from sim.fleet import Fleet
from sim.trace import COLUMNS, Trace, trace
from sim.vehicle.parameters import healthy
from sim.vehicle.rates import rates, stored_heat
from sim.vehicle.states import STATES
from sim.world import Leg

BALANCE_W = 0.01
"""How far the balance of heat may be off in any row [W]; powers are of order 10 kW."""
STORED_SHARE = 2e-3
"""How far the stored heat may be off the integral of the powers, as a share of all heat that came in [-]."""

CASES = {
    "regulating": ({}, 25.0, "rev2500:900,idle:900"),
    "fan cycling": ({"fan_on_C": 88.0, "fan_off_K": 3.0, "opens_C": 75.0, "sensor_s": 0.2}, 35.0, "rev2500:1800"),
    "leaking, cap weak": ({"leak_hose": 0.5, "cap_seal": 0.2}, 35.0, "rev2500:900"),
    "cold, then resting": ({}, -20.0, "road50:600,rest:600"),
}


def vehicle(values: dict[str, float], ambient: float, blower: float = 2.0) -> Fleet:
    fleet = Fleet.cold(healthy(1, values), ambient)
    fleet.controls["heater"], fleet.controls["blower"] = 1.0, blower
    return fleet


def course(values: dict[str, float], ambient: float, drive: str, every: float, blower: float = 2.0) -> Trace:
    return trace(vehicle(values, ambient, blower), parse_drive(drive), every)


def into_store(rows: Trace) -> np.ndarray:
    """Heat that goes into metal and coolant [W] by the balance of each row."""
    return rows["heat_to_coolant_W"] - rows["heater_W"] - rows["radiator_W"] - rows["loss_W"]


@pytest.mark.parametrize("values, ambient, drive", CASES.values(), ids=CASES.keys())
def test_balance_of_heat_closes_in_the_last_row(values: dict[str, float], ambient: float, drive: str) -> None:
    fleet = vehicle(values, ambient)
    for leg in parse_drive(drive):
        for part in range(1, 8):
            rows = trace(fleet, [Leg(leg.seconds / 8.0, leg.controls)], leg.seconds / 8.0)
            state, rate = fleet.state[0], np.zeros(STATES)
            records = (fleet.parameters[0], fleet.controls[0], fleet.switches[0], fleet.algebraic[0])
            rates(state, *records, rate)
            step = 1e-3  # s
            ahead, behind = (stored_heat(state + sign * step * rate, records[0]) for sign in (1.0, -1.0))
            assert into_store(rows)[-1] == pytest.approx((ahead - behind) / (2.0 * step), abs=BALANCE_W), part


@pytest.mark.parametrize("values, ambient, drive", CASES.values(), ids=CASES.keys())
def test_stored_heat_is_the_integral_of_the_powers(values: dict[str, float], ambient: float, drive: str) -> None:
    rows = course(values, ambient, drive, 0.25)
    powers = into_store(rows)
    # between two rows the mean of their powers, but the later one's alone where control or fan has switched
    mean = np.where(np.abs(np.diff(powers)) > 200.0, powers[1:], 0.5 * (powers[1:] + powers[:-1]))
    heat = np.trapezoid(rows["heat_to_coolant_W"], rows["time_s"])
    assert np.cumsum(0.25 * mean) == pytest.approx(rows["stored_J"][1:], abs=STORED_SHARE * heat)


def test_each_row_shows_the_fan_that_ran_then() -> None:
    values, ambient, drive = CASES["fan cycling"]
    rows = course(values, ambient, drive, 0.2, blower=0.0)
    coolant, radiator = rows["engine_coolant_C"], rows["radiator_W"]
    switched = np.flatnonzero(np.abs(np.diff(radiator)) > 1000.0)
    assert len(switched) >= 4
    for moment in switched:
        on = radiator[moment + 1] > radiator[moment]
        assert coolant[moment] == pytest.approx(88.0 if on else 85.0, abs=0.3)


def test_rows_stand_where_they_were_asked_for_and_do_not_disturb() -> None:
    often, seldom = course({}, 0.0, "idle:95,road50:100", 1.0), course({}, 0.0, "idle:95,road50:100", 10.0)
    assert often.columns == tuple(COLUMNS)
    assert often["time_s"].tolist() == [float(k) for k in range(196)]
    assert seldom["time_s"].tolist() == [10.0 * k for k in range(20)]
    assert (seldom.rows[1:] == often.rows[10::10]).all()
    assert often["stored_J"][0] == 0.0
    assert often["speed_kmh"][95] == 0.0 and often["speed_kmh"][96] == 50.0


def test_spacing_that_no_binary_number_meets_loses_no_row() -> None:
    rows = course({}, 0.0, "idle:0.3,rev1500:0.6", 0.1)
    assert rows["time_s"] == pytest.approx(np.arange(10) * 0.1)
    assert (rows["engine_coolant_C"] > -0.01).all()


@pytest.mark.parametrize(
    "text, wrong",
    [
        ("", "part 1"),
        ("idle", "part 1"),
        ("idle:10,", "part 2"),
        ("idle:ten", "part 1"),
        ("idle:-5", "part 1"),
        ("idle:0", "more than 0"),
        ("road:10", "part 1"),
        ("road500:10", "at most 250"),
        ("rev9000:10", "at most 8000"),
        ("idle:1e3", "part 1"),
        ("rest:999999", "lasts 999999 s"),
        ("ROAD50:10", "part 1"),
        ("road\N{ARABIC-INDIC DIGIT FIVE}:10", "part 1"),
    ],
)
def test_a_drive_that_cannot_be_read_is_refused(text: str, wrong: str) -> None:
    with pytest.raises(ValueError, match=wrong) as error:
        parse_drive(text)
    assert "expected" in str(error.value)


def test_any_figure_is_taken() -> None:
    legs = parse_drive(" road37.5:10 , rev1234:20,rest:0.5")
    assert [leg.seconds for leg in legs] == [10.0, 20.0, 0.5]
    assert [leg.controls["kmh"] for leg in legs] == [37.5, 0.0, 0.0]
    assert [leg.controls["rpm"] for leg in legs] == [0.0, 1234.0, 0.0]
    assert [leg.controls["engine"] for leg in legs] == [1.0, 1.0, 0.0]


def test_a_log_becomes_legs_with_the_work_of_its_changes_of_speed() -> None:
    log = DriveLog(
        time_s=np.array([0.0, 2.0, 4.0, 6.0]),
        rpm=np.array([800.0, 2000.0, 1500.0, 0.0]),
        speed_kmh=np.array([0.0, 18.0, 18.0, 0.0]),
        ambient_C=np.array([5.0, 5.0, 6.0, 6.0]),
    )
    road = RoadLoad(150.0, 0.03)
    gathering, steady, braking = legs_of_log(log, road)
    # 1390 kg and a twentieth for what turns, 2.5 m/s2 at 2.5 m/s
    assert gathering.controls["load_kW"] == pytest.approx(9.12, abs=0.01)
    assert steady.controls["load_kW"] == 0.0
    assert braking.controls["load_kW"] == pytest.approx(-(150.0 + 0.03 * 81.0) * 9.0 / 3600.0)
    assert [leg.controls["engine"] for leg in (gathering, steady, braking)] == [1.0, 1.0, 1.0]
    assert braking.controls["ambient_C"] == 6.0
    assert log.start_C == 5.0
