"""The table of what each fault shows is current, and codes, gauge and scan temperature agree in it."""

import numpy as np
import pytest

from scenarios.workshop import Workshop
from sim.laws.actuators import SENSOR_CONTACT
from sim.observation.codes import CODES
from sim.observation.instruments import RED_FROM
from sim.observation.quantities import QUANTITIES
from sim.observation.scan_data import TROUBLE_CODES
from sim.repairs import clear_codes
from sim.vehicle import code_memory
from sim.vehicle.parameters import healthy
from sim.world import Weather, running
from tests.packaged import packaged_catalogue
from tests.scenarios.life import MILD_C, with_fault
from tests.scenarios.table import PAGE, page


def test_the_table_is_what_the_physics_gives_now() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(packaged_catalogue()), "run python -m tests.scenarios.table"


VEHICLES = ("hatch", "pickup", "saloon", "van", "diesel-wagon", "hybrid", "compact")


@pytest.mark.parametrize("name", VEHICLES)
def test_codes_gauge_and_scan_agree_under_every_fault(name: str) -> None:
    catalogue = packaged_catalogue()
    vehicle = catalogue.vehicles[name]
    good = healthy(1, vehicle.parameters)
    faults = [fault for fault in catalogue.faults_of(vehicle) if fault.changes] * 2
    shares = np.repeat((0.0, 1.0), len(faults) // 2)
    lucks = np.repeat((0.35, 0.8), len(faults) // 2)
    parts = [with_fault(good, *case) for case in zip(faults, shares, lucks, strict=True)]
    fleet = np.concatenate(parts)
    shop = Workshop(catalogue, vehicle, fleet, np.repeat(good, len(fleet)), Weather(MILD_C), 101.325)
    clear_codes(shop.fleet)
    shop.world.set(heater=1.0, blower=2.0, **running(kmh=50.0))
    opened, overheated = np.zeros(len(fleet), bool), np.zeros(len(fleet), bool)
    for _ in range(7):
        shop.world.wait(240.0)
        scan = QUANTITIES["engine computer's coolant temperature"](shop.fleet)
        needle = QUANTITIES["gauge needle"](shop.fleet)
        open_now = shop.fleet.algebraic["sensor_ok"] < 0.5
        opened |= open_now
        overheated |= ~open_now & (scan > 118.0)
        stored = shop.fleet.codes[:, :, code_memory.STORED] > 0.5
        assert (stored[:, code_memory.CIRCUIT_HIGH] >= opened).all()  # a plug may have been open between two looks
        assert (stored[:, code_memory.TOO_HOT] >= overheated).all()
        for i, fault in enumerate(faults):
            code = CODES[int(QUANTITIES["trouble code"](shop.fleet)[i])]
            pending = shop.fleet.codes[i, code_memory.TOO_COLD, code_memory.PENDING] > 0.5
            assert code == "none" or code in TROUBLE_CODES
            if stored[i, code_memory.CIRCUIT_HIGH]:
                p = shop.fleet.parameters[i]
                assert p["sensor_ohm_extra"] > 1e6 or p["contact_of"] == SENSOR_CONTACT, fault.id
            if pending:  # it was 11 K below the thermostat's rating when it was judged, and is not stored in one trip
                at = shop.fleet.codes[i, code_memory.TOO_COLD, code_memory.AT_C]
                assert at < good["opens_C"][0] - 11.0 and code != "P0128", fault.id
            if open_now[i]:  # then it goes by a value of its own
                assert scan[i] == shop.fleet.parameters["sensor_default_C"][i], fault.id
            if fault.id != "gauge-stuck":
                assert (needle[i] > RED_FROM) == (scan[i] > 118.5), fault.id
                assert (needle[i] < 0.45) == (scan[i] < 71.5), fault.id
