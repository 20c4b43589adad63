"""Manufacturing tolerances: reproducible draws of every parameter.

Vehicle i of a seed is the same whatever the size and order of the fleet. Each block of ``BLOCK`` vehicles is a Latin
hypercube: every stratum of every parameter occurs once, in an order keyed by seed, parameter and block. A lattice or
Kronecker sequence would be more even in a few dimensions, but over some eighty it correlates parameters (rank
correlations of 0.4 measured at 2,000 vehicles).
"""

from __future__ import annotations

import hashlib
from functools import lru_cache
from statistics import NormalDist

import numpy as np

from sim.vehicle.parameters import PARAMETERS, healthy

TRUNCATION_SD = 2.5  # [standard deviations] truncation: parts outside do not leave the factory

BLOCK = 32
"""Vehicles per Latin hypercube."""

_NORMAL = NormalDist()
_deviate = lru_cache(maxsize=1 << 17)(_NORMAL.inv_cdf)  # the same vehicles are drawn for every job


def uniform(*key: object) -> float:
    """A number between 0 and 1 that depends only on the key: keyed blake2b, the same on every machine."""
    digest = hashlib.blake2b("\x1f".join(str(part) for part in key).encode(), digest_size=8).digest()
    return (int.from_bytes(digest, "big") + 0.5) / 2.0**64


def draw_quantiles(seed: str, name: str, first: int, count: int) -> np.ndarray:
    """Quantiles 0..1 of one parameter for vehicles first .. first + count - 1, shape (count,).

    seed, name: the key.
    """
    out = np.empty(0)
    start = first // BLOCK
    for block in range(start, (first + count - 1) // BLOCK + 1):
        raw = hashlib.shake_128(f"{seed}\x1f{name}\x1f{block}".encode()).digest(16 * BLOCK)
        words = np.frombuffer(raw, dtype="<u8")
        strata = np.argsort(words[:BLOCK], kind="stable")
        within = ((words[BLOCK:] >> np.uint64(11)).astype(np.float64) + 0.5) / 2.0**53
        out = np.concatenate([out, (strata + within) / BLOCK])
    return out[first - start * BLOCK :][:count]


TOLERANCED: tuple[str, ...] = tuple(name for name, parameter in PARAMETERS.items() if parameter.spread > 0.0)
"""Parameters with a spread, in the order of the columns of quantiles."""


def draw_all_quantiles(seed: str, count: int, first: int = 0) -> np.ndarray:
    """Quantiles 0..1 of every toleranced parameter, (count, len(TOLERANCED)), vehicles as in ``draw``."""
    if not TOLERANCED or not count:
        return np.empty((count, len(TOLERANCED)))
    return np.stack([draw_quantiles(seed, name, first, count) for name in TOLERANCED], axis=1)


def normal_deviates(quantiles: np.ndarray) -> np.ndarray:
    """Standard normal deviates of quantiles 0..1, any shape."""
    flat = list(map(_deviate, np.clip(quantiles, 1e-9, 1 - 1e-9).ravel().tolist()))
    return np.array(flat).reshape(quantiles.shape)


def normal_quantiles(deviates: np.ndarray) -> np.ndarray:
    """Quantiles 0..1 of standard normal deviates, any shape: inverse of ``normal_deviates``."""
    return np.array([_NORMAL.cdf(z) for z in deviates.ravel().tolist()]).reshape(deviates.shape)


def vary(values: dict[str, float], quantiles: np.ndarray) -> np.ndarray:
    """Parameters (n,) of sound vehicles at tolerance quantiles (n, len(TOLERANCED)).

    values: the type's parameters by name; spread as in ``sim.vehicle.parameters``.
    """
    fleet = healthy(len(quantiles), values)
    deviates = np.clip(normal_deviates(quantiles), -TRUNCATION_SD, TRUNCATION_SD)
    for name, deviate in zip(TOLERANCED, deviates.T, strict=True):
        parameter = PARAMETERS[name]
        if parameter.spread_kind == "factor":
            fleet[name] *= np.exp(deviate * parameter.spread)
        else:
            fleet[name] += deviate * parameter.spread
    return fleet


def draw(values: dict[str, float], seed: str, count: int, first: int = 0) -> np.ndarray:
    """Parameters (count,) of sound vehicles first .. first + count - 1 of a type; values as in ``vary``."""
    return vary(values, draw_all_quantiles(seed, count, first))
