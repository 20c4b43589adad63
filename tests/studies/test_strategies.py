"""Gaming a grade does not pay and honest work passes: a small run of the study beside."""

from __future__ import annotations

import pytest

from tests.studies.strategies_study import Row, study


@pytest.mark.slow
def test_honest_work_passes_and_tricks_do_not() -> None:
    rows = {row.name: row for row in study(first=1000, vehicles=3, minutes=10.0)}

    def passes(row: Row) -> int:
        return sum(grade.passed for grade in row.grades)

    def mean(row: Row) -> float:
        return sum(grade.total for grade in row.grades) / len(row.grades)

    for name in ("guesser", "shotgun", "parts swapper"):
        assert passes(rows[name]) == 0, name
        assert mean(rows[name]) < mean(rows["reference"])
    for name in ("reference", "slow and careful"):
        assert passes(rows[name]) >= 2, name
