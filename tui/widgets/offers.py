"""What can be done at a place: walking there, driving, its checks; or the repairs."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content

from grading.session import Session
from scenarios.model import PLACES, Check
from tui import situation
from tui.clean import clean
from tui.show import took, words
from tui.situation import Offer
from tui.units import Units
from tui.widgets.rows import Row, Rows

WALK = "walk"
_DRIVES = (("drive", "Drive"),)


class Offers(Rows):
    """Enter does what the cursor is on."""

    HELP = """Enter does it. A ✓ stands before what you have done already, a – before what is not possible now:
why not stands below the list."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Do it", key_display="Enter")]

    def show_offers(self, session: Session, view: str) -> None:
        """Show what can be done at a place, or the repairs."""
        if view == "repairs":
            self.show_rows([_row(offer, offer.thing.id in session.repairs) for offer in situation.repairs(session)])
            return
        taken = {reading.check for reading in session.readings}
        rows = [
            _row(offer, offer.thing.id in taken) for offer in situation.checks(session) if offer.thing.place == view
        ]
        if view == PLACES[3]:
            rows = [*(Row(verb, Content(f"  {name} …")) for verb, name in _DRIVES), *rows]
        elif view != session.workshop.place:
            walk = Content.styled("→ walk there, to look round", "$secondary")
            rows = [*rows, Row(WALK, walk, Content(took(0.5)))]
        self.show_rows(rows)


def _row(offer: Offer, done: bool) -> Row:
    style = "" if offer.possible else "dim"
    sign = "✓ " if done else "  " if offer.possible else "– "
    left = Content.assemble((sign, "$success" if done else "dim"), (clean(offer.thing.name), style))
    right = Content.styled(took(offer.thing.minutes), "$secondary" if offer.possible else "dim")
    return Row(offer.thing.id, left, right)


def detail(session: Session, name: str | None, units: Units) -> Content:
    """More of what the cursor is on: why not now, tool, where to find it, when it tells most."""
    thing = session.catalogue.checks.get(name or "") or session.catalogue.repairs.get(name or "")
    if thing is None:
        return Content()
    offer = situation.offer(session, thing)
    told = []
    if offer.why_not:
        told.append(Content.assemble(("Not now: ", "bold $warning"), words(f"{offer.why_not}.", units)))
    if isinstance(thing, Check):
        walk = f", and {took(offer.walk)} to walk" if offer.walk else ""
        told.append(words(f"With: {thing.tool}{walk}.", units))
        if where := session.vehicle.finds.get(thing.id):
            told.append(words(where, units))
        if best := situation.best_when(thing):
            told.append(words(f"Tells most with {best}.", units))
    else:
        told.append(words(f"Renews: {thing.part}. Price of parts: {thing.cost}.", units))
    return Content(" ").join(told)
