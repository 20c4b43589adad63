"""Printable job cards, one per sheet, and a separate answer key."""

from __future__ import annotations

from html import escape

from grading.marks.rubric import Rubric
from grading.marks.what_counts import what_counts
from grading.report.html_document import html_document, html_table
from scenarios.language import N_, _, say
from scenarios.model import Catalogue, Fault, Job, Planted

STYLE = """
body{font:12pt/1.45 system-ui,sans-serif;max-width:48rem;margin:2rem auto;padding:0 1rem;color:#111;background:#fff}
h1{font-size:1.4rem;margin:0 0 .2rem}h2{font-size:1.05rem;margin:1.2rem 0 .3rem}p{margin:.3rem 0}
article{border-bottom:1px solid #999;padding:1.5rem 0}blockquote{margin:.6rem 0 .6rem 1rem;font-style:italic}
table{border-collapse:collapse;width:100%}td,th{border:1px solid #999;padding:.2rem .6rem;text-align:left}
th{width:32%;font-weight:600}td.line{height:3.2rem}
@page{margin:18mm}
@media print{body{margin:0;padding:0;max-width:none}article{border:0;padding:0;break-after:page}
article:last-child{break-after:auto}h2{break-after:avoid}tr{break-inside:avoid}}
"""
WRITTEN = (N_("complaint"), N_("cause"), N_("correction"))
"""Fields that a learner fills in."""


def cards(catalogue: Catalogue, jobs: list[Job], rubric: Rubric) -> str:
    """HTML page of job cards with room to write, without the faults."""
    body = [_card(catalogue, job, rubric) for job in jobs]
    return html_document(_("Job cards"), STYLE, body)


def key(catalogue: Catalogue, jobs: list[Job]) -> str:
    """HTML page with the faults of each job and what cures them."""
    return html_document(_("Key to the job cards"), STYLE, [_answer(catalogue, job) for job in jobs])


def _card(catalogue: Catalogue, job: Job, rubric: Rubric) -> str:
    vehicle = catalogue.vehicles[job.vehicle]
    rows = [
        (_("Vehicle"), f"{_(vehicle.name)}. {_(vehicle.about)}"),
        (_("Mileage"), say("{km:.0f} km", km=job.mileage_km)),
        (_("Outside"), say("{celsius:g} °C, {metres:g} m above the sea", celsius=job.ambient_C, metres=job.altitude_m)),
        (_("History"), _(job.history)),
        (_("Minutes allowed"), f"{rubric.allowed(job):.0f}"),
    ]
    if job.diagnosis_only:
        rows.append((_("Task"), _("Find the fault; repair nothing.")))
    room = "".join(f'<tr><th>{escape(_(name))}</th><td class="line"></td></tr>' for name in WRITTEN)
    handbook, to_write = _("The handbook says"), _("For you to write")
    told = [
        f"<h1>{escape(_(job.title))}</h1><p>{escape(_(job.customer))}</p>",
        f"<blockquote>{escape(_(job.complaint))}</blockquote>",
        html_table(rows),
        f"<p>{escape(_(what_counts(job)))}</p>",
        f"<h2>{escape(handbook)}</h2>",
        html_table([(_(label), _(text)) for label, text in vehicle.manual.items()]),
        f"<h2>{escape(to_write)}</h2><table>{room}</table>",
    ]
    return f"<article>{''.join(told)}</article>"


def _answer(catalogue: Catalogue, job: Job) -> str:
    told = [
        f"<h1>{escape(_(job.title))}</h1><p>{escape(job.id)}, {escape(_(catalogue.vehicles[job.vehicle].name))}</p>"
    ]
    if not job.faults:
        sound = _("Nothing is wrong with this vehicle.")
        told.append(f"<p>{escape(sound)}</p>")
    for planted in job.faults:
        fault = catalogue.faults[planted.fault]
        told.append(f"<h2>{escape(_(fault.name))}</h2>{html_table(_rows(catalogue, job, fault, planted))}")
        told.append(f"<p>{escape(_(fault.explains))}</p>")
    return f"<article>{''.join(told)}</article>"


def _rows(catalogue: Catalogue, job: Job, fault: Fault, planted: Planted) -> list[tuple[str, str]]:
    """Rows of the key for a fault of a job, in two columns."""
    vehicle = catalogue.vehicles[job.vehicle]
    cures = [catalogue.repairs[name] for name in fault.cured_by]
    looks = [catalogue.checks[name] for name in fault.looked_at_by]
    low, high = fault.severity
    drawn = say("drawn anew with each seed, {low:g} to {high:g}", low=low, high=high)
    rows = [
        (_("Part"), _(fault.part)),
        (_("How it failed"), _(fault.mode)),
        (_("Severity"), drawn if planted.severity is None else f"{planted.severity:g}"),
        (_("Cured by"), "; ".join(_(repair.name) for repair in cures if repair.fits(vehicle))),
        (_("Checks that look at it"), "; ".join(_(check.name) for check in looks if check.fits(vehicle))),
    ]
    if planted.days is not None:
        rows.append((_("Driven with it"), say("{days} days", days=planted.days)))
    return [(head, text) for head, text in rows if text]
