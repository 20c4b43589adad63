"""Every fault can be found, and told from every other, by some check."""

from itertools import combinations

import pytest

from tests.packaged import packaged_catalogue
from tests.scenarios.separation import TOLD, confusion

INSEPARABLE: dict[frozenset[str], str] = {}
"""Pairs that no sequence of checks can part, and why; at most four."""


@pytest.mark.slow
@pytest.mark.parametrize("name", ["hatch", "pickup", "saloon", "van", "diesel-wagon", "hybrid", "compact"])
def test_every_fault_is_told_from_health_and_every_pair_apart(name: str) -> None:
    catalogue = packaged_catalogue()
    faults, chance = confusion(catalogue, catalogue.vehicles[name])
    assert len(INSEPARABLE) <= 4
    mixed = [
        (faults[i].id, faults[j].id, round(float(chance[i, j]), 2))
        for i, j in combinations(range(len(faults)), 2)
        if chance[i, j] > TOLD and frozenset({faults[i].id, faults[j].id}) not in INSEPARABLE
    ]
    assert mixed == []
