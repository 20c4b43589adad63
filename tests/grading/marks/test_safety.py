"""Safety: what hurt or could have, and cautions that were passed over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.workmanship import safety
from scenarios.model import Caution
from tests.grading.cases import Did, case, did, marking

MINOR = Caution("belt", "A belt catches sleeves. Keep clear of it.", False)


def passed(name: str, chosen: str = "skipped") -> Did:
    return did("note", "caution", name, chosen)


@pytest.mark.parametrize(
    ("done", "marks"),
    [
        ((), 100.0),
        ((did("check", "gauge"),), 100.0),
        ((did("check", "gauge", hurt=[False]),), 75.0),
        ((did("check", "gauge", hurt=[False, False]), did("check", "gauge", hurt=[False])), 25.0),
        ((did("check", "gauge", hurt=[False] * 5),), 0.0),
        ((did("check", "gauge", hurt=[True]),), 0.0),
        ((passed("hot-cap"),), 50.0),
        ((passed("hot-cap"), passed("hot-cap")), 50.0),  # each once
        ((passed("belt"), passed("hot-cap", "heeded")), 80.0),
        ((passed("belt"), passed("hot-cap")), 30.0),
        ((passed("belt"), passed("hot-cap", "heeded"), did("check", "gauge", hurt=[False])), 55.0),
        ((passed("belt"),), 50.0),  # every caution that was given
        ((passed("hot-cap", "heeded"), passed("belt", "told")), 100.0),
        ((passed("elsewhere"),), 100.0),  # of another catalogue
        ((did("note", "cause", "belt", "skipped"),), 100.0),
        ((did("note", "caution", "belt", "skipped", "twice"),), 100.0),
    ],
)
def test_what_happened_costs_by_how_bad_it_is(done: tuple[Did, ...], marks: float) -> None:
    known = marking()
    catalogue = replace(known, cautions=known.cautions | {"belt": MINOR})
    assert safety(case(*done, catalogue=catalogue))[0] == pytest.approx(marks)


def test_it_names_the_cautions() -> None:
    _, reasons = safety(case(passed("hot-cap")))
    assert list(map(str, reasons)) == ["a caution was skipped: Hot coolant under pressure burns"]
