"""How good vehicles of one type differ: reproducible draws of every parameter's tolerance.

Vehicle i of a seed is the same whatever the fleet's size and order. The draws of a fleet fill the space evenly: a
Kronecker sequence, frac(shift + i sqrt(prime)), one prime a parameter, the shift keyed by seed and parameter.
"""

from __future__ import annotations

import hashlib
import math
from statistics import NormalDist

import numpy as np

from sim.parameters import PARAMETERS, healthy

WIDEST = 2.5  # standard deviations at which a tolerance ends: worse parts do not leave the factory

_NORMAL = NormalDist()


def uniform(*key: object) -> float:
    """A number between 0 and 1 that depends on the key alone: keyed blake2b, the same on every machine."""
    digest = hashlib.blake2b("\x1f".join(str(part) for part in key).encode(), digest_size=8).digest()
    return (int.from_bytes(digest, "big") + 0.5) / 2.0**64


def _primes(count: int) -> list[int]:
    found: list[int] = []
    candidate = 2
    while len(found) < count:
        if all(candidate % prime for prime in found if prime * prime <= candidate):
            found.append(candidate)
        candidate += 1
    return found


_VARYING = [parameter for parameter in PARAMETERS.values() if parameter.spread > 0.0]
_STEPS = {p.name: math.sqrt(prime) % 1.0 for p, prime in zip(_VARYING, _primes(len(_VARYING)), strict=True)}


def draw_quantiles(seed: str, name: str, step: float, first: int, count: int) -> np.ndarray:
    """Quantiles 0..1 of one quantity for vehicles first .. first + count - 1, shape (count,).

    seed, name: the key; step: the irrational advance of this quantity from one vehicle to the next.
    """
    shift = uniform(seed, name)
    return (shift + step * np.arange(first, first + count)) % 1.0


def draw(values: dict[str, float], seed: str, count: int, first: int = 0) -> np.ndarray:
    """Parameters (count,) of good vehicles first .. first + count - 1 of a type.

    values: what the type says, by parameter; spread as in ``sim.parameters``.
    """
    fleet = healthy(count, values)
    for parameter in _VARYING:
        quantiles = draw_quantiles(seed, parameter.name, _STEPS[parameter.name], first, count)
        deviates = np.array([_NORMAL.inv_cdf(min(max(float(u), 1e-9), 1 - 1e-9)) for u in quantiles])
        deviates = np.clip(deviates, -WIDEST, WIDEST) * parameter.spread
        if parameter.kind == "factor":
            fleet[parameter.name] *= np.exp(deviates)
        else:
            fleet[parameter.name] += deviates
    return fleet
