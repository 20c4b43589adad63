"""Readings and marks are those of the baseline."""

import pytest

from tests.baseline.sessions import VEHICLES, kept, rows_by_vehicle, rows_of


def test_a_vehicle_is_read_and_marked_as_in_the_baseline():
    """By two ways of working; the slow test takes all ways and vehicles."""
    rows = rows_of(2, ("good order", "guesser"))
    assert len(rows) == 2
    assert rows == {key: row for key, row in kept().items() if key in rows}


@pytest.mark.slow
def test_every_session_is_read_and_marked_as_in_the_baseline():
    rows = {key: row for each in rows_by_vehicle(range(VEHICLES), 2) for key, row in each.items()}
    assert len(rows) == 500
    assert rows == kept()
