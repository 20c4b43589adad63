"""What an overheated engine does to its head gasket."""

from __future__ import annotations

from sim.compile import jit

DAMAGE_BEGINS_K_MIN = 180.0  # overheating of the metal at which the gasket begins to give (ours)
DAMAGE_COMPLETE_K_MIN = 420.0  # the same at which it has given wholly: long before the engine seizes (ours)
BLOWN_INGRESS = 2.5  # kPa L/s of combustion gas 10 kW beyond BLOWN_HOLDS_KW, past one that has given wholly (ours)
BLOWN_HOLDS_KW = -5.5  # brake work up to which that one holds: not even an idling engine's (ours)
BLOWN_LEAK = 1e-3  # g/s/kPa of coolant past it into a cylinder (ours)


@jit
def gasket_damage(harm: float) -> float:
    """How far [0 to 1] overheating has ruined the head gasket: it warps the head before it seizes the engine.

    harm [K min]: overheating of the metal beyond what it stands. Smooth at both ends. Range: any. Source: common
    practice, no source.

    >>> gasket_damage(180.0), gasket_damage(300.0), gasket_damage(500.0)
    (0.0, 0.5, 1.0)
    """
    share = min(max((harm - DAMAGE_BEGINS_K_MIN) / (DAMAGE_COMPLETE_K_MIN - DAMAGE_BEGINS_K_MIN), 0.0), 1.0)
    return share * share * (3.0 - 2.0 * share)
