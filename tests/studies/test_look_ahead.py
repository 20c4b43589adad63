"""Data marks the checks that must be carried out to be weighed, and no others."""

from __future__ import annotations

import pytest

from tests.packaged import packaged_catalogue
from tests.studies.look_ahead import MARKED, Compared, furthest, study

SAMPLED = 0.04
"""What a difference may be off by for the vehicles sampled [bit]: between 12 and 24 vehicles of each fault."""


@pytest.mark.slow
def test_marks_are_those_of_the_study() -> None:
    checks = packaged_catalogue().checks
    for name, one in furthest(study()).items():
        if abs(abs(one.difference) - MARKED) > SAMPLED:
            assert checks[name].changes_meanwhile == (abs(one.difference) > MARKED), one


@pytest.mark.parametrize(
    ("name", "marked"),
    [
        ("vacuum-held", True),  # the reservoir loses it while the engine stands
        ("cabin-over-time", True),  # its second reading is ten minutes later
        ("vent-first-minutes", True),  # nothing is warm at its start
        ("gauge-on-the-road", True),
        ("vent-at-cold", True),  # the core cools down
        ("coolant-level-cold", False),
        ("cabin-temperature", False),
        ("motor-knocked", False),
        ("carpet-feel", False),
    ],
)
def test_marks_that_follow_from_what_a_check_is(name: str, marked: bool) -> None:
    assert packaged_catalogue().checks[name].changes_meanwhile == marked


def test_of_each_check_the_greatest_difference_counts() -> None:
    rows = [Compared("a", "x", 1.0, 0.5), Compared("b", "x", 1.0, 1.1), Compared("a", "y", 0.0, 0.9)]
    assert list(furthest(rows).items()) == [("y", rows[2]), ("x", rows[0])]
    assert (rows[0].difference, rows[2].difference) == (-0.5, 0.9)
