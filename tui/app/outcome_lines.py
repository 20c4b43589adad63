"""What came of an action, as lines of the workshop."""

from __future__ import annotations

from textual.content import Content

from grading.sessions.outcome import Outcome
from scenarios.language import _, say, shown
from tui.app.show import took, words
from tui.presentation.units import Units


def came_of(outcome: Outcome, units: Units) -> list[Content]:
    """What was said, read and done wrong; how long it took where there is nothing else to say."""
    told = [words(said, units) for said in outcome.said]
    told += [
        Content.assemble(words(_(reading.label), units), ": ", words(shown(reading.shown), units, "bold $primary"))
        for reading in outcome.readings
    ]
    told += [
        Content.assemble(("✕ " + _("Safety: "), "bold $error"), words(_(event.what), units)) for event in outcome.safety
    ]
    if outcome.minutes and not told:
        told = [Content(say("{minutes} later.", minutes=took(outcome.minutes)))]
    return told
