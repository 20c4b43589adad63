"""The job card: complaint, history, what the handbook says, what was declared and done."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from grading.marking import written
from grading.session import Session
from tui.notebook import own_notes
from tui.show import lines, words
from tui.units import Units, temperature


class JobCard(Static):
    """All that is written down about the vehicle."""

    def __init__(self) -> None:
        super().__init__(markup=False)

    def show_card(self, session: Session, units: Units) -> None:
        """Write the card."""
        job, vehicle, catalogue = session.job, session.vehicle, session.catalogue
        warm = temperature(job.warm_enough_C, units)
        told = [
            words(f"{job.customer}: “{job.complaint}”", units, "italic"),
            *([words(job.history, units)] if job.history else []),
            words(f"{job.mileage_km:,.0f} km. Outside {temperature(job.ambient_C, units)}."),
            words(f"Proven warm at {warm} at the vents."),
            Content(),
            Content.styled("Work", "bold"),
            *(words(f"done: {catalogue.repairs[name].name}", units) for name in session.repairs),
        ]
        if session.diagnosis:
            fault, confidence = session.diagnosis
            told.append(words(f"diagnosis: {catalogue.faults[fault].name}, {confidence:.0%} sure", units))
        elif not session.repairs:
            told.append(Content.styled("nothing declared, nothing repaired", "$secondary"))
        told.append(Content.assemble(("t", "bold $primary"), (" write it up", "$secondary")))
        for kind, text in written([entry for entry in session.recorder.entries if entry.kind == "action"]).items():
            told.append(Content.assemble((f"{kind}: ", "$secondary"), words(text)))
        told += [Content.assemble(("note: ", "$secondary"), words(text)) for text in own_notes(session)]
        told += [Content(), words(f"Handbook of the {vehicle.name}", style="bold")]
        told += [
            Content.assemble((f"{label}: ", "$secondary"), words(text, units)) for label, text in vehicle.manual.items()
        ]
        self.update(lines(*told))
