"""The wax thermostat: lift with hysteresis and lag, and the limits of a stuck one."""

from __future__ import annotations

from sim.compile import jit

COMPLIANCE = 0.3  # elastic share of the slope of the lift curve: follows without slipping (estimate)


@jit
def lift_at(wax: float, opens: float, span: float) -> float:
    """Lift [-], 0 to 1, of a frictionless thermostat at wax temperature wax [degC].

    opens [degC]: start of opening; span [K]: from there to full lift; linear between. Range: any. Source: wax
    thermostats open over 10-15 K (M).
    """
    return min(max((wax - opens) / span, 0.0), 1.0)


@jit
def lift_rate(
    lift: float, wax: float, opens: float, span: float, hysteresis: float, lag: float, least: float, most: float
) -> float:
    """Rate of the lift [1/s]: rises towards the opening curve, falls towards the closing curve, rests between them.

    lift [-]; wax, opens [degC]; span, hysteresis [K]; lag [s]; least, most [-]: limits of a stuck thermostat. The
    closing curve lies lower by the hysteresis. Range: lag > 0. Source: hysteresis of 3-6 K (M).
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
    """Derivatives of ``lift_rate`` by wax [1/(s K)] and by lift [1/s], for the Jacobian.

    Arguments and range as there. Source: as ``lift_rate``.
    """
    for base, up in ((opens, True), (opens - hysteresis, False)):
        goal = min(max(lift_at(wax, base, span), least), most)
        if (lift < goal) if up else (lift > goal):
            free = least < goal < most and 0.0 < goal < 1.0
            return (1.0 / (span * lag) if free else 0.0), -1.0 / lag
    return 0.0, 0.0


@jit
def lift_compliance(wax: float, opens: float, span: float, hysteresis: float, least: float, most: float) -> float:
    """Elastic lift per kelvin of the wax [1/K], without slipping: COMPLIANCE / span while partly open, 0 elsewhere.

    wax, opens [degC]; span, hysteresis [K]; least, most [-]. Rubber and spring yield before friction slips, so inside
    the hysteresis the valve still follows slightly and does not stay exactly where it happened to stop. Range: any.
    Source: own estimate.
    """
    middle = lift_at(wax, opens - 0.5 * hysteresis, span)
    return COMPLIANCE / span if max(least, 0.0) < middle < min(most, 1.0) else 0.0
