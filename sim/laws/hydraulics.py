"""Where the coolant goes: pump, jacket, and the parallel branches bypass, radiator and heater."""

from __future__ import annotations

import math

from sim.compile import jit

LAMINAR_HEAD = 0.3  # kPa


@jit
def liquid_share(air_L: float, dry_L: float, filled: float) -> float:
    """Share [-] of what reaches the pump's eye that is liquid: f / (f + (V/V_d)^6).

    air_L V [L] of gas in the loop; dry_L V_d [L] of gas at which the eye begins to draw it; filled f [-] share of the
    loop that holds liquid: without gas 1, of an empty loop 0. Gas gathers at the top first and reaches the eye late.
    Range: any, dry_L > 0. Source: common practice, no source.
    """
    gas = max(air_L, 0.0) / dry_L
    gas = gas * gas * gas
    return filled / (filled + gas * gas) if filled > 0.0 else 0.0


@jit
def pump_head(head_1000: float, rpm: float, grip: float, drive: float, vanes: float, wet: float) -> float:
    """Shut-off head [kPa] of the coolant pump: w head_1000 (n/1000)^2 with n the impeller's speed.

    head_1000 [kPa] at 1000 rpm; rpm [1/min] of the engine; grip, drive, vanes [-] shares left by a loose impeller,
    a slipping belt, worn vanes; wet w [-] share of liquid at its eye: head goes with the density of what it throws.
    Range: rpm 0 to 7000. Source: affinity laws, head ~ n^2 (textbook, M); loss by gas: homogeneous mixture (M).
    """
    speed = rpm / 1000.0 * grip * drive
    return head_1000 * vanes * speed * speed * wet


@jit
def driving_head(head: float) -> float:
    """Head [kPa] that turbulent resistances alone would need for the flow that head [kPa] really drives: h^2/(h + h_l).

    Below some LAMINAR_HEAD the passages run laminar and flow falls with head itself, not with its root; this keeps the
    split in closed form. Range: head >= 0. Source: Hagen-Poiseuille limit (textbook, M); Re of about 2000 in a 16 mm
    heater hose lies at 1.3 L/min, where a usual branch takes 0.3 kPa.
    """
    return head * head / (head + LAMINAR_HEAD) if head > 0.0 else 0.0


@jit
def viscosity_factor(log_ratio: float, exponent: float) -> float:
    """Factor [-] on every resistance dp/Q^2 for coolant e^log_ratio [-] times as viscous as at 90 degC, 50 %.

    exponent [-]. Range: ratio 0.3 to 100. Source: Blasius, turbulent friction ~ Re^-0.25 (textbook, M).
    """
    return math.exp(exponent * log_ratio)


@jit
def ice_factor(ice: float) -> float:
    """Factor [-] on a branch's resistance from its share of ice [-]: exp(15 f), 1 without any.

    With a tenth of ice half of the flow is left, with half of it a fiftieth.
    Range: 0 to 1. Source: slurries of more than some 30 % of ice are hardly pumped (M); the rate 15 is ours.
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
    """Flow of the pump and difference across its branches, in closed form.

    Head h - R_s Q^2 drives three branches Q_i = G_i dp^1/2, so Q = (h / (R_s + 1/(sum G)^2))^1/2.
    head [kPa]; series_R [kPa/(L/min)^2] of jacket and pump; *_G [L/min/kPa^0.5].
    Returns (bypass, radiator, heater flow [L/min], dp [kPa]). Range: head >= 0, all G >= 0.
    Source: parallel branches with dp = R Q^2; checked against a general solver on all network equations.
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
    """The same split with an electric pump in the heater branch, Q_h = G_h (dp + boost)^1/2.

    boost [kPa] is that pump's head. The difference dp [kPa] is the one unknown and the balance falls steadily with it,
    so a fixed count of halvings finds it: same steps, same bits, whatever the vehicle. Other arguments and results
    as in ``split_flow``. Range: head >= 0, boost >= 0. Source: as ``split_flow``.
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
