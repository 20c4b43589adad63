"""Readings and marks are those of the baseline."""

from tests.baseline.sessions import kept, rows_of


def test_a_vehicle_is_read_and_marked_as_in_the_baseline():
    rows = rows_of(2)
    assert rows == {key: row for key, row in kept().items() if key in rows}
