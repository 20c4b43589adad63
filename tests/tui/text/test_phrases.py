"""The phrases of the text interface."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenarios.actions import Action, NotPossible
from tui.presentation.clean import clean
from tui.text.phrases import PHRASES, parse


@pytest.mark.parametrize(
    ("line", "action"),
    [
        ("check gauge", Action("check", ("gauge",))),
        ("  set   heater 50.5 ", Action("set", ("heater", 50.5))),
        ("set vents face", Action("set", ("vents", "face"))),
        ("rev 2000 3", Action("rev", (2000.0, 3.0))),
        ("drive 10", Action("drive", (10.0,))),
        ("drive 10 80", Action("drive", (10.0, 80.0))),
        ("go bay", Action("go", ("engine bay",))),
        ("go bench", Action("go", ("bench",))),
        ("diagnose none 60", Action("diagnose", ("none", 60.0))),
        ("mark 3 sound", Action("note", ("mark", 3.0, "sound"))),
        ("note hoses feel odd", Action("note", ("text", "hoses feel odd"))),
        ("write cause low coolant in loop", Action("note", ("cause", "low coolant in loop"))),
        ("handback", Action("handback")),
        ("handback not to be driven", Action("handback", ("not to be driven",))),
    ],
)
def test_a_phrase_is_an_action(line: str, action: Action) -> None:
    assert parse(line) == action


_WORDS = st.one_of(st.sampled_from([*PHRASES, "heater", "on", "5", "nan", "-1"]), st.text(max_size=8))


@given(st.lists(_WORDS, min_size=1, max_size=5).map(" ".join).filter(clean))
def test_anything_else_is_refused_with_what_was_expected(line: str) -> None:
    try:
        action = parse(line)
    except NotPossible as refused:
        assert "expected" in str(refused)
    else:
        assert action.verb == {"mark": "note", "write": "note"}.get(clean(line).split()[0], clean(line).split()[0])


def test_what_is_written_up_is_what_marking_looks_for() -> None:
    from grading.marks.criteria import WRITTEN as MARKED
    from tui.text.phrases import WRITTEN

    assert WRITTEN == MARKED
