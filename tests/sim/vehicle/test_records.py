"""Copies of structured arrays as plain bytes are numpy's own copies."""

import numpy as np
import pytest

from sim.vehicle.parameters import healthy
from sim.vehicle.records import concatenate_records, copy_records, take_records

MIXED = np.array([(1, 0.5), (2, np.nan), (3, -0.0)], dtype=[("why", np.int64), ("at_s", np.float64)])
PLAIN = np.arange(12.0).reshape(3, 4)
each_array = pytest.mark.parametrize("array", [MIXED, healthy(3, {}), PLAIN, MIXED[::-1]])


@each_array
def test_a_copy_is_equal_and_independent(array: np.ndarray) -> None:
    copy = copy_records(array)
    assert copy.dtype == array.dtype and copy.tobytes() == array.tobytes()
    assert not np.shares_memory(copy, array)


@each_array
@pytest.mark.parametrize("index", [np.array([2, 0, 0]), np.array([True, False, True]), np.array([], dtype=int)])
def test_taken_is_what_an_index_gives(array: np.ndarray, index: np.ndarray) -> None:
    chosen = take_records(array, index)
    assert chosen.dtype == array.dtype and chosen.tobytes() == array[index].tobytes()
    assert not np.shares_memory(chosen, array)


@each_array
def test_stacked_are_one_after_another(array: np.ndarray) -> None:
    assert concatenate_records([array, array[:1]]).tobytes() == array.tobytes() + array[:1].tobytes()
