"""The table of what each fault shows is current, and codes, gauge and scan temperature agree in it."""

import numpy as np
import pytest

from scenarios.files.loader import load_catalogue
from scenarios.workshop import Workshop
from sim.observation import loop as observe_loop
from sim.observation.instruments import RED_FROM
from sim.observation.quantities import QUANTITIES
from sim.observation.scan_data import TROUBLE_CODES
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import Weather, running
from tests.scenarios.life import MILD_C, with_fault
from tests.scenarios.table import PAGE, page


def test_the_table_is_what_the_physics_gives_now() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(load_catalogue()), "run python -m tests.scenarios.table"


VEHICLES = ("hatch", "pickup", "saloon", "van", "diesel-wagon", "hybrid")
MONITOR_S, LEAST_C = 900.0, 74.0  # when the thermostat is asked about, and below what it fails


@pytest.mark.parametrize("name", VEHICLES)
def test_codes_gauge_and_scan_agree_under_every_fault(name: str) -> None:
    catalogue = load_catalogue()
    vehicle = catalogue.vehicles[name]
    good = healthy(1, vehicle.parameters)
    faults = [fault for fault in catalogue.faults_of(vehicle) if fault.changes] * 2
    shares = np.repeat((0.0, 1.0), len(faults) // 2)
    lucks = np.repeat((0.35, 0.8), len(faults) // 2)
    parts = [with_fault(good, *case) for case in zip(faults, shares, lucks, strict=True)]
    fleet = np.concatenate(parts)
    shop = Workshop(catalogue, vehicle, fleet, np.repeat(good, len(fleet)), Weather(MILD_C), 101.325)
    shop.world.set(heater=1.0, blower=2.0, **running(kmh=50.0))
    for _ in range(7):
        shop.world.wait(240.0)
        scan = QUANTITIES["engine computer's coolant temperature"](shop.fleet)
        needle = QUANTITIES["gauge needle"](shop.fleet)
        codes = [observe_loop.CODES[int(k)] for k in QUANTITIES["trouble code"](shop.fleet)]
        for i, fault in enumerate(faults):
            ran = shop.fleet.state[i, st.RUN]
            if codes[i] != "none":
                assert codes[i] in TROUBLE_CODES
            open_now = shop.fleet.quantities["sensor_ok"][i] < 0.5
            assert (codes[i] == "P0118") == open_now, fault.id
            short = shop.fleet.parameters["sensor_short"][i] > 0.5
            if open_now:  # then it goes by a value of its own
                assert scan[i] == shop.fleet.parameters["sensor_default_C"][i], fault.id
            assert (codes[i] == "P0217") == (not open_now and scan[i] > 118.0 and not short), (
                fault.id
            )  # over temperature
            below = ran > MONITOR_S and scan[i] < LEAST_C and not open_now
            assert (codes[i] == "P0128") == below, (fault.id, scan[i], ran)  # below the regulating temperature
            if fault.id != "gauge-stuck":
                assert (needle[i] > RED_FROM) == (scan[i] > 118.5), fault.id
                assert (needle[i] < 0.45) == (scan[i] < 71.5), fault.id
