"""The wax thermostat: lag of the wax, lift with hysteresis, and what a stuck one cannot do."""

from __future__ import annotations

from sim.compile import jit

COMPLIANCE = 0.3  # share of the lift's usual slope that comes without slipping (ours)


@jit
def lift_at(wax: float, opens: float, span: float) -> float:
    """Lift [-] of 0 to 1 of a free thermostat whose wax is at wax [degC], with no friction.

    opens [degC] where it begins, span [K] from there to full lift; straight between.
    Range: any. Source: wax thermostats open over 10-15 K (M).
    """
    return min(max((wax - opens) / span, 0.0), 1.0)


@jit
def lift_rate(
    lift: float, wax: float, opens: float, span: float, hysteresis: float, lag: float, least: float, most: float
) -> float:
    """Rate of the lift [1/s]: it rises towards the opening curve, falls towards the closing one, rests between.

    lift [-]; wax, opens [degC]; span, hysteresis [K]; lag [s]; least, most [-] bounds of a stuck one.
    The closing curve lies hysteresis lower. Range: lag > 0. Source: hysteresis of 3-6 K (M).
    """
    rising = min(max(lift_at(wax, opens, span), least), most)
    falling = min(max(lift_at(wax, opens - hysteresis, span), least), most)
    if lift < rising:
        return (rising - lift) / lag
    if lift > falling:
        return (falling - lift) / lag
    return 0.0


@jit
def lift_slopes(
    lift: float, wax: float, opens: float, span: float, hysteresis: float, lag: float, least: float, most: float
) -> tuple[float, float]:
    """Derivatives of ``lift_rate`` by wax [1/(s K)] and by lift [1/s], for the integrator's Jacobian.

    Arguments, range and source as ``lift_rate``.
    """
    for base, up in ((opens, True), (opens - hysteresis, False)):
        goal = min(max(lift_at(wax, base, span), least), most)
        if (lift < goal) if up else (lift > goal):
            free = least < goal < most and 0.0 < goal < 1.0
            return (1.0 / (span * lag) if free else 0.0), -1.0 / lag
    return 0.0, 0.0


@jit
def lift_compliance(wax: float, opens: float, span: float, hysteresis: float, least: float, most: float) -> float:
    """Lift per temperature of the wax [1/K] that comes of itself, without slipping: COMPLIANCE / span while it is opening.

    wax, opens [degC]; span, hysteresis [K]; least, most [-]. Rubber and spring yield before friction slips, so that
    inside its hysteresis the valve still follows a little and does not keep for ever where chance let it rest.
    Range: any. Source: ours.
    """
    middle = lift_at(wax, opens - 0.5 * hysteresis, span)
    return COMPLIANCE / span if max(least, 0.0) < middle < min(most, 1.0) else 0.0
