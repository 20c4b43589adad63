"""Copies of structured arrays (n,) as raw bytes: numpy copies field by field, which takes ten times as long."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def copy_records(records: np.ndarray) -> np.ndarray:
    """An independent, contiguous copy of an array of any dtype and shape."""
    if records.dtype.names is None:
        return records.copy()
    return _as_bytes(records).copy().view(records.dtype)


def take_records(records: np.ndarray, index: np.ndarray) -> np.ndarray:
    """``records[index]`` for an index or mask over the first axis."""
    if records.dtype.names is None:
        return records[index]
    return _as_bytes(records)[index].view(records.dtype)


def concatenate_records(arrays: Sequence[np.ndarray]) -> np.ndarray:
    """Arrays of the same dtype, one after another."""
    if arrays[0].dtype.names is None:
        return np.concatenate(arrays)
    return np.concatenate([_as_bytes(array) for array in arrays]).view(arrays[0].dtype)


def _as_bytes(records: np.ndarray) -> np.ndarray:
    return np.ascontiguousarray(records).view(f"V{records.dtype.itemsize}")
