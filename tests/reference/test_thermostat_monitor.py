"""What the integrator's own steps find of the thermostat, against the drive integrated and judged independently."""

import numpy as np
import pytest

from scenarios.planting import plant
from sim.fleet import Fleet
from sim.vehicle import code_memory as cm
from sim.vehicle import states as st
from sim.vehicle.parameters import healthy
from sim.world import running
from tests.packaged import packaged_catalogue
from tests.reference.draw import record
from tests.reference.lsoda import integrate
from tests.reference.switches import vehicle_of
from tests.reference.thermostat_monitor import Stretch, Verdict, judge

SAME_K, SAME_S = 0.15, 1.0
"""Difference allowed in coolant temperature [K] and time [s]."""
DRIVES = {
    "road": ((25.0, 90.0),),
    "idle, then road": ((10.0, 0.0), (12.0, 110.0)),
    "road, then idle": ((5.0, 100.0), (12.0, 0.0)),
    "little idle, then road": ((2.0, 0.0), (25.0, 100.0)),
}


def ours(parameters: np.ndarray, ambient: float, drive: tuple[tuple[float, float], ...]) -> Fleet:
    """The vehicle after the drive."""
    fleet, now = Fleet.cold(parameters, ambient), 0.0
    for minutes, kmh in drive:
        _set(fleet, kmh)
        fleet.advance(now, now + 60.0 * minutes)
        now += 60.0 * minutes
    return fleet


def _set(fleet: Fleet, kmh: float) -> None:
    for name, value in {"heater": 1.0, "blower": 1.0, **running(kmh=kmh)}.items():
        fleet.controls[name] = value
    fleet.apply_controls()


def theirs(parameters: np.ndarray, ambient: float, drive: tuple[tuple[float, float], ...]) -> Verdict:
    """The verdict on the same drive, integrated by LSODA."""
    fleet, now = Fleet.cold(parameters, ambient), 0.0
    p, y = record(fleet.parameters), fleet.state[0].copy()
    switches, trip = record(fleet.switches), []
    for minutes, kmh in drive:
        _set(fleet, kmh)
        switches |= {name: float(fleet.switches[name][0]) for name in ("blend", "asked", "valve")}
        times = np.append(np.arange(now, now + 60.0 * minutes, 0.5), now + 60.0 * minutes)
        path = integrate(p, record(fleet.controls), switches, y, now, float(times[-1]), times, 1e-6)
        vehicle = vehicle_of(p, record(fleet.controls), switches)
        believed = path.states[:, st.SENSOR] + p["sensor_offset_K"]
        trip.append(Stretch(times, believed, vehicle.rpm, vehicle.work, kmh))
        y, switches, now = path.states[-1].copy(), path.switches, now + 60.0 * minutes
    return judge(p, trip, ambient)


VEHICLES = (("hatch", "none"), ("hatch", "thermostat-stuck-open"), ("pickup", "thermostat-opens-early"))
SOON = {
    ("hatch", "none", "road"),
    ("hatch", "none", "idle, then road"),
    ("hatch", "thermostat-stuck-open", "little idle, then road"),
    ("pickup", "thermostat-opens-early", "road, then idle"),
}
"""Each drive once, and each vehicle; the others take longer than they add, and run on request."""


@pytest.mark.parametrize(
    ("name", "fault", "drive"),
    [
        pytest.param(*vehicle, drive, marks=() if (*vehicle, drive) in SOON else pytest.mark.slow)
        for vehicle in VEHICLES
        for drive in DRIVES
    ],
)
def test_a_drive_is_judged_alike(name: str, fault: str, drive: str) -> None:
    catalogue = packaged_catalogue()
    parameters = healthy(1, catalogue.vehicles[name].parameters)
    plant(parameters, catalogue.faults[fault], np.array([0.7]), np.array([0.4]))
    fleet, verdict = ours(parameters, 4.0, DRIVES[drive]), theirs(parameters, 4.0, DRIVES[drive])
    found = fleet.codes[0, cm.TOO_COLD]
    watched = fleet.switches["watched"][0] > 0.5
    result = "open" if watched else "failed" if found[cm.FAILED] else "passed" if found[cm.RAN] else "idled"
    assert result == verdict.result
    if result == "failed":
        assert found[cm.AT_C] == pytest.approx(verdict.believed, abs=SAME_K)
    assert fleet.switches["ran_s"][0] == pytest.approx(60.0 * sum(minutes for minutes, _ in DRIVES[drive]))
    assert fleet.switches["idled_s"][0] == pytest.approx(60.0 * sum(m for m, kmh in DRIVES[drive] if kmh == 0.0))
