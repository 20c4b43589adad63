"""Damage to the head gasket by overheating."""

from __future__ import annotations

from sim.compile import jit

DAMAGE_BEGINS_K_MIN = 180.0  # accumulated overheating of the metal at which the gasket starts to leak (estimate)
DAMAGE_COMPLETE_K_MIN = 420.0  # the same at which it has failed completely: long before the engine seizes (estimate)
BLOWN_INGRESS = 2.5  # combustion gas [kPa L/s] past a failed gasket, 10 kW above BLOWN_HOLDS_KW (estimate)
BLOWN_HOLDS_KW = -5.5  # brake work [kW] up to which a failed gasket seals: not even at idle (estimate)
BLOWN_LEAK = 1e-3  # coolant into a cylinder past a failed gasket [g/s/kPa] (estimate)


@jit
def gasket_damage(harm: float) -> float:
    """Damage to the head gasket [-], 0 intact to 1 failed, as overheating warps the cylinder head.

    harm [K min]: time integral of metal temperature above its limit. Smooth at both ends. Range: any. Source: common
    practice, no source.

    >>> gasket_damage(180.0), gasket_damage(300.0), gasket_damage(500.0)
    (0.0, 0.5, 1.0)
    """
    share = min(max((harm - DAMAGE_BEGINS_K_MIN) / (DAMAGE_COMPLETE_K_MIN - DAMAGE_BEGINS_K_MIN), 0.0), 1.0)
    return share * share * (3.0 - 2.0 * share)
