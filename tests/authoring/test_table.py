"""What each check is worth against each fault, by simulation."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from grading.fairness import check_table as tables
from grading.fairness.check_table import CheckRow, CheckTable, check_table
from tests.packaged import packaged_catalogue
from tui.commands.author import table as command

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def hatch() -> CheckTable:
    """The packaged hatch with few vehicles of each fault."""
    catalogue = packaged_catalogue()
    return check_table(catalogue, catalogue.vehicles["hatch"], count=6)


def row(table: CheckTable, check: str) -> CheckRow:
    """The row of a check."""
    return next(row for row in table.rows if row.check.id == check)


def share(table: CheckTable, check: str, fault: str) -> float:
    """Share of vehicles with a fault that a check shows."""
    return float(row(table, check).shows[[one.id for one in table.faults].index(fault)])


def test_checks_show_what_they_are_for(hatch: CheckTable) -> None:
    """Common practice, no source."""
    assert hatch.faults[0].id == "none"
    assert share(hatch, "blower-each-speed", "blower-fuse-blown") == 1.0
    assert share(hatch, "coolant-level-cold", "coolant-low") == 1.0
    assert share(hatch, "heater-return-infrared", "core-clogged") > 0.8
    assert share(hatch, "blower-each-speed", "core-clogged") < 0.2
    assert share(hatch, "coolant-level-cold", "blower-fuse-blown") < 0.2
    assert row(hatch, "coolant-level-cold").cold and not row(hatch, "heater-return-infrared").cold
    assert row(hatch, "heater-return-infrared").minutes > 15.0 > row(hatch, "blower-each-speed").minutes


def test_sound_vehicles_read_as_usual(hatch: CheckTable) -> None:
    assert max(float(row.shows[0]) for row in hatch.rows) <= 2.0 * tables.OUTSIDE
    assert all((row.separates == row.separates.T).all() and not row.separates.diagonal().any() for row in hatch.rows)


def test_more_checks_find_more(hatch: CheckTable) -> None:
    whole = hatch.testability(hatch.rows)
    for some in (hatch.cold, hatch.warm):
        part = hatch.testability(some)
        assert part.detected <= whole.detected and part.to_one <= part.to_three <= whole.to_three
    assert whole.detected > 0.9
    nothing = hatch.testability([])
    assert nothing.detected == nothing.to_one == nothing.to_three == 0.0


def test_what_could_be_left_out_separates_nothing_more(hatch: CheckTable) -> None:
    spare = hatch.dispensable()
    kept = [row for row in hatch.rows if row not in spare]

    def apart(rows: list[CheckRow]) -> np.ndarray:
        return np.any([row.separates for row in rows], axis=0)

    assert spare and (apart(kept) == apart(hatch.rows)).all()
    assert all((apart([one for one in kept if one is not row]) != apart(kept)).any() for row in kept)


def test_usual_readings_are_nine_in_ten_from_the_middle() -> None:
    assert tables._usual(np.array([0.04, 0.46, 0.46, 0.04])).tolist() == [False, True, True, False]
    assert tables._usual(np.array([0.06, 0.94, 0.0])).tolist() == [True, True, False]
    assert tables._usual(np.array([1.0])).tolist() == [True]


def test_shares_of_classes_are_those_of_the_vehicles() -> None:
    label = np.array([0, 0, 1, 1])
    shares = tables._shares("multimeter", np.array([12.0, 12.0, 0.0, np.nan]), label, 2)
    assert shares.sum(axis=1) == pytest.approx([1.0, 1.0])
    assert shares[1, -1] == pytest.approx(0.5)  # nothing is shown
    assert 0.5 * np.abs(shares[0] - shares[1]).sum() == pytest.approx(1.0)


def test_it_is_written_as_text_table_and_data(hatch: CheckTable) -> None:
    text = command._plain([hatch])
    assert "Blower on each speed" in text and "told from all" in text and "nan" not in text
    lines = list(csv.reader(command._csv([hatch]).splitlines()))
    assert lines[0][:5] == ["vehicle", "check", "engine", "minutes", "bits"]
    assert len(lines) == len(hatch.rows) + 1 and {len(line) for line in lines} == {5 + len(hatch.faults)}
    (data,) = json.loads(command._json([hatch]))
    assert data["testability"]["all"]["detected"] == hatch.testability(hatch.rows).detected
    assert len(data["checks"][0]["shows"]) == len(data["faults"])


def test_what_cannot_be_is_refused(lukewarm: Run, starter: Path) -> None:
    for given, wrong in (
        (("--ambient", "90"), "out of range"),
        (("--ambient", "nan"), "out of range"),
        (("--vehicle", "no-such"), "expected one of: "),
    ):
        status, _, errors = lukewarm("author", "table", *given)
        assert status == 2 and wrong in errors
    (starter / "jobs" / "my-job.yaml").unlink()
    status, _, errors = lukewarm("author", "table", str(starter))
    assert status == 2 and "there is no job in this folder" in errors
