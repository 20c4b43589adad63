"""What can be done at a place: walking there, driving, its checks; at the bench also the repairs."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content

from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import N_, _, say
from scenarios.model import BAY, BENCH, DASH, ROAD, SEAT, Check, Repair
from tui.app.show import took, words
from tui.app.widgets.rows import Row, Rows
from tui.presentation import situation
from tui.presentation.clean import clean
from tui.presentation.first_step import first_step
from tui.presentation.situation import Offer
from tui.presentation.units import Units

WALK, DRIVE = "walk", "drive"
"""Rows that are neither check nor repair."""
FEW = 10
"""Checks up to which no headings are needed."""
TESTS = N_("tests of parts taken out")
_REPAIRS = {
    SEAT: N_("repairs, driver's seat"),
    BAY: N_("repairs, engine bay"),
    DASH: N_("repairs, under the dash"),
}
BARE, OTHER = N_("hands, eyes and ears"), N_("other tools")
_SENSES = frozenset({"hand", "hands", "eyes", "ears", "nose", "lamp"})


class Offers(Rows):
    """Enter does what the cursor is on."""

    HELP = N_("""Enter does it. A ✓ stands before what you have done already, a – before what needs something first:
what that is stands below the list, and Enter does both. A slash (/) and some letters show only what has them in its
name.""")

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Do it", key_display="Enter")]

    def show_offers(self, session: Session, view: str) -> None:
        """Show what can be done at a place; at the bench lie the parts taken out and those for repairs."""
        offers = [offer for offer in situation.checks(session) if offer.thing.place == view]
        done = {reading.check for reading in session.readings}
        if view == BENCH:
            offers, done = offers + situation.repairs(session), done | set(session.repairs)
        rows = []
        if view == ROAD:
            rows.append(Row(DRIVE, Content("  " + _("Drive …"))))
        walk = Row(WALK, Content.styled("→ " + _("walk there, to look round"), "$secondary"), Content(took(0.5)))
        walks = [walk] if view not in (ROAD, session.workshop.place) else []
        rows += walks if view != BENCH else []
        for heading, group in grouped(offers):
            rows += [Row(None, Content(clean(_(heading))))] if heading else []
            rows += [_row(offer, offer.thing.id in done) for offer in group]
        rows += walks if view == BENCH else []  # there is little to see there
        self.show_rows(rows)


def grouped(offers: list[Offer]) -> list[tuple[str, list[Offer]]]:
    """Headings and what stands under each: checks by what is taken in hand, those of the bench together, repairs by
    place.

    Few need no heading; a tool that serves for one or two checks only shares one with others like it.
    """
    if len(offers) < FEW:
        return [("", offers)]
    by_heading: dict[str, list[Offer]] = {}
    for offer in offers:
        by_heading.setdefault(_heading(offer.thing), []).append(offer)
    if all(isinstance(offer.thing, Check) for offer in offers):
        rare = [name for name, group in by_heading.items() if len(group) < 3 and name != BARE]
        by_heading[OTHER] = [offer for name in rare for offer in by_heading.pop(name)]
    order = sorted(by_heading, key=lambda name: (name != BARE, name == OTHER))
    return [(name, by_heading[name]) for name in order if by_heading[name]]


def _heading(thing: Check | Repair) -> str:
    if not isinstance(thing, Check):
        return _REPAIRS[thing.place]
    if thing.place == BENCH:
        return TESTS
    tool = thing.tool.split(",")[0]
    return BARE if tool in _SENSES else tool


def _row(offer: Offer, done: bool) -> Row:
    style = "" if offer.possible else "dim"
    sign = "✓ " if done else "  " if offer.possible else "– "
    left = Content.assemble((sign, "$success" if done else "dim"), (clean(_(offer.thing.name)), style))
    right = Content.styled(took(offer.thing.minutes), "$secondary" if offer.possible else "dim")
    return Row(offer.thing.id, left, right)


def detail(session: Session, name: str | None, units: Units) -> Content:
    """More of what the cursor is on: what Enter does first, tool, where to find it, when it tells most."""
    thing = session.catalogue.checks.get(name or "") or session.catalogue.repairs.get(name or "")
    if thing is None:
        return Content()
    offer = situation.offer(session, thing)
    told = []
    first = first_step(session, Action("check" if isinstance(thing, Check) else "repair", (thing.id,)))
    if first is not None:
        told.append(words(first.offer, units, "bold $warning"))
    if isinstance(thing, Check):
        tool = _(thing.tool)
        if offer.walk:
            tool = say("{tool}, and {minutes} to walk", tool=tool, minutes=took(offer.walk))
        told.append(words(say("With: {tool}.", tool=tool), units))
        if where := session.vehicle.finds.get(thing.id):
            told.append(words(_(where), units))
        if best := situation.best_when(thing):
            told.append(words(say("Tells most with {state}.", state=best), units))
        if thing.readings and not session.mode.exam:
            told.append(words(_("Predict with , (lower), p (as sound) or . (higher)."), units))
    else:
        part, cost = _(thing.part), _(thing.cost)
        told.append(words(say("Renews: {part}. Price of parts: {cost}.", part=part, cost=cost), units))
    return Content(" ").join(told)
