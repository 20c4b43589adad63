"""The table of what each fault shows is current, and codes, gauge and scan temperature agree in it."""

import numpy as np

from scenarios.loader import load_catalogue
from scenarios.workshop import Workshop
from sim import observe_loop
from sim import states as st
from sim.observe import QUANTITIES
from sim.parameters import healthy
from sim.scan_data import TROUBLE_CODES
from sim.world import Weather, running
from tests.scenarios.life import MILD_C, with_fault
from tests.scenarios.table import PAGE, page


def test_the_table_is_what_the_physics_gives_now() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(load_catalogue()), "run python -m tests.scenarios.table"


def test_codes_gauge_and_scan_agree_under_every_fault() -> None:
    catalogue = load_catalogue()
    for name in ("saloon", "hybrid"):
        vehicle = catalogue.vehicles[name]
        good = healthy(1, vehicle.parameters)
        faults = [fault for fault in catalogue.faults_of(vehicle) if fault.changes]
        fleet = np.concatenate([with_fault(good, fault, 0.5, 0.35) for fault in faults])
        shop = Workshop(catalogue, vehicle, fleet, np.repeat(good, len(fleet)), Weather(MILD_C), 101.325)
        shop.world.set(heater=1.0, blower=2.0, **running(kmh=50.0))
        for _ in range(5):
            shop.world.wait(300.0)
            scan = QUANTITIES["engine computer's coolant temperature"](shop.fleet)
            needle = QUANTITIES["gauge needle"](shop.fleet)
            codes = [observe_loop.CODES[int(k)] for k in QUANTITIES["trouble code"](shop.fleet)]
            for i, fault in enumerate(faults):
                assert codes[i] == "none" or codes[i] in TROUBLE_CODES
                if codes[i] == "P0118":  # circuit high: an open circuit, believed coldest
                    assert scan[i] <= -38.0
                elif codes[i] == "P0217":  # over temperature
                    assert scan[i] > 110.0
                elif codes[i] == "P0128":  # below the thermostat's regulating temperature
                    assert scan[i] < 75.0 and shop.fleet.state[i, st.RUN] > 600.0
                else:
                    assert codes[i] == "none", fault.id
                if fault.id != "gauge-stuck":
                    assert (needle[i] > 0.86) == (scan[i] > 118.7), fault.id
                    assert (needle[i] < 0.45) == (scan[i] < 71.5), fault.id
