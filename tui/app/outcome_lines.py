"""What came of an action, as lines of the workshop."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from grading.report.sound_band import Band
from grading.sessions.outcome import Outcome
from scenarios.language import _, say, shown
from tui.app.show import took, words
from tui.presentation.units import Units


def came_of(outcome: Outcome, units: Units, bands: Sequence[Band] = (), below: Sequence[str] = ()) -> list[Content]:
    """What was said, read and done wrong; how long it took where there is nothing else to say.

    bands: what sound vehicles show, told beside the readings; below: what is told after them.
    """
    told = [words(said, units) for said in outcome.said]
    left = list(bands)
    for reading in outcome.readings:
        band = next((one for one in left if one.label == reading.label), None)
        read = Content.assemble(
            words(_(reading.label), units), ": ", words(shown(reading.shown), units, "bold $primary")
        )
        if band is not None:
            left.remove(band)
            read = Content.assemble(read, "   ", words(band.told, units, "$secondary"))
        told.append(read)
    told += [
        Content.assemble(("✕ " + _("Safety: "), "bold $error"), words(_(event.what), units)) for event in outcome.safety
    ]
    told += [words(line, units, "$secondary") for line in below]
    if outcome.minutes and not told:
        told = [Content(say("{minutes} later.", minutes=took(outcome.minutes)))]
    return told
