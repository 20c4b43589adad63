"""The blower circuit in series: battery, fuse, relay, switch, resistor pack or controller, connector, motor, ground."""

from __future__ import annotations

import math

from sim.compile import jit

OPEN_OHM = 1e9  # resistance of an open contact: finite, so that every node voltage is defined
VALVE_COIL_OHM = 12.0  # winding of an electric heater valve (common practice)
PUMP_OHM = 8.0  # electric heater pump, running: some 20 W (common practice)
STALLS_BELOW = 0.5  # share of its voltage below which a small pump or a solenoid does not work (common practice)


@jit
def load_share(closed: float, load: float, ground: float) -> float:
    """Share [-] of the supply voltage across a load [ohm] in series with a bad ground [ohm]; 0 with an open feed.

    closed [-]: 1 while fuse, relay and wire all conduct. Range: load > 0, ground >= 0. Source: voltage divider
    (textbook).

    >>> load_share(1.0, 8.0, 0.0), load_share(1.0, 8.0, 8.0), load_share(0.0, 8.0, 0.0)
    (1.0, 0.5, 0.0)
    """
    return load / (load + ground) if closed > 0.5 else 0.0


@jit
def air_heater_ohm(kilowatts: float) -> float:
    """Resistance [ohm] of an electric air heater that takes its rated power [kW] at 14.1 V. Range: kilowatts > 0.

    Source: Joule's law (textbook).

    >>> round(air_heater_ohm(1.0), 4)
    0.1988
    """
    return 14.1 * 14.1 / (1000.0 * kilowatts)


@jit
def motor_speed(volts: float, ohms: float, back_volts: float, torque: float, drag: float = 0.0) -> float:
    """Speed w [share of rated] of a fan motor in a series circuit: V = I R + k w with k I = c w^2 + d.

    volts V [V]; ohms R [ohm], total of the circuit including the winding; back_volts k [V], back EMF at rated speed;
    torque c [V A]; drag d [V A], bearing friction independent of speed: below V = R d/k the motor stalls. Root of c R/k
    w^2 + k w - (V - R d/k) = 0, in the form free of cancellation. Range: V >= 0, R >= 0, d >= 0. Source:
    permanent-magnet motor and fan law (textbook, M); with 13.5 V, 0.25 ohm and 20 A it reproduces the resistor pack's
    figures (C).
    """
    volts -= ohms * drag / back_volts
    if volts <= 0.0:
        return 0.0
    return 2.0 * volts / (back_volts + math.sqrt(back_volts * back_volts + 4.0 * torque * ohms * volts / back_volts))


@jit
def motor_current(volts: float, ohms: float, back_volts: float, torque: float, drag: float, speed: float) -> float:
    """Current [A] of the circuit of ``motor_speed`` at its speed w [share of rated].

    Arguments as there. Running: I = (c w^2 + d)/k; stalled (w = 0): V/R. Source: as ``motor_speed``.

    >>> round(motor_current(13.5, 0.25, 8.5, 170.0, 0.0, 1.0), 3), motor_current(5.0, 2.5, 8.5, 170.0, 40.0, 0.0)
    (20.0, 2.0)
    """
    if speed > 0.0:
        return (torque * speed * speed + drag) / back_volts
    return max(volts, 0.0) / ohms if ohms > 0.0 else 0.0


FREE_LOAD = 0.2  # share of the rated torque left with the wheel slipping on its shaft: bearings, a rubbing hub
SHUT_LOAD = 0.2  # share of the wheel's own torque left with its air shut off


@jit
def wheel_load(flow: float, grip: float) -> float:
    """Torque [-] of the blower motor, relative to that at the same speed and normal air flow.

    flow [-]: duct flow relative to normal at the same wheel speed; grip [-]: wheel speed over motor speed. A
    forward-curved wheel takes more torque the more air it moves, so a blocked duct unloads the motor. Range: flow 0 to
    1.2, grip 0 to 1. Accuracy: 0.1. Source: power curve of forward-curved blowers (textbook); both shares are common
    practice, no source.

    >>> wheel_load(1.0, 1.0), round(wheel_load(0.0, 1.0), 2), wheel_load(1.0, 0.0)
    (1.0, 0.36, 0.2)
    """
    return FREE_LOAD + (1.0 - FREE_LOAD) * grip * grip * (SHUT_LOAD + (1.0 - SHUT_LOAD) * flow)


@jit
def controller_share(command: float) -> float:
    """Output [-] of an electronic blower controller as a share of its supply voltage, at command 0 to 4 [-].

    Range: 0 to 4. Source: own estimate; lowest speed about 4.5 V, as with a resistor pack.
    """
    return 0.0 if command < 0.5 else 0.35 + 0.65 * (command - 1.0) / 3.0


@jit
def pack_ohm(command: float, first: float, second: float, third: float, whole: float) -> float:
    """Resistance [ohm] that the speed switch puts in series with the motor; none on 4, which bypasses the pack.

    command 0 to 4 [-]; first, second, third [ohm]: the pack's steps; whole [-]: 1 while the pack conducts. Source:
    common practice.
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
