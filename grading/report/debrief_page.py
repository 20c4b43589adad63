"""The debrief as one self-contained HTML page: no scripts, all texts escaped."""

from __future__ import annotations

from html import escape
from itertools import zip_longest
from typing import Any

import numpy as np

from grading.marks.grade import Grade
from grading.report.action_words import describe
from grading.report.html_document import html_document
from grading.report.section import Section
from grading.report.timeline import CURVES, Event, Way, scale
from grading.sessions.record import RecordEntry
from scenarios.language import _, say, shown
from scenarios.model import Catalogue

WIDTH, HEIGHT, MARGIN = 720.0, 260.0, 46.0
POINTS = 240
"""Most points of a curve."""
LINES = (("", "#a02020"), ("7 4", "#a05a00"), ("2 3", "#1d5fa0"), ("10 3 2 3", "#2f6f3a"))
"""Dash pattern and colour of each curve, which also has its name so that colour is not needed."""
ROW = 26.0
"""Height of a row of symbols."""

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


def page(
    catalogue: Catalogue, entries: list[RecordEntry], grade: Grade, sections: list[Section], ways: tuple[Way, Way]
) -> str:
    """The page; ways: timelines of the person and of the reference."""
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
            body.append(_plot(ways))
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


def _plot(ways: tuple[Way, Way]) -> str:
    """Plot of true temperatures over the job, above the actions of the person and of the reference."""
    mine = ways[0]
    if not len(mine.times):
        return ""
    keep = np.unique(np.linspace(0, len(mine.times) - 1, POINTS).astype(int))
    times, values = mine.times[keep], mine.temperatures[:, keep]
    low, high = scale((mine,))
    end = max(*(way.end for way in ways), 1.0)

    def x(minute: float) -> float:
        return MARGIN + (WIDTH - 4.5 * MARGIN) * minute / end

    def y(celsius: float) -> float:
        return HEIGHT - MARGIN - (HEIGHT - 1.5 * MARGIN) * (celsius - low) / max(high - low, 1.0)

    label = escape(_("Temperatures over the job, and what was done when"))
    whole = HEIGHT + 2.0 * ROW
    out = [f'<svg viewBox="0 0 {WIDTH:.0f} {whole:.0f}" role="img" aria-label="{label}" width="100%">']
    for celsius in (low, 0.5 * (low + high), high):
        out.append(f'<text x="2" y="{y(celsius) + 4:.1f}" font-size="11">{celsius:.0f} °C</text>')
        out.append(f'<path stroke="#ccc" d="M{x(0.0):.1f} {y(celsius):.1f}H{x(end):.1f}"/>')
    out.append(f'<text x="{x(end) - 30:.1f}" y="{HEIGHT - 28:.1f}" font-size="11">{end:.0f} min</text>')
    place = MARGIN / 2.0
    for k in sorted(range(len(CURVES)), key=lambda k: -values[k, -1]):
        dashes, colour = LINES[k]
        points = " ".join(f"{x(m):.1f},{y(v):.1f}" for m, v in zip(times.tolist(), values[k].tolist(), strict=True))
        out.append(
            f'<polyline fill="none" stroke="{colour}" stroke-width="1.8" stroke-dasharray="{dashes}" '
            f'points="{points}"/>'
        )
        place = max(place + 15.0, min(y(float(values[k, -1])) + 4.0, HEIGHT - MARGIN - 15.0 * (len(CURVES) - 1)))
        name = escape(_(CURVES[k]))
        out.append(f'<text x="{x(end) + 6:.1f}" y="{place:.1f}" font-size="12" fill="{colour}">{name}</text>')
    for row, (name, way) in enumerate(zip((_("you"), _("best")), ways, strict=True)):
        base = HEIGHT - MARGIN / 2.0 + ROW * (row + 0.6)
        out.append(f'<text x="2" y="{base:.1f}" font-size="12">{escape(name)}</text>')
        for event in way.events:
            told = escape(say("minute {minute:.1f}: {what}", minute=event.minute, what=event.what))
            out.append(
                f'<text x="{x(event.minute):.1f}" y="{base:.1f}" font-size="13" font-weight="bold" '
                f'text-anchor="middle">{event.sign}<title>{told}</title></text>'
            )
            out.append(f'<path stroke="#999" d="M{x(event.minute):.1f} {base - 12:.1f}v-6"/>')
    out.append("</svg>")
    key = escape(_("c check   d drive   i engine run   r repair   = diagnosis"))
    return "".join(out) + f"<p>{key}</p>" + _events(ways)


def _events(ways: tuple[Way, Way]) -> str:
    """Table of the actions of the person beside those of the reference."""
    heads = f"<tr><th>{escape(_('you'))}</th><th>{escape(_('the best route'))}</th></tr>"

    def cell(event: Event | None) -> str:
        told = say("minute {minute:.1f}: {what}", minute=event.minute, what=event.what) if event else ""
        return f"<td>{escape(told)}</td>"

    rows = zip_longest(ways[0].events, ways[1].events)
    return f"<table>{heads}{''.join(f'<tr>{cell(a)}{cell(b)}</tr>' for a, b in rows)}</table>"
