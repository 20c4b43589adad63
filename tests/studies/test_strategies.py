"""Gaming a grade does not pay and honest work passes: a small run of the study beside."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import pytest

from tests.studies.strategies_study import Played, before, line, study


@pytest.mark.slow
def test_honest_work_passes_and_tricks_do_not(tmp_path: Path) -> None:
    kept = tmp_path / "kept.jsonl"
    played = study([1000, 1001, 1002], 10.0, kept)
    assert before(kept) == played

    def of(name: str) -> list[Played]:
        return [one for one in played if one.strategy == name]

    def passes(name: str) -> int:
        return sum(one.passed for one in of(name))

    def mean(name: str) -> float:
        return sum(one.total for one in of(name)) / len(of(name))

    for name in ("guesser", "shotgun", "parts swapper"):
        assert passes(name) == 0, name
        assert mean(name) < mean("reference")
    for name in ("reference", "slow and careful"):
        assert passes(name) >= 2, name


def test_kept_sessions_come_back_and_a_row_tells_their_means(tmp_path: Path) -> None:
    kept = tmp_path / "kept.jsonl"
    assert before(kept) == []
    played = [
        Played("guesser", 1, 40.0, False, False, {"diagnosis": 0.0, "efficiency": 100.0}),
        Played("guesser", 2, 80.0, True, True, {"diagnosis": 90.0, "efficiency": 100.0}),
    ]
    kept.write_text("".join(json.dumps(asdict(one)) + "\n" for one in played), encoding="utf-8")
    assert before(kept) == played
    assert line("guesser", played) == "| guesser | 60.0 | 50.0% | 50% | 45 | 100 |"
