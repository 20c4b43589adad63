"""The debrief as one page of HTML: nothing from outside, no scripts, everything escaped."""

from __future__ import annotations

from html import escape
from typing import Any

import numpy as np

from grading.marks.grade import Grade
from grading.report.action_words import describe
from grading.report.html_document import html_document
from grading.report.section import Section
from grading.sessions.record import Entry
from grading.sessions.verification import replay_session
from scenarios.language import N_, _, say, shown
from scenarios.model import Catalogue
from sim.vehicle import states as st
from sim.world import MINUTE

WIDTH, HEIGHT, MARGIN = 720.0, 260.0, 46.0
POINTS = 240
"""Points of a curve at most."""
TRACKS = (
    (N_("coolant"), st.JACKET, "", "#a02020"),
    (N_("heater feed hose"), st.FEED, "7 4", "#a05a00"),
    (N_("heater return hose"), st.RETURN, "2 3", "#1d5fa0"),
    (N_("cabin"), st.CABIN, "10 3 2 3", "#2f6f3a"),
)
"""Name, state, dashes, colour: every line is told by its dashes and its name as well."""

STYLE = """
body{font:16px/1.5 system-ui,sans-serif;max-width:48rem;margin:2rem auto;padding:0 1rem;color:#1b1b1b;background:#fff}
h1{font-size:1.5rem}h2{font-size:1.15rem;margin-top:2rem}p{margin:.3rem 0}p.in{margin-left:1.5rem}
table{border-collapse:collapse}td,th{border:1px solid #999;padding:.2rem .6rem;text-align:left}
@media (prefers-color-scheme:dark){body{color:#e8e8e8;background:#181818}svg{background:#f6f6f6}}
"""


def debrief_data(catalogue: Catalogue, grade: Grade, sections: list[Section]) -> dict[str, Any]:
    """The debrief as plain data: grade, sections, and each step with belief before and after."""

    def belief(chances: np.ndarray) -> dict[str, float]:
        return {fault.id: round(float(p), 4) for fault, p in zip(grade.faults, chances, strict=True) if p >= 5e-5}

    steps = [
        {
            "number": step.number,
            "what": describe(catalogue, step.action),
            "minute": step.minute,
            "minutes": step.minutes,
            "readings": [{"label": _(label), "shown": shown(reading)} for label, reading in step.shown],
            "before": belief(step.before),
            "after": belief(step.after),
            "bits": round(step.bits, 4),
            "best": None
            if step.best is None
            else {
                "check": step.best.check.id,
                "first": [describe(catalogue, action) for action in step.best.before],
                "bits": round(step.best.bits, 4),
                "minutes": round(step.best.minutes, 2),
            },
        }
        for step in grade.steps
    ]
    return {
        "grade": grade.to_json(),
        "sections": [{"title": _(section.title), "lines": section.lines} for section in sections],
        "steps": steps,
    }


def page(catalogue: Catalogue, entries: list[Entry], grade: Grade, sections: list[Section]) -> str:
    """The page."""
    job = catalogue.jobs[str(entries[0].data["job"])]
    verdict = _(grade.verdict)
    title = say("{job}: {total:.0f} of 100, {verdict}", job=_(job.title), total=grade.total, verdict=verdict)
    body = [f"<h1>{escape(title)}</h1>"]
    for section in sections:
        body.append(f"<h2>{escape(_(section.title))}</h2>")
        for line in section.lines:
            inset = ' class="in"' if line.startswith(" ") else ""
            body.append(f"<p{inset}>{escape(line.strip())}</p>")
        if section.title == "What was wrong":
            body.append(_plot(catalogue, entries))
        if section.title == "Marks":
            body.append(_marks(grade))
    return html_document(_(job.title), STYLE, body)


def _marks(grade: Grade) -> str:
    rows = "".join(
        f"<tr><td>{escape(_(name))}</td><td>{value:.0f}</td><td>{grade.weights[name]:g}</td></tr>"
        for name, value in grade.criteria.items()
    )
    heads = "".join(f"<th>{escape(head)}</th>" for head in (_("criterion"), _("marks"), _("weight")))
    return f"<table><tr>{heads}</tr>{rows}</table>"


def _plot(catalogue: Catalogue, entries: list[Entry]) -> str:
    """Temperatures inside the loop over the job, as they truly were."""
    job = catalogue.jobs[str(entries[0].data["job"])]
    world = replay_session(catalogue, job, entries).workshop.world
    if not world.samples:
        return ""
    times, states = world.all_samples()[:2]
    keep = np.unique(np.linspace(0, len(times) - 1, POINTS).astype(int))
    times, states = times[keep] / MINUTE, states[keep]
    values = states[:, [index for _name, index, _dashes, _colour in TRACKS]]
    low, high = 10.0 * np.floor(values.min() / 10.0), 10.0 * np.ceil(values.max() / 10.0)
    end = max(float(times[-1]), 1.0)

    def x(minute: float) -> float:
        return MARGIN + (WIDTH - 4.0 * MARGIN) * minute / end

    def y(celsius: float) -> float:
        return HEIGHT - MARGIN - (HEIGHT - 1.5 * MARGIN) * (celsius - low) / max(high - low, 1.0)

    label = escape(_("Temperatures inside the loop over the job"))
    out = [f'<svg viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" role="img" aria-label="{label}" width="100%">']
    for celsius in (low, 0.5 * (low + high), high):
        out.append(f'<text x="2" y="{y(celsius) + 4:.1f}" font-size="11">{celsius:.0f} °C</text>')
    out.append(f'<text x="{x(end) - 30:.1f}" y="{HEIGHT - 14:.1f}" font-size="11">{end:.0f} min</text>')
    names = sorted(range(len(TRACKS)), key=lambda k: -values[-1, k])
    place = MARGIN / 2.0
    for k in names:
        name, _index, dashes, colour = TRACKS[k]
        points = " ".join(f"{x(m):.1f},{y(v):.1f}" for m, v in zip(times.tolist(), values[:, k].tolist(), strict=True))
        out.append(
            f'<polyline fill="none" stroke="{colour}" stroke-width="1.8" stroke-dasharray="{dashes}" '
            f'points="{points}"/>'
        )
        place = max(place + 15.0, min(y(float(values[-1, k])) + 4.0, HEIGHT - MARGIN - 15.0 * (len(names) - 1)))
        out.append(
            f'<text x="{x(end) + 6:.1f}" y="{place:.1f}" font-size="12" fill="{colour}">{escape(_(name))}</text>'
        )
    return "".join([*out, "</svg>"])
