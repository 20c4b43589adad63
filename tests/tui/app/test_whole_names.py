"""Names are read whole: the longest checks, repairs, readings and faults of both languages, on small screens too."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from textual.content import Content
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import Static

from scenarios.language import _, choose
from scenarios.model import Catalogue
from tests.packaged import packaged_catalogue
from tests.tui.graded import fixed_debrief
from tests.tui.program import play, press, settle, strips_of, text_of
from tests.tui.small import small_catalogue
from tui.app.app import Lukewarm
from tui.app.screens.debrief import Debrief
from tui.app.screens.workshop import WorkshopScreen
from tui.app.widgets.notes import Notes
from tui.app.widgets.offers import Offers
from tui.app.widgets.rows import Rows
from tui.app.widgets.suspects import Suspects

SIZES = [(80, 24), *(pytest.param(size, marks=pytest.mark.slow) for size in ((100, 30), (120, 36)))]
CODES = ["de", *(pytest.param(code, marks=pytest.mark.slow) for code in ("en", "en_US"))]
"""German names are the longest; the others on request."""
WHOLE = packaged_catalogue()


def _longest(names: list[str]) -> list[str]:
    """Names by their length in the language chosen, the longest first."""
    return sorted(set(names), key=lambda name: (-len(_(name)), name))


def _long_named() -> Catalogue:
    """The small catalogue with the longest names that there are in the language chosen."""
    small = small_catalogue()
    checks = _longest([check.name for check in WHOLE.checks.values()])
    labels = _longest([spec.label for check in WHOLE.checks.values() for spec in check.readings])
    repairs = _longest([repair.name for repair in WHOLE.repairs.values()])
    faults = _longest([fault.name for fault in WHOLE.faults.values()])
    renamed = {}
    for k, check in enumerate(small.checks.values()):
        specs = tuple(replace(check.readings[0], label=labels[4 * k + n]) for n in range(4))  # as many as any check has
        renamed[check.id] = replace(check, name=checks[k], readings=specs)
    return replace(
        small,
        checks=renamed,
        repairs={one.id: replace(one, name=repairs[k]) for k, one in enumerate(small.repairs.values())},
        faults={one.id: replace(one, name=faults[k]) for k, one in enumerate(small.faults.values())},
    )


def _lines(app: Lukewarm, widget: Widget) -> list[str]:
    """What is seen of a widget, line by line."""
    region = widget.region
    return [strip.crop(region.x, region.right).text for strip in strips_of(app)[region.y : region.bottom]]


def _seen(app: Lukewarm, widget: Widget) -> str:
    """The same, its lines put together."""
    return " ".join(line.strip() for line in _lines(app, widget))


def _words(widget: Static) -> str:
    """All that a widget holds, also where it must be scrolled."""
    assert isinstance(widget.content, Content)
    assert "…" not in widget.content.plain
    return " ".join(widget.content.plain.split())


def _is_read_in(name: str, seen: str) -> bool:
    """Whether a name is read whole: its words in their order, whatever stands at the edge of its first line between."""
    between = r"\s+(?:[^…]{0,24}?\s)?"
    return re.search(between.join(map(re.escape, _(name).split())), seen) is not None


async def _each_row(app: Lukewarm, pilot: Pilot[Any], rows: Rows, names: dict[str, str]) -> None:
    for row, name in names.items():
        rows.move_to(row)
        await settle(pilot)
        assert _is_read_in(name, _seen(app, rows)), (name, text_of(app))


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_no_name_is_cut_in_the_workshop(size: tuple[int, int], code: str) -> None:
    choose(code)
    catalogue = _long_named()
    at = {check.id: check for check in catalogue.checks.values()}

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        await press(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, WorkshopScreen)
        offers = screen.query_one(Offers)
        for key, place in (("1", "driver's seat"), ("2", "engine bay"), ("4", "on the road")):
            await press(pilot, key)
            names = {check.id: check.name for check in at.values() if check.place == place}
            assert names
            await _each_row(app, pilot, offers, names)
        await press(pilot, "5")
        await _each_row(app, pilot, offers, {one.id: one.name for one in catalogue.repairs.values()})
        at_the_edge = [line for line in _lines(app, offers) if line.rstrip().endswith("15 min")]
        assert len(at_the_edge) == 1
        assert len(at_the_edge[0].rstrip()) >= offers.region.width - 2
        await press(pilot, "s")
        faults = {one.id: one.name for one in catalogue.faults.values()}
        await _each_row(app, pilot, screen.query_one(Suspects), faults)
        await press(pilot, "2")
        offers.move_to("heater-feed-infrared")
        await press(pilot, "enter")
        said = _seen(app, screen.query_one("#said"))
        assert all(_is_read_in(f"{_(spec.label)}:", said) for spec in at["heater-feed-infrared"].readings), said
        assert len(re.findall(r"°C", said)) == 4
        await press(pilot, "n")
        notes = screen.query_one(Notes)
        for number, spec in enumerate(at["heater-feed-infrared"].readings):
            notes.move_cursor(row=number)
            await settle(pilot)
            assert _is_read_in(spec.label, _seen(app, notes)), (spec.label, text_of(app))
        await press(pilot, "s", "enter")
        assert _is_read_in(list(faults.values())[-1], " ".join(text_of(app).split()))
        await press(pilot, "enter", "5")
        offers.move_to("top-up")
        await press(pilot, "enter", "enter", "x")
        told = " ".join(text_of(app).split())
        assert _is_read_in(catalogue.repairs["top-up"].name, told)
        assert "…" not in told

    play(catalogue, part, size)


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_no_name_is_cut_in_the_debrief(size: tuple[int, int], code: str) -> None:
    choose(code)
    catalogue = _long_named()
    debrief = fixed_debrief(catalogue)

    async def part(app: Lukewarm, pilot: Pilot[Any]) -> None:
        app.push_screen(debrief)
        await settle(pilot)
        assert isinstance(app.screen, Debrief)
        await press(pilot, "3")
        names = {
            row: told.what for row, told in debrief.actions.items() if told.entry.data["verb"] in ("check", "diagnose")
        }
        assert len(names) == 3
        for row, name in names.items():
            debrief.query_one(Rows).move_to(row)
            await settle(pilot)
            assert _is_read_in(name, _seen(app, debrief.query_one("#steps"))), (name, text_of(app))
            bars = _words(debrief.query_one("#step-text", Static))
            assert all(_(fault.name) in bars for fault in catalogue.faults.values()), bars
        await press(pilot, "5")
        told = _words(debrief.query_one("#text", Static))
        assert [word for name in names.values() for word in name.split() if word not in told] == []

    play(catalogue, part, size)
