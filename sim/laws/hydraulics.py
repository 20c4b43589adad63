"""Coolant flow: pump, jacket, and the parallel branches bypass, radiator and heater."""

from __future__ import annotations

import math

from sim.compile import jit

LAMINAR_HEAD = 0.3  # kPa


@jit
def liquid_share(air_L: float, dry_L: float, filled: float) -> float:
    """Volume share [-] of liquid at the pump inlet: f / (f + (V/V_d)^6).

    air_L V [L]: gas in the loop; dry_L V_d [L]: gas volume at which the pump draws half gas; filled f [-]: share of the
    loop holding liquid. 1 without gas, 0 for an empty loop. Gas collects at the top first and reaches the pump inlet
    late. Range: any, dry_L > 0. Source: common practice, no source.
    """
    gas = max(air_L, 0.0) / dry_L
    gas = gas * gas * gas
    return filled / (filled + gas * gas) if filled > 0.0 else 0.0


@jit
def pump_head(head_1000: float, rpm: float, grip: float, drive: float, vanes: float, wet: float) -> float:
    """Shut-off head [kPa] of the coolant pump: w head_1000 (n/1000)^2 with n the impeller speed.

    head_1000 [kPa] at 1000 rpm; rpm [1/min] of the engine; grip, drive, vanes [-]: what a loose impeller, a slipping
    belt and worn vanes leave of 1; wet w [-]: share of liquid at the inlet, as head scales with density. Range: rpm 0
    to 7000. Source: affinity laws, head ~ n^2 (textbook, M); degradation by gas: homogeneous mixture (M).
    """
    speed = rpm / 1000.0 * grip * drive
    return head_1000 * vanes * speed * speed * wet


@jit
def driving_head(head: float) -> float:
    """Equivalent turbulent head [kPa]: h^2/(h + h_l), which drives the same flow h does with laminar losses included.

    Well below LAMINAR_HEAD h_l the passages are laminar and flow is proportional to head rather than to its square
    root; this form keeps the flow split closed. Range: head >= 0. Source: Hagen-Poiseuille limit (textbook, M); Re of
    about 2000 in a 16 mm heater hose is reached at 1.3 L/min, where a normal branch loses 0.3 kPa.
    """
    return head * head / (head + LAMINAR_HEAD) if head > 0.0 else 0.0


@jit
def viscosity_factor(log_ratio: float, exponent: float) -> float:
    """Factor [-] on every resistance dp/Q^2 for coolant e^log_ratio [-] times as viscous as 50 % glycol at 90 degC.

    exponent [-]. Range: ratio 0.3 to 100. Source: Blasius, turbulent friction ~ Re^-0.25 (textbook, M).
    """
    return math.exp(exponent * log_ratio)


@jit
def ice_factor(ice: float) -> float:
    """Factor [-] on the resistance of a branch with an ice fraction f [-]: exp(15 f), 1 without ice.

    A tenth of ice halves the flow, a half leaves a fiftieth. Range: 0 to 1. Source: slurries above some 30 % ice are
    hardly pumpable (M); the rate 15 is an own estimate.
    """
    return math.exp(15.0 * ice) if ice > 0.0 else 1.0


@jit
def series_conductance(resistance: float) -> float:
    """Conductance G [L/min/kPa^0.5] of a branch with dp = R Q^2, R = resistance [kPa/(L/min)^2]: G = R^-1/2.

    Range: R > 0. Source: definition.
    """
    return 1.0 / math.sqrt(max(resistance, 1e-12))


@jit
def split_flow(
    head: float, series_R: float, bypass_G: float, radiator_G: float, heater_G: float
) -> tuple[float, float, float, float]:
    """Flow of the pump through its three branches and the pressure across them, in closed form.

    Head h - R_s Q^2 drives three branches Q_i = G_i dp^1/2, so Q = (h / (R_s + 1/(sum G)^2))^1/2. head [kPa]; series_R
    R_s [kPa/(L/min)^2] of jacket and pump; *_G [L/min/kPa^0.5]. Returns (bypass, radiator, heater flow [L/min], dp
    [kPa]). Range: head >= 0, all G >= 0. Source: parallel branches with dp = R Q^2; checked against a general network
    solver.
    """
    total_G = bypass_G + radiator_G + heater_G
    if total_G <= 0.0 or head <= 0.0:
        return 0.0, 0.0, 0.0, max(head, 0.0)
    flow = math.sqrt(head / (series_R + 1.0 / (total_G * total_G)))
    root_dp = flow / total_G
    return bypass_G * root_dp, radiator_G * root_dp, heater_G * root_dp, root_dp * root_dp


@jit
def _signed_root(dp: float) -> float:
    return math.sqrt(dp) if dp >= 0.0 else -math.sqrt(-dp)


@jit
def split_flow_boosted(
    head: float, series_R: float, bypass_G: float, radiator_G: float, heater_G: float, boost: float
) -> tuple[float, float, float, float]:
    """``split_flow`` with an electric pump in the heater branch: Q_h = G_h (dp + boost)^1/2.

    boost [kPa]: head of that pump. dp [kPa] is the only unknown and the balance is monotonic in it, so a fixed number
    of bisections finds it with the same operations for every vehicle. Other arguments and results as in ``split_flow``.
    Range: head >= 0, boost >= 0. Source: as ``split_flow``.
    """
    low, high = -boost, head
    for _ in range(40):
        dp = 0.5 * (low + high)
        out = (bypass_G + radiator_G) * _signed_root(dp) + heater_G * _signed_root(dp + boost)
        if head - dp > series_R * out * abs(out):
            low = dp
        else:
            high = dp
    dp = 0.5 * (low + high)
    root = _signed_root(dp)
    return bypass_G * root, radiator_G * root, heater_G * _signed_root(dp + boost), dp
