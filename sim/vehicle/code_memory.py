"""Trouble codes over several trips: pending, stored, lamp, freeze frame, erasure.

A trip lasts from ignition on with an engine start to ignition off. The codes of a vehicle are an array m (ROWS,
COLUMNS), one row per code. Source: SAE J1979 services 02, 03, 04 and 07, 13 CCR 1968.2 (both from memory).
"""

from __future__ import annotations

from typing import Any

from sim.compile import jit

CIRCUIT_LOW, CIRCUIT_HIGH, TOO_HOT, TOO_COLD, PUMP_SILENT, PUMP_SLOW = range(6)
ROWS = 6
NAMES = ("P0117", "P0118", "P0217", "P0128", "P2600", "P2601")
"""Codes of the engine computer, one row each."""
READ_ORDER = (CIRCUIT_LOW, CIRCUIT_HIGH, PUMP_SILENT, PUMP_SLOW, TOO_HOT, TOO_COLD)
"""Rows in the order of a code reader, which shows the first that is set: circuits before their consequences."""

FAILED = 0  # 1 once its test has failed in this trip
RAN = 1  # 1 once its test has completed in this trip
PENDING = 2  # 1 while it is pending
STORED = 3  # 1 while it is stored
LAMP = 4  # 1 while it requests the engine lamp
GOOD = 5  # consecutive trips with a passed test
WARM_UPS = 6  # warm-ups since the lamp went off
AT_C = 7  # coolant temperature as the computer saw it when the test last failed [degC]
COLUMNS = 8

ERASED = ("frame_of", "frame_C", "watched", "ready", "door_code", "blower_code", "heater_code")
"""Switches that a scan tool clears together with the codes (SAE J1979 service 04)."""
GOOD_TRIPS = 3.0  # consecutive passed trips after which the lamp goes off (13 CCR 1968.2, M)
FORGET_WARM_UPS = 40.0  # warm-ups without the lamp after which a stored code is erased (SAE J1979, M)


@jit
def stores_at_once(row: int) -> bool:
    """Whether the code of a row [-] is stored on its first failure: circuit faults and overheating. Source: common
    practice.
    """
    return row != TOO_COLD


@jit
def store(m: Any, s: Any, row: int) -> None:
    """Store the code of a row, light the engine lamp, and keep a freeze frame if there is none yet.

    m: codes, s: switches, as in ``sim.vehicle.states``. Source: see module.
    """
    m[row, STORED] = 1.0
    m[row, LAMP] = 1.0
    if s.frame_of < 0.5:
        s.frame_of = row + 1.0
        s.frame_C = m[row, AT_C]


@jit
def fail(m: Any, s: Any, row: int, believed: float) -> None:
    """Record a failed test of a row at the coolant temperature believed [degC], once per trip.

    m: codes, s: switches, as in ``sim.vehicle.states``. Source: see module.
    """
    m[row, RAN] = 1.0
    if m[row, FAILED] > 0.5:
        return
    m[row, FAILED] = 1.0
    m[row, GOOD] = 0.0
    m[row, WARM_UPS] = 0.0
    m[row, AT_C] = believed
    if stores_at_once(row) or m[row, PENDING] > 0.5:
        store(m, s, row)
    m[row, PENDING] = 1.0


@jit
def end_trip(m: Any, s: Any) -> None:
    """Ignition off: count passed trips and warm-ups. A test that did not complete in the trip leaves its code
    unchanged.

    m: codes, s: switches, as in ``sim.vehicle.states``. Source: see module.
    """
    for row in range(ROWS):
        forgets = s.trip * s.warmed > 0.5 and m[row, STORED] > 0.5 and m[row, LAMP] < 0.5
        if forgets and m[row, FAILED] < 0.5:
            m[row, WARM_UPS] += 1.0
            if m[row, WARM_UPS] >= FORGET_WARM_UPS:
                m[row, STORED] = 0.0
                m[row, WARM_UPS] = 0.0
                if s.frame_of == row + 1.0:
                    s.frame_of = 0.0
        if m[row, RAN] > 0.5 and m[row, FAILED] < 0.5 and s.trip > 0.5:
            m[row, PENDING] = 0.0
            m[row, GOOD] += 1.0
            if m[row, GOOD] >= GOOD_TRIPS:
                m[row, LAMP] = 0.0
        m[row, FAILED] = 0.0
        m[row, RAN] = 0.0
    s.trip = 0.0
    s.watched = 0.0
    s.warmed = 0.0
