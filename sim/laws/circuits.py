"""The blower's circuit: battery, fuse, relay, switch, pack or controller, joint, motor, ground, in series."""

from __future__ import annotations

import math

from sim.compile import jit

OPEN_OHM = 1e9  # what an open contact measures here: finite, so that no voltage is undefined


@jit
def motor_speed(volts: float, ohms: float, back_volts: float, torque: float, drag: float = 0.0) -> float:
    """Speed w [share of rated] of a series circuit with a fan motor: V = I R + k w with k I = c w^2 + d.

    volts V [V]; ohms R [ohm] of all in the circuit, the winding included; back_volts k [V]; torque c [V A]; drag d
    [V A] of its bearings, a torque that is there at any speed: below V = R d/k the motor stands. The quadratic
    c R/k w^2 + k w - (V - R d/k) = 0 in the form that loses no digits. Range: V >= 0, R >= 0, d >= 0.
    Source: permanent-magnet motor and fan law (textbook, M); with 13.5 V, 0.25 ohm and 20 A it gives the pack's
    figures (C).
    """
    volts -= ohms * drag / back_volts
    if volts <= 0.0:
        return 0.0
    return 2.0 * volts / (back_volts + math.sqrt(back_volts * back_volts + 4.0 * torque * ohms * volts / back_volts))


@jit
def motor_current(volts: float, ohms: float, back_volts: float, torque: float, drag: float, speed: float) -> float:
    """Current [A] of that circuit at a speed w [share of rated] that ``motor_speed`` gives.

    The same arguments, w > 0: I = (c w^2 + d)/k; a motor that stands takes V/R. Source: as ``motor_speed``.

    >>> round(motor_current(13.5, 0.25, 8.5, 170.0, 0.0, 1.0), 3), motor_current(5.0, 2.5, 8.5, 170.0, 40.0, 0.0)
    (20.0, 2.0)
    """
    if speed > 0.0:
        return (torque * speed * speed + drag) / back_volts
    return max(volts, 0.0) / ohms if ohms > 0.0 else 0.0


FREE_LOAD = 0.2  # share of a blower's rated torque that it takes with its wheel slipping: bearings, a rubbing hub
SHUT_LOAD = 0.2  # share of the wheel's own torque that is left with its air shut off


@jit
def wheel_load(flow: float, grip: float) -> float:
    """Torque [-] of a blower motor at a given speed, of that with its usual flow of air.

    flow [-] through the duct, of the usual one at the same speed of the wheel; grip [-] share of the motor's speed that
    the wheel turns with. A wheel with forward-curved blades takes the more torque the more air it moves, so that a
    blocked duct unloads the motor. Range: flow 0 to 1.2, grip 0 to 1. Accuracy: 0.1.
    Source: power curve of forward-curved blowers (textbook); the two shares are common practice, no source.

    >>> wheel_load(1.0, 1.0), round(wheel_load(0.0, 1.0), 2), wheel_load(1.0, 0.0)
    (1.0, 0.36, 0.2)
    """
    return FREE_LOAD + (1.0 - FREE_LOAD) * grip * grip * (SHUT_LOAD + (1.0 - SHUT_LOAD) * flow)


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
