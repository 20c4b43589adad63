"""How a heater valve or an air door is moved (cable, vacuum or electric drive) and where it comes to rest."""

from __future__ import annotations

from sim.compile import jit

CABLE, VACUUM, ELECTRIC = 0.0, 1.0, 2.0
BLOWER_CONTACT, VALVE_CONTACT, BLEND_CONTACT, SENSOR_CONTACT, BOOST_CONTACT = 1.0, 2.0, 3.0, 4.0, 5.0
BRUSH_CONTACT = 6.0
"""Places of a loose contact: values of the parameter ``contact_of`` [-], 0 for none. Source: own definition."""


@jit
def valve_target(heater: float) -> float:
    """Opening [-] that the temperature control demands of the heater valve; fully open from two thirds of the control's
    travel.

    heater [-], 0 to 1. Source: own estimate.
    """
    return min(heater * 1.5, 1.0)


@jit
def vacuum_force(vacuum: float) -> float:
    """Share [-] of its travel that a diaphragm actuator makes at vacuum [kPa]; full travel from 40 kPa.

    Range: 0 to 80 kPa. Source: common practice, no source.
    """
    return min(max(vacuum / 40.0, 0.0), 1.0)


@jit
def position(
    drive: float,
    target: float,
    left: float,
    rest: float,
    linkage: float,
    power: float,
    alive: float,
    vacuum: float,
    asked: float,
    stays: bool,
    least: float,
    most: float,
) -> float:
    """Position [-] of a valve or door, 0 to 1.

    drive: 0 cable, 1 vacuum, 2 electric. target: demanded position [-]; left: position when the drive was last powered
    [-]; rest: position without actuation [-]. linkage: share of the movement passed on [-]; power: share of the supply
    [-]; alive: 1 while coil, diaphragm or motor works [-]; vacuum: at the source [kPa]; asked: position demanded when
    the door was at left [-]; least, most: mechanical limits [-].

    stays: the electric drive is a geared motor, which holds its position without power and moves by as much as its
    demand has changed since asked; otherwise it springs back to rest. Source: common practice, no source.
    """
    if drive < 0.5:
        place = rest + linkage * (target - rest)
    elif drive < 1.5:
        place = rest + linkage * alive * vacuum_force(vacuum * power) * (target - rest)
    elif stays:
        works = 1.0 if power * alive > 0.5 else 0.0
        place = left + linkage * works * (target - asked)
    else:
        works = 1.0 if power * alive > 0.5 else 0.0
        place = rest + linkage * works * (target - rest)
    return min(max(place, least), most)
