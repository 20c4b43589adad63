"""What moves a heater valve or a door: cable, vacuum or electricity, and where each is left without it."""

from __future__ import annotations

from sim.compile import jit

CABLE, VACUUM, ELECTRIC = 0.0, 1.0, 2.0
BLOWER_CONTACT, VALVE_CONTACT, BLEND_CONTACT, SENSOR_CONTACT, BOOST_CONTACT = 1.0, 2.0, 3.0, 4.0, 5.0
BRUSH_CONTACT = 6.0
"""What a loose contact may sit in: the values of the parameter ``contact_of`` [-], 0 for none. Source: ours."""


@jit
def valve_target(heater: float) -> float:
    """Opening [-] that the temperature control asks of the heater valve: full from two thirds of its travel.

    heater [-] of 0 to 1. Source: ours.
    """
    return min(heater * 1.5, 1.0)


@jit
def vacuum_force(vacuum: float) -> float:
    """Share [-] of its travel that a diaphragm makes at vacuum [kPa]: full from 40 kPa.

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
    """Where a valve or door stands [-], 0 to 1.

    drive: 0 cable, 1 vacuum, 2 electric; target, left (where it was), rest [-]; linkage [-] share of movement passed
    on; power [-] share of supply; alive [-] of coil, diaphragm or motor; vacuum [kPa] at the source; stays: an electric
    drive that holds its place without power (a geared motor) rather than one that springs back, and passes on how far
    its control has moved since it stood at left, when asked [-] was asked of it; least, most [-].
    Source: common practice, no source.
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
