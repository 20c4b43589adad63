"""The blower's circuit: battery, fuse, relay, switch, pack or controller, joint, motor, ground, in series."""

from __future__ import annotations

import math

from sim.compile import jit

OPEN_OHM = 1e9  # what an open contact measures here: finite, so that no voltage is undefined


@jit
def motor_speed(volts: float, ohms: float, back_volts: float, torque: float) -> float:
    """Speed w [share of rated] of a series circuit with a fan motor: V = I R + k w with k I = c w^2.

    volts V [V]; ohms R [ohm] of all in the circuit, the winding included; back_volts k [V]; torque c [V A].
    The quadratic c R/k w^2 + k w - V = 0 in the form that loses no digits. Range: V >= 0, R >= 0.
    Source: permanent-magnet motor and fan law (textbook, M); with 13.5 V, 0.25 ohm and 20 A it gives the pack's
    figures (C).
    """
    if volts <= 0.0:
        return 0.0
    return 2.0 * volts / (back_volts + math.sqrt(back_volts * back_volts + 4.0 * torque * ohms * volts / back_volts))


@jit
def controller_share(command: float) -> float:
    """Share [-] of the supply voltage that an electronic blower controller gives at command 0 to 4 [-].

    Range: 0 to 4. Source: ours; the lowest speed about 4.5 V as a pack gives.
    """
    return 0.0 if command < 0.5 else 0.35 + 0.65 * (command - 1.0) / 3.0


@jit
def pack_ohm(command: float, first: float, second: float, third: float, whole: float) -> float:
    """Resistance [ohm] that the speed switch puts before the motor: none on 4, which goes past the pack.

    command 0 to 4 [-]; first, second, third [ohm]; whole [-] 1 while the pack conducts. Source: common practice.
    """
    if command < 0.5:
        return OPEN_OHM
    if command > 3.5:
        return 0.0
    if whole < 0.5:
        return OPEN_OHM
    if command < 1.5:
        return first
    return second if command < 2.5 else third
