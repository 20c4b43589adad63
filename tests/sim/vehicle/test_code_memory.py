"""Rules of the code memory, one table each.

Source: SAE J1979 services 02, 03, 04, 07 and 13 CCR 1968.2, from memory.
"""

from __future__ import annotations

import numpy as np
import pytest

from sim.fleet import Fleet
from sim.repairs import clear_codes
from sim.vehicle import code_memory as cm
from sim.vehicle.parameters import healthy
from sim.vehicle.states import SWITCHES
from tests.reference.draw import row

OK, FAILS, UNJUDGED = "ok", "fails", "unjudged"


class Memory:
    """Codes and switches of one vehicle, driven trip by trip."""

    def __init__(self) -> None:
        self.codes = np.zeros((cm.ROWS, cm.COLUMNS))
        self.kept = np.zeros(1, SWITCHES)

    def trip(self, result: str, code: int = cm.TOO_COLD, believed: float = 55.0, warms: bool = True) -> None:
        """One trip whose test of a code comes to a result; warms: it is a warm-up."""
        s = row(self.kept)
        self.kept["trip"], self.kept["warmed"] = 1.0, float(warms)
        if result == FAILS:
            cm.fail(self.codes, s, code, believed)
        elif result == OK:
            self.codes[code, cm.RAN] = 1.0
        cm.end_trip(self.codes, s)

    def has(self, column: int, code: int = cm.TOO_COLD) -> bool:
        """Whether a column of a code is set."""
        return bool(self.codes[code, column] > 0.5)

    @property
    def frame(self) -> float | None:
        """Coolant temperature in the freeze frame, None without one."""
        return float(self.kept["frame_C"][0]) if self.kept["frame_of"][0] > 0.5 else None


@pytest.mark.parametrize(
    ("trips", "pending", "stored", "lamp"),
    [
        ([FAILS], True, False, False),
        ([FAILS, OK], False, False, False),
        ([FAILS, OK, FAILS], True, False, False),
        ([FAILS, FAILS], True, True, True),
        ([FAILS, UNJUDGED, FAILS], True, True, True),
        ([FAILS, FAILS, OK], False, True, True),
        ([FAILS, FAILS, OK, OK], False, True, True),
        ([FAILS, FAILS, OK, OK, OK], False, True, False),
        ([FAILS, FAILS, OK, OK, UNJUDGED, OK], False, True, False),
        ([FAILS, FAILS, OK, OK, FAILS, OK], False, True, True),
        ([FAILS, FAILS, OK, OK, FAILS, OK, OK, OK], False, True, False),
        ([FAILS, FAILS, OK, OK, OK, FAILS], True, True, False),
        ([FAILS, FAILS, OK, OK, OK, FAILS, FAILS], True, True, True),
    ],
)
def test_a_code_of_two_trips(trips: list[str], pending: bool, stored: bool, lamp: bool) -> None:
    memory = Memory()
    for result in trips:
        memory.trip(result)
    assert (memory.has(cm.PENDING), memory.has(cm.STORED), memory.has(cm.LAMP)) == (pending, stored, lamp)


@pytest.mark.parametrize("code", [cm.CIRCUIT_LOW, cm.CIRCUIT_HIGH, cm.TOO_HOT])
def test_a_code_of_one_trip_is_stored_with_the_lamp_at_once(code: int) -> None:
    memory = Memory()
    cm.fail(memory.codes, row(memory.kept), code, -40.0)
    assert memory.has(cm.STORED, code) and memory.has(cm.LAMP, code) and memory.has(cm.PENDING, code)
    assert memory.frame == -40.0


@pytest.mark.parametrize(("warm_ups", "stored"), [(39, True), (40, False)])
def test_it_is_erased_by_forty_warm_ups_without_the_lamp(warm_ups: int, stored: bool) -> None:
    memory = Memory()
    for result in (FAILS, FAILS, OK, OK, OK):
        memory.trip(result)
    for _ in range(60):
        memory.trip(OK, warms=False)  # too short to be a warm-up
    for _ in range(warm_ups):
        memory.trip(UNJUDGED)
    assert memory.has(cm.STORED) == stored
    assert (memory.frame is not None) == stored


def test_a_failure_begins_the_count_of_warm_ups_anew() -> None:
    memory = Memory()
    for result in (FAILS, FAILS, *[OK] * 42, FAILS, OK):
        memory.trip(result)
    assert memory.has(cm.STORED)
    assert memory.codes[cm.TOO_COLD, cm.WARM_UPS] == 1.0


def test_the_freeze_frame_is_of_the_trip_that_stored_the_first_code() -> None:
    memory = Memory()
    memory.trip(FAILS, believed=50.0)
    assert memory.frame is None
    memory.trip(FAILS, believed=60.0)
    assert memory.frame == 60.0
    memory.trip(FAILS, cm.TOO_HOT, 118.0)
    memory.trip(FAILS, believed=70.0)
    assert memory.frame == 60.0


def test_clearing_takes_codes_frame_and_readiness() -> None:
    fleet = Fleet.cold(healthy(2), 5.0)
    fleet.codes[:] = 1.0
    for name in cm.ERASED:
        fleet.switches[name] = 1.0
    clear_codes(fleet)
    assert not fleet.codes.any()
    assert not any(fleet.switches[name].any() for name in cm.ERASED)
