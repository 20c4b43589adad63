"""Trouble codes over trips: pending, stored, lamp, freeze frame, erased again; what time and a scan tool make of them.

A trip lasts from the ignition's being switched on, with an engine start, to its being switched off. Of each vehicle the
codes are an array (ROWS, COLUMNS), a row a code. Source: SAE J1979 services 02, 03, 04 and 07, 13 CCR 1968.2 (both
from memory).
"""

from __future__ import annotations

from typing import Any

from sim.compile import jit

CIRCUIT_LOW, CIRCUIT_HIGH, TOO_HOT, TOO_COLD = range(4)  # P0117, P0118, P0217, P0128
ROWS = 4
NAMES = ("P0117", "P0118", "P0217", "P0128")
"""Codes of the engine computer, a row each; where several are set, one hides the next."""

FAILED = 0  # 1 once its test has failed in this trip
RAN = 1  # 1 once its test has come to a result in this trip
PENDING = 2  # 1 while it is pending
STORED = 3  # 1 while it is stored
LAMP = 4  # 1 while it asks for the engine lamp
GOOD = 5  # trips in a row with a good result
WARM_UPS = 6  # warm-ups since the lamp went off
AT_C = 7  # what the computer took the coolant for as the test last failed [degC]
COLUMNS = 8

ERASED = ("frame_of", "frame_C", "watched", "ready", "door_code", "blower_code")
"""Switches that a scan tool clears with the codes (SAE J1979 service 04)."""
GOOD_TRIPS = 3.0  # good trips in a row after which the lamp goes off (13 CCR 1968.2, M)
FORGET_WARM_UPS = 40.0  # warm-ups without the lamp after which a stored code is erased (SAE J1979, M)


@jit
def stores_at_once(row: int) -> bool:
    """Whether a code of this row [-] needs no second trip: circuits and overheating. Source: common practice."""
    return row != TOO_COLD


@jit
def store(m: Any, s: Any, row: int) -> None:
    """Store the code of a row with the engine lamp, and a freeze frame where there is none yet.

    m: codes; s: switches. Source: see module.
    """
    m[row, STORED] = 1.0
    m[row, LAMP] = 1.0
    if s.frame_of < 0.5:
        s.frame_of = row + 1.0
        s.frame_C = m[row, AT_C]


@jit
def fail(m: Any, s: Any, row: int, believed: float) -> None:
    """The test of a row has failed, the coolant taken to be at believed [degC]; once a trip. Source: see module."""
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
    """The ignition goes off: count good trips and warm-ups. A trip in which a test came to no result changes nothing.

    m: codes; s: switches. Source: see module.
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
