"""Plan files: what they may say, and where what is wrong stands."""

from pathlib import Path

import pytest

from grading.drawing.plan import Plan, read_plan
from scenarios.files.data_error import DataError
from tests.packaged import packaged_catalogue

CATALOGUE = packaged_catalogue()
WHOLE = """\
jobs: 12
systems: [blower, doors]
vehicles: [hatch, van]
difficulty: [2, 4]
weather: [-10, 5]
shares: {nothing_wrong: 0.1, two_faults: 0.2, come_and_go: 0.3, earlier_work: 1}
apart:
  - [blower-fuse-blown, blower-relay-dead]
diagnosis_only: true
"""


def written(folder: Path, text: str) -> Path:
    file = folder / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_number_of_jobs_is_enough(tmp_path: Path) -> None:
    assert read_plan(written(tmp_path, "jobs: 3\n"), CATALOGUE) == Plan(jobs=3)


def test_every_key_is_read(tmp_path: Path) -> None:
    apart = (frozenset({"blower-fuse-blown", "blower-relay-dead"}),)
    assert read_plan(written(tmp_path, WHOLE), CATALOGUE) == Plan(
        12, ("blower", "doors"), ("hatch", "van"), (2, 4), (-10, 5), 0.1, 0.2, 0.3, 1.0, apart, diagnosis_only=True
    )


def test_jobs_of_earlier_sets_are_known(tmp_path: Path) -> None:
    job = next(iter(CATALOGUE.jobs.values()))
    text = (Path(__file__).parents[3] / "scenarios" / "data" / "jobs" / f"{job.id}.yaml").read_text(encoding="utf-8")
    (tmp_path / "last-year" / "jobs").mkdir(parents=True)
    file = tmp_path / "last-year" / "jobs" / "one.yaml"
    file.write_text(text.replace(f"id: {job.id}", "id: another"), encoding="utf-8")
    plan = read_plan(written(tmp_path, "jobs: 3\nnot_used_in: [last-year]\n"), CATALOGUE)
    assert plan.used == {(frozenset(job.real_faults), job.vehicle)}


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("systems: [blower]\n", ":1:1:", "jobs"),
        ("jobs: 0\n", ":1:7:", "at least 1"),
        ("jobs: 3\nsystems: [blowers]\n", ":2:11:", "blower"),
        ("jobs: 3\nvehicles: [lorry]\n", ":2:12:", "lorry"),
        ("jobs: 3\nweather: [5, -5]\n", ":2:14:", "at least 5"),
        ("jobs: 3\ndifficulty: [0, 4]\n", ":2:14:", "at least 1"),
        ("jobs: 3\nshares: {two_fault: 0.1}\n", ":2:10:", "two_faults"),
        ("jobs: 3\nshares: {two_faults: 1.5}\n", ":2:22:", "at most 1"),
        ("jobs: 3\nshares: {nothing_wrong: 0.6, come_and_go: 0.5}\n", ":1:1:", "more than 1"),
        ("jobs: 3\napart:\n  - [blower-fuse-blown]\n", ":3:5:", "2"),
        ("jobs: 3\napart:\n  - [blower-fuse-blown, none-such]\n", ":3:25:", "none-such"),
        ("jobs: 3\nnot_used_in: [nowhere]\n", ":2:15:", "nowhere"),
        ("jobs: 3\ncolour: red\n", ":2:1:", "colour"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(tmp_path: Path, text: str, place: str, words: str) -> None:
    file = written(tmp_path, text)
    with pytest.raises(DataError) as caught:
        read_plan(file, CATALOGUE)
    assert f"{file}{place}" in str(caught.value) and words in str(caught.value)
