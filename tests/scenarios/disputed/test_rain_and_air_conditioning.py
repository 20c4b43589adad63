"""Rain in the cabin, and air that an evaporator dries. Common practice, no source, where nothing else is said."""

import pytest

from sim.observation.heater import refrigerant_pressure
from sim.repairs import dry_carpet
from sim.vehicle import states as st
from sim.world import running
from tests.scenarios.disputed.vehicles import catalogue, cold, field, go, night, seen, state, value, with_fault

RAINY_C, WET = 9.0, 0.0066  # kg/kg outside, nine tenths of what air of 9 degC can hold
RAIN = {"scuttle-drain-blocked": "water in the scuttle", "intake-seal-leaking": "water past the intake seal"}
EMPTY = {"ac-refrigerant-lost", "compressor-clutch-open"}
each_rain = pytest.mark.parametrize("fault", RAIN)


def rainy(name: str, fault: str = "none", people: float = 1.0, severity: float = 1.0):
    world = cold(with_fault(name, fault, severity), RAINY_C)
    world.fleet.controls["outside_humidity"] = WET
    world.fleet.state[:, st.HUMIDITY] = WET
    world.set(occupants=people, blower=2.0)
    return world


@each_rain
def test_water_from_outside_is_clear_and_does_not_smell(fault: str) -> None:
    for severity in (0.45, 1.0):
        world = cold(with_fault("hatch", fault, severity))
        go(world, 10.0, **running(kmh=50.0))
        assert seen(world, "carpet wetness", "hand on the carpet") == "soaked"
        assert seen(world, "coolant on paper", "paper") == "no colour"
        assert seen(world, "sweet smell", "nose") == "nothing"
    core = cold(with_fault("hatch", "heater-core-leak"))
    assert seen(core, "coolant on paper", "paper") != "no colour"


@each_rain
def test_the_place_tells_the_two_ways_in_apart(fault: str) -> None:
    world = cold(with_fault("hatch", fault, 0.45))
    for other, quantity in RAIN.items():
        assert (value(world, quantity) > 0.2) == (other == fault)


@each_rain
def test_a_carpet_that_is_only_dried_gets_wet_again(fault: str) -> None:
    world = cold(with_fault("hatch", fault, 0.6))
    dry_carpet(world.fleet)
    for _ in range(5):
        night(world)
        go(world, 20.0, **running(kmh=50.0))
    assert seen(world, "carpet wetness", "hand on the carpet") != "dry"
    sound = cold(with_fault("hatch"))
    for _ in range(5):
        night(sound)
    assert state(sound, st.CARPET) == 0.0


@each_rain
def test_a_wet_carpet_fogs_the_glass_on_recirculated_air(fault: str) -> None:
    found = {}
    for which in (fault, "none"):
        world = rainy("hatch", which)
        world.set(recirculation=1.0)
        go(world, 16.0, **running(kmh=40.0))
        found[which] = seen(world, "glass fog", "eye on the glass")
    assert found == {fault: "fogged", "none": "clear"}


@pytest.mark.parametrize("fault", sorted(EMPTY))
@pytest.mark.parametrize("name", ["saloon", "van"])
def test_without_its_compressor_nothing_dries_the_air(fault: str, name: str) -> None:
    humidity = {}
    for which in (fault, "none"):
        world = rainy(name, which, 3.0)
        world.set(recirculation=1.0)
        go(world, 16.0, **running(kmh=40.0))
        humidity[which] = state(world, st.HUMIDITY)
    assert humidity["none"] < 0.9 * humidity[fault]


def test_the_compressor_rests_in_cold_air_with_the_engine_stopped_and_on_fresh_air_to_the_floor() -> None:
    for ambient, controls, turns in [
        (9.0, {"vents": 2.0}, True),
        (9.0, {"recirculation": 1.0}, True),
        (9.0, {}, False),
        (2.0, {"vents": 2.0}, False),
        (9.0, {"vents": 2.0, "engine": 0.0}, False),
        (9.0, {"vents": 2.0, "blower": 0.0}, False),
    ]:
        world = cold(with_fault("van"), ambient)
        world.set(**{**running(), "blower": 2.0, **controls})
        assert (value(world, "compressor at work") > 0.5) == turns, (ambient, controls)
    for name in ("hatch", "pickup", "diesel-wagon", "hybrid"):
        world = cold(with_fault(name), 9.0)
        world.set(**running(), vents=2.0, blower=2.0)
        assert value(world, "compressor at work") == 0.0  # none fitted


def test_the_evaporator_cools_and_dries_and_the_core_warms_again() -> None:
    """Air of 20 degC leaves an evaporator regulated to 4 degC at some 7 degC, and no wetter than saturated there."""
    world = cold(with_fault("van"), 20.0)
    world.set(**running(), vents=2.0, blower=2.0)
    assert 4.0 < field(world, "intake_C") < 9.0
    world.set(vents=0.0)
    assert field(world, "intake_C") == pytest.approx(20.0, abs=0.5)


def test_pressure_at_rest_tells_an_empty_circuit_from_an_open_coil() -> None:
    """R134a: 193 kPa gauge at 0 degC, 471 at 20 (textbook, M)."""
    for ambient, kPa in ((0.0, 192.0), (20.0, 471.0)):
        assert refrigerant_pressure(cold(with_fault("van"), ambient).fleet)[0] == pytest.approx(kPa, abs=5.0)
    empty = cold(with_fault("van", "ac-refrigerant-lost"))
    open_coil = cold(with_fault("van", "compressor-clutch-open"))
    assert (
        value(empty, "refrigerant pressure at rest") < 10.0 < 150.0 < value(open_coil, "refrigerant pressure at rest")
    )
    assert value(empty, "clutch coil resistance") < 10.0 < 1e5 < value(open_coil, "clutch coil resistance")


def test_packaged_vehicles_with_air_conditioning_say_so() -> None:
    fitted = {name for name, one in catalogue().vehicles.items() if "air-conditioning" in one.equipment}
    assert fitted == {"saloon", "van"}
    assert all("air conditioning" in catalogue().vehicles[name].manual for name in fitted)
