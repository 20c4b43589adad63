"""The job card: complaint, history, what the handbook says, what was declared and done."""

from __future__ import annotations

from textual.content import Content

from grading.marks.criteria import written
from grading.marks.rubric import load_rubric
from grading.marks.what_counts import what_counts
from grading.sessions.session import Session
from scenarios.language import _, say
from tui.app.show import lines, words
from tui.app.widgets.paper import Paper
from tui.presentation.between_jobs import numbers
from tui.presentation.notebook import drafts, own_notes
from tui.presentation.units import Units, temperature


class JobCard(Paper):
    """All that is written down about the vehicle."""

    def show_card(self, session: Session, units: Units) -> None:
        """Write the card."""
        job, vehicle, catalogue = session.job, session.vehicle, session.catalogue
        told = [
            words(say("{customer}: “{words}”", customer=_(job.customer), words=_(job.complaint)), units, "italic"),
            *([words(_(job.history), units)] if job.history else []),
            words(
                say(
                    "{km:,.0f} km. Outside {temperature}.",
                    km=job.mileage_km,
                    temperature=temperature(job.ambient_C, units),
                )
            ),
            words(say("Time allowed to find the fault: {minutes:.0f} minutes.", minutes=load_rubric().allowed(job))),
            *([Content(_("Find the fault; nothing is to be repaired."))] if job.diagnosis_only else []),
            words(_(what_counts(job))),
            *([words(number)] if (number := numbers.told(job.id)) else []),
            Content(),
            Content.styled(_("Work"), "bold"),
            *(words(say("done: {repair}", repair=_(catalogue.repairs[name].name)), units) for name in session.repairs),
        ]
        for fault, confidence in session.diagnoses.items():
            said = say("diagnosis: {fault}, {sure:.0%} sure", fault=_(catalogue.faults[fault].name), sure=confidence)
            told.append(words(said, units))
        if not session.diagnoses and not session.repairs:
            told.append(Content.styled(_("No diagnosis and no repair yet."), "$secondary"))
        told.append(Content.assemble(("t", "bold $primary"), (" " + _("write it up"), "$secondary")))
        for kind, text in written([entry for entry in session.recorder.entries if entry.kind == "action"]).items():
            told.append(Content.assemble((f"{_(kind)}: ", "$secondary"), words(text)))
        for kind, text in drafts(session).items():
            told.append(Content.assemble((say("draft, {kind}: ", kind=_(kind)), "$secondary"), words(text)))
        told += [Content.assemble((_("note: "), "$secondary"), words(text)) for text in own_notes(session)]
        told += [Content(), words(say("Handbook of the {vehicle}", vehicle=_(vehicle.name)), style="bold")]
        told += [
            Content.assemble((f"{_(label)}: ", "$secondary"), words(_(text), units))
            for label, text in vehicle.manual.items()
        ]
        self.write(lines(*told))
