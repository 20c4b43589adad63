"""How good vehicles of one type differ: reproducible draws of every parameter's tolerance.

Vehicle i of a seed is the same whatever the fleet's size and order. Draws fill each parameter's range evenly: within
every block of ``BLOCK`` vehicles each of as many equal strata is met once, in an order keyed by seed, parameter and
block (a Latin hypercube a block). A lattice or Kronecker sequence would be more even in a few dimensions, but over some
eighty it ties parameters to each other (rank correlations of 0.4 were measured at 2,000 vehicles).
"""

from __future__ import annotations

import hashlib
from statistics import NormalDist

import numpy as np

from sim.parameters import PARAMETERS, healthy

WIDEST = 2.5  # standard deviations at which a tolerance ends: worse parts do not leave the factory

BLOCK = 32
"""Vehicles that share one Latin hypercube."""

_NORMAL = NormalDist()


def uniform(*key: object) -> float:
    """A number between 0 and 1 that depends on the key alone: keyed blake2b, the same on every machine."""
    digest = hashlib.blake2b("\x1f".join(str(part) for part in key).encode(), digest_size=8).digest()
    return (int.from_bytes(digest, "big") + 0.5) / 2.0**64


def draw_quantiles(seed: str, name: str, first: int, count: int) -> np.ndarray:
    """Quantiles 0..1 of one quantity for vehicles first .. first + count - 1, shape (count,); seed, name: the key."""
    out = np.empty(0)
    start = first // BLOCK
    for block in range(start, (first + count - 1) // BLOCK + 1):
        raw = hashlib.shake_128(f"{seed}\x1f{name}\x1f{block}".encode()).digest(16 * BLOCK)
        words = np.frombuffer(raw, dtype="<u8")
        strata = np.argsort(words[:BLOCK], kind="stable")
        within = ((words[BLOCK:] >> np.uint64(11)).astype(np.float64) + 0.5) / 2.0**53
        out = np.concatenate([out, (strata + within) / BLOCK])
    return out[first - start * BLOCK :][:count]


def draw(values: dict[str, float], seed: str, count: int, first: int = 0) -> np.ndarray:
    """Parameters (count,) of good vehicles first .. first + count - 1 of a type.

    values: what the type says, by parameter; spread as in ``sim.parameters``.
    """
    fleet = healthy(count, values)
    for parameter in PARAMETERS.values():
        if parameter.spread == 0.0:
            continue
        quantiles = draw_quantiles(seed, parameter.name, first, count)
        deviates = np.array([_NORMAL.inv_cdf(min(max(float(u), 1e-9), 1 - 1e-9)) for u in quantiles])
        deviates = np.clip(deviates, -WIDEST, WIDEST) * parameter.spread
        if parameter.kind == "factor":
            fleet[parameter.name] *= np.exp(deviates)
        else:
            fleet[parameter.name] += deviates
    return fleet
