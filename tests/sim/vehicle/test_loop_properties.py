"""The whole vehicle as mathematics: conservation, monotonicity, bounds and limits, over drives, faults and weather."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from sim.fleet import Fleet
from sim.laws import coolant
from sim.laws.actuators import BLEND_CONTACT
from sim.laws.air import saturation_humidity_ratio, standard_atmosphere_pressure
from sim.solver.switches import SEIZED_K_MIN
from sim.vehicle import states as st
from sim.vehicle.algebraic import DTYPE as ALGEBRAIC
from sim.vehicle.parameters import healthy
from sim.vehicle.rates import BREATH_KG_S, MIN_COOLANT_KG, rates, stored_heat
from tests.reference import draw
from tests.sim.vehicles import driving

BALANCE = 1e-6
"""How far powers may be off their balance at one moment [share of the largest]."""
HEAT = 1e-3
"""How far a whole drive's heat may be off its balance [share of the heat in]."""
MASS = 1e-9
"""How far coolant held and lost may be off what was filled [share]."""
OVERSHOOT_K = 0.05
"""How far a temperature may pass a bound [K]: hundreds of allowed errors, and thousandths of any display."""

Legs = tuple[tuple[float, dict[str, float]], ...]
STOPPED = {"ignition": 0.0, "engine": 0.0, "rpm": 0.0, "kmh": 0.0, "load_kW": 0.0}
AGAIN = {"ignition": 1.0, "engine": 1.0}
TOWN_AND_ROAD: Legs = ((300.0, {}), (900.0, {"kmh": 50.0}), (600.0, {"kmh": 110.0}), (600.0, {"kmh": 0.0}))
THREE_HOURS: Legs = (
    (600.0, {}),
    (3000.0, {"kmh": 50.0}),
    (3600.0, {"kmh": 110.0}),
    (1800.0, {"kmh": 0.0, "rpm": 2500.0}),
    (1800.0, {"rpm": 0.0}),
)


@dataclass(frozen=True)
class Course:
    """A drive every 10 s: states (m, STATES), quantities (m,); the fleet of one at its end, and its state before."""

    fleet: Fleet
    before: np.ndarray
    states: np.ndarray
    algebraic: np.ndarray


@cache
def _course(
    parameters: tuple[tuple[str, float], ...], ambient: float, legs: int, altitude: float, heater: float
) -> Course:
    drive = (TOWN_AND_ROAD, THREE_HOURS)[legs]
    atmosphere = standard_atmosphere_pressure(altitude)
    fleet = Fleet.cold(healthy(1, dict(parameters)), ambient, atmosphere, 0.0005 if ambient < 0.0 else 0.003)
    before = fleet.state[0].copy()
    for name, value in {**AGAIN, "heater": heater, "blower": 2.0, "occupants": 1.0}.items():
        fleet.controls[name] = value
    return follow(fleet, drive, before)


def follow(fleet: Fleet, drive: Legs, before: np.ndarray) -> Course:
    """Drive on, seen every 10 s."""
    states, quantities, now = [], [], 0.0
    for seconds, controls in drive:
        for name, value in controls.items():
            fleet.controls[name] = value
        fleet.apply_controls()
        seen = fleet.advance(now, now + seconds, np.arange(now + 10.0, now + seconds + 1e-9, 10.0))[0]
        states.append(seen)
        quantities.append(fleet.evaluate(seen))
        now += seconds
    return Course(fleet, before, np.concatenate(states), np.concatenate(quantities))


def course(
    parameters: dict[str, float], ambient: float, legs: Legs = TOWN_AND_ROAD, altitude: float = 0.0, heater: float = 1.0
) -> Course:
    """A cold vehicle through a drive, heater on."""
    return _course(
        tuple(sorted(parameters.items())), ambient, (TOWN_AND_ROAD, THREE_HOURS).index(legs), altitude, heater
    )


FAULTS: dict[str, dict[str, float]] = {
    "none": {},
    "stuck open": {"lift_least": 0.5},
    "stuck shut": {"lift_most": 0.0},
    "low": {"missing_L": 2.5},
    "all but empty": {"missing_L": 6.5},
    "hose leak": {"leak_hose": 2.0},
    "weak cap": {"cap_seal": 0.1},
    "gas": {"gas_ingress": 10.0, "gasket_holds_kW": 0.0},
    "no pump": {"pump_grip": 0.0},
    "tank": {"has_bottle": 0.0, "tank_air_L": 0.8, "bottle_L": 0.0},
    "boosted": {"boost_head_kPa": 10.0},
    "inlet": {"at_inlet": 1.0},
    "fan dead": {"fan_works": 0.0},
    "core clogged": {"core_clear": 0.05},
    "valve shut": {"valve_most": 0.0},
}


def test_heat_balances_at_every_moment() -> None:
    """Heat in = heater + radiator + losses + d(stored)/dt, over random vehicles and states."""
    for seed in range(300):
        rng = np.random.default_rng(seed)
        p, c = draw.parameters(rng), draw.controls(rng)
        y = draw.state(rng, p, float(c["ambient_C"][0]))
        s, q, f = np.zeros(1, st.SWITCHES), np.zeros(1, ALGEBRAIC), np.zeros(st.STATES)
        p_, c_, s_, q_ = draw.row(p), draw.row(c), draw.row(s), draw.row(q)
        if abs(y[st.COOLANT] - MIN_COOLANT_KG) < 0.01:
            continue
        rates(y, p_, c_, s_, q_, f)
        step = 1e-4 / max(np.abs(f[: st.TEMPERATURES]).max(), abs(f[st.COOLANT]), abs(f[st.REAR]), 1e-3)
        stored = (stored_heat(y + step * f, p_) - stored_heat(y - step * f, p_)) / (2.0 * step)
        powers = [f[st.HEAT_IN], -f[st.HEAT_HEATER], -f[st.HEAT_RADIATOR], -f[st.HEAT_LOSS], -stored]
        flux = abs(float(q["metal_UA"][0]) * (y[st.METAL] - y[st.JACKET]))
        assert abs(sum(powers)) < BALANCE * max(*map(abs, powers), flux, 1e3), seed


@pytest.mark.parametrize("name", FAULTS)
def test_heat_and_mass_balance_over_a_drive(name: str) -> None:
    run = course(FAULTS[name], 10.0)
    y, p = run.fleet.state[0], draw.row(run.fleet.parameters)
    stored = stored_heat(y, p) - stored_heat(run.before, p)
    out = y[st.HEAT_HEATER] + y[st.HEAT_RADIATOR] + y[st.HEAT_LOSS]
    assert y[st.HEAT_IN] == pytest.approx(stored + out, rel=HEAT)
    filled = run.before[st.COOLANT] + run.before[st.BOTTLE]
    assert y[st.COOLANT] + y[st.BOTTLE] + y[st.LOST] == pytest.approx(filled, rel=MASS)


@pytest.mark.parametrize("name", FAULTS)
def test_bounds_over_a_drive(name: str) -> None:
    run = course(FAULTS[name], 10.0)
    y, q = run.states, run.algebraic
    assert np.isfinite(y).all()
    assert all(np.isfinite(q[field]).all() for field in q.dtype.names or ())
    assert y[:, : st.LIFT].min() > 10.0 - OVERSHOOT_K, "colder than where it stood"
    assert y[:, st.BLOCK : st.TRIM + 1].min() > 10.0 - OVERSHOOT_K
    assert y[:, st.LIFT].min() > -1e-3
    assert y[:, st.LIFT].max() < 1.001
    for amount in (st.COOLANT, st.BOTTLE, st.LOST, st.GAS, st.CORE_AIR, st.CARPET, st.HUMIDITY, st.CHARGE, st.VACUUM):
        assert y[:, amount].min() > -0.1 * (amount == st.GAS) - 1e-3, st.NAMES[amount]
    assert y[:, st.VACUUM].max() < float(run.fleet.parameters["vacuum_kPa"][0]) + 0.5
    assert np.all(np.diff(y[:, st.LOST]) > -1e-6), "what is lost stays lost"
    assert np.all(np.diff(y[:, st.OVERHEATING]) > -1e-3), "harm is never undone"
    # air leaves the core no warmer than the hottest coolant in it, the motor's and the electric heater's own heat aside
    hottest = np.maximum(y[:, st.FEED], y[:, st.CORE]) + 6.0
    assert np.all(q["vent_C"] < np.maximum(hottest, y[:, st.CABIN] + 6.0))


@pytest.mark.parametrize("name", FAULTS)
def test_nothing_boils_without_steam(name: str) -> None:
    """By Dalton's law no vapour pressure is above the loop's own; where they are equal there is a pocket of steam."""
    run = course(FAULTS[name], 10.0)
    absolute = run.algebraic["pressure_kPa"] + run.fleet.controls["atmosphere_kPa"][0]
    spare = absolute - run.algebraic["vapour_kPa"]
    assert spare.min() > -1e-6
    assert np.all(run.algebraic["gas_L"][spare < 1e-6] > 0.0)


@settings(max_examples=25)
@given(some.floats(-30.0, 40.0), some.floats(0.0, 8.0), some.sampled_from(["core_clear", "feed_clear", "return_clear"]))
def test_more_restriction_never_gives_more_heater_flow(ambient: float, heat: float, part: str) -> None:
    fleet = driving(ambient=ambient, heater=1.0, blower=2.0, rpm=1000.0 + 300.0 * heat, n=6)
    fleet.advance(0.0, 60.0 * heat)
    fleet.parameters[part] = [1.0, 0.7, 0.4, 0.2, 0.05, 0.0]
    fleet.refresh()
    assert np.all(np.diff(fleet.algebraic["heater_flow"]) <= 1e-12)


@settings(max_examples=25)
@given(some.floats(-35.0, 35.0), some.floats(0.5, 8.0), some.floats(30.0, 900.0), some.sampled_from([0.0, 50.0, 100.0]))
def test_warmer_outside_never_gives_a_colder_vent(ambient: float, warmer: float, seconds: float, kmh: float) -> None:
    """Until the thermostat opens: two vehicles that hunt out of step are at times the other way round."""
    vents = []
    for outside in (ambient, ambient + warmer):
        fleet = driving({"opens_C": 200.0}, outside, heater=1.0, blower=3.0, kmh=kmh)
        fleet.advance(0.0, min(seconds, 500.0))
        vents.append(float(fleet.algebraic["vent_C"][0]))
    assert vents[1] >= vents[0] - 1e-3


def test_no_flow_gives_no_heat() -> None:
    """With no pump the heater gets nothing, and the radiator next to nothing."""
    run = course({"pump_grip": 0.0}, 10.0)
    assert np.abs(run.algebraic["heater_flow"]).max() == 0.0
    assert run.algebraic["vent_C"].max() < 20.0


def test_no_air_takes_no_heat() -> None:
    fleet = driving(heater=1.0, blower=0.0)
    fleet.advance(0.0, 900.0)
    # an open contact is 1e9 ohm, so the wheel is not quite at rest
    assert fleet.algebraic["air_kg_s"][0] < 1e-5
    assert fleet.algebraic["heater_W"][0] < 1.0
    assert fleet.state[0, st.HEAT_HEATER] < 1e-4 * fleet.state[0, st.HEAT_IN]


def test_dead_battery_turns_nothing() -> None:
    """An open battery, engine stopped: no voltage, no blower, no fan."""
    fleet = driving({"battery_ohm": 1e9, "base_load_A": 0.0}, blower=4.0, engine=0.0)
    assert fleet.algebraic["blower_speed"][0] < 1e-4
    assert fleet.algebraic["blower_A"][0] < 1e-6


def test_a_vehicle_at_rest_stays_as_it_is() -> None:
    """Cold, switched off, in still weather: no state moves, but the vacuum and the charge that it never had."""
    fleet = Fleet.cold(healthy(1), -7.0)
    before = fleet.state[0].copy()
    fleet.advance(0.0, 3600.0)
    assert fleet.state[0] == pytest.approx(before, abs=1e-9)


WEATHERS = {
    "deep cold": ({}, -30.0, 0.0, 1.0),
    "heat": ({}, 45.0, 0.0, 0.0),
    "3000 m": ({}, 20.0, 3000.0, 1.0),
    "water": ({"glycol": 0.0}, 5.0, 0.0, 1.0),
    "glycol": ({"glycol": 0.7}, -30.0, 0.0, 1.0),
}


@pytest.mark.parametrize("name", WEATHERS)
def test_three_hours_in_any_weather(name: str) -> None:
    """A healthy car neither boils nor loses coolant nor harms its engine, and warms its cabin."""
    parameters, ambient, altitude, heater = WEATHERS[name]
    run = course(parameters, ambient, THREE_HOURS, altitude, heater)
    y, q = run.states, run.algebraic
    assert np.isfinite(y).all()
    assert y[:, st.OVERHEATING].max() == 0.0
    assert y[:, st.JACKET].max() < 108.0
    assert y[-1, st.LOST] < 0.02
    assert q["steam_kg_s"].max() < 1e-6
    assert q["pressure_kPa"].max() < 130.0
    warm = slice(360, 720)  # the hour at 110 km/h
    if heater:
        assert y[warm, st.JACKET].min() > 60.0
        assert y[719, st.CABIN] > max(15.0, ambient + 15.0)


@pytest.mark.parametrize("ambient", [-10.0, 35.0])
def test_hot_soak_and_restart(ambient: float) -> None:
    """Stopped hot: the coolant first gains from the metal, then all cools to ambient in a night, and starts again."""
    drive: Legs = ((1800.0, {"kmh": 90.0, "load_kW": 10.0}), (8 * 3600.0, STOPPED), (900.0, {**AGAIN, "kmh": 50.0}))
    fleet = driving(ambient=ambient, heater=1.0, blower=2.0)
    run = follow(fleet, drive, fleet.state[0].copy())
    y = run.states
    assert np.isfinite(y).all()
    stopped, night = y[179], y[180 : 180 + 2880]
    assert night[:60, st.JACKET].max() > stopped[st.JACKET]
    assert np.all(np.diff(night[60:, st.METAL]) < 1e-6)
    assert night[-1, st.JACKET] - ambient < 0.15 * (stopped[st.JACKET] - ambient)
    assert y[-1, st.JACKET] > 70.0
    assert y[-1, st.LOST] < 0.02
    assert y[-1, st.COOLANT] + y[-1, st.BOTTLE] + y[-1, st.LOST] == pytest.approx(
        y[0, st.COOLANT] + y[0, st.BOTTLE], rel=MASS
    )
    drawn_back = night[-1, st.COOLANT] - night[:, st.COOLANT].min()
    assert drawn_back > 0.0, "the loop takes coolant back as it cools"


def test_an_engine_that_is_long_overheated_seizes_at_one_moment_and_stays_so() -> None:
    """Without a pump, driven on: 600 K min of metal above 130 degC, found inside a step (P)."""
    fleet = driving({"pump_grip": 0.0}, 25.0, kmh=90.0)
    run = follow(fleet, ((5400.0, {}),), fleet.state[0].copy())
    turns = np.diff(run.states[:, st.RUN]) > 9.99
    assert fleet.switches["seized"][0] == 1.0
    assert turns[0]
    assert not turns[-1]
    assert np.all(np.diff(turns.astype(int)) <= 0), "it never turns again"
    stopped_s = run.states[-1, st.RUN]
    again = driving({"pump_grip": 0.0}, 25.0, kmh=90.0)
    again.advance(0.0, stopped_s)
    assert again.state[0, st.OVERHEATING] == pytest.approx(SEIZED_K_MIN, abs=0.01)


def test_an_empty_loop_pumps_nothing_and_reads_low() -> None:
    fleet = driving({"missing_L": 7.0, "leak_hose": 2.0}, 20.0, rpm=2500.0)
    fleet.advance(0.0, 600.0)
    q, y = fleet.algebraic[0], fleet.state[0]
    assert q["pump_flow"] < 0.5
    assert q["sensor_C"] < y[st.JACKET] - 10.0


def test_steam_that_collapses_draws_hoses_flat_and_air_in_but_no_deep_vacuum() -> None:
    """A third of the coolant boils away past a cap whose vacuum valve sticks; then a night (P)."""
    fleet = driving({"fan_works": 0.0, "cap_seal": 0.2, "cap_breathes": 0.0, "pump_grip": 0.3}, 25.0, rpm=3000.0)
    fleet.advance(0.0, 3000.0)
    assert fleet.state[0, st.LOST] > 1.0
    gas = float(fleet.state[0, st.GAS])
    for name, value in STOPPED.items():
        fleet.controls[name] = value
    seen = fleet.advance(0.0, 12 * 3600.0, np.arange(60.0, 12 * 3600.0, 60.0))[0]
    pressure = fleet.evaluate(seen)["pressure_kPa"]
    assert -50.0 < pressure.min() < -20.0
    assert fleet.state[0, st.GAS] > gas + 50.0


@pytest.mark.parametrize("breathes", [1.0, 0.0], ids=["sound", "vacuum valve stuck"])
def test_a_loop_without_its_cap_stays_at_the_pressure_outside(breathes: float) -> None:
    """A warm engine, opened and left to cool: as much air comes in as the coolant shrinks (common practice)."""
    fleet = driving({"cap_breathes": breathes}, 5.0, heater=1.0, rpm=1500.0)
    fleet.advance(0.0, 600.0)
    for name, value in {**STOPPED, "cap": 0.0}.items():
        fleet.controls[name] = value
    seen = fleet.advance(0.0, 6 * 3600.0, np.arange(600.0, 6 * 3600.0, 60.0))[0]
    q = fleet.evaluate(seen)
    assert np.abs(q["pressure_kPa"]).max() < 0.5
    assert np.all(np.diff(q["gas_L"]) > -1e-3)
    assert q["gas_L"][-1] - q["gas_L"][0] == pytest.approx(q["coolant_L"][0] - q["coolant_L"][-1], abs=0.01)


def test_weak_antifreeze_is_slush_in_the_cold_and_flows_once_it_has_thawed() -> None:
    """A tenth of glycol at -20 degC: most of it ice, next to no flow; the blower keeps the core frozen (P)."""
    fleet = driving({"glycol": 0.1}, -20.0, heater=1.0, blower=1.0, rpm=1500.0)
    assert coolant.ice_share(-20.0, coolant.freezing_point(0.1)) == pytest.approx(0.71, abs=0.02)
    assert fleet.algebraic["pump_flow"][0] < 0.5
    sound = driving({"glycol": 0.5}, -20.0, heater=1.0, blower=1.0, rpm=1500.0)
    assert sound.algebraic["heater_flow"][0] > 4.0
    fleet.advance(0.0, 1200.0)
    assert fleet.state[0, st.JACKET] > 60.0
    assert fleet.algebraic["heater_flow"][0] < 0.3
    fleet.controls["blower"] = 0.0
    fleet.advance(1200.0, 3000.0)
    assert fleet.algebraic["heater_flow"][0] > 4.0


def test_cold_air_cannot_hold_what_people_breathe_out() -> None:
    """Four people, no ventilation, -20 degC: what the air cannot hold is mist, which settles in a minute (P)."""
    fleet = driving(ambient=-20.0, engine=0.0, ignition=0.0, occupants=4.0)
    times = np.arange(10.0, 3600.0, 10.0)
    seen = fleet.advance(0.0, 3600.0, times)[0]
    holds = np.array([saturation_humidity_ratio(float(cabin), 101.325) for cabin in seen[:, st.CABIN]])
    assert np.all(seen[:, st.HUMIDITY] < holds + 60.0 * 4.0 * BREATH_KG_S / (1.2 * 3.0) + 1e-5)
    assert seen[-1, st.HUMIDITY] > 0.7 * holds[-1]


def test_a_blend_plug_that_opens_again_leaves_the_door_where_it_came_to() -> None:
    """Moved while the plug was off: the door follows when it makes contact, and stays when it is lost again (P)."""
    loose = {
        "contact_of": BLEND_CONTACT,
        "contact_mean_s": 60.0,
        "contact_key": 0.3,
        "blend_drive": 2.0,
        "blend_motor": 1.0,
    }
    fleet = driving(loose, heater=1.0)
    times = np.arange(1.0, 1200.0)
    fleet.switches["next"] = 10.0
    fleet.advance(0.0, 20.0)
    assert fleet.switches["open"][0] == 1.0
    fleet.controls["heater"] = 0.0
    fleet.apply_controls()
    assert fleet.algebraic["blend"][0] > 0.9
    seen, switches = fleet.advance_with_switches(20.0, 1220.0, 20.0 + times)
    doors, made = fleet.evaluate(seen[0], switches=switches[0])["blend"], switches[0]["open"] < 0.5
    first = int(np.argmax(made))
    assert np.all(doors[:first] > 0.9)
    assert np.all(doors[first:] < 0.1)
    assert not made[first:].all(), "the plug has come off again"
