"""A list of lines with something to the right of each: one widget for jobs, checks, repairs and suspects."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from rich.segment import Segment
from textual import events
from textual.content import Content
from textual.strip import Strip
from textual.visual import Visual
from textual.widgets import OptionList
from textual.widgets.option_list import Option

if TYPE_CHECKING:
    from textual.css.styles import RulesMap
    from textual.style import Style
    from textual.visual import RenderOptions


class Row(NamedTuple):
    """id, None for a heading; left, cut where there is no room; right, kept."""

    id: str | None
    left: Content
    right: Content = Content()


class _Line(Visual):
    """A row in the width there is: a cell for the cursor's sign, left, right at the edge."""

    def __init__(self, row: Row) -> None:
        self.row = row

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:
        """Room for all of it [cells]."""
        return 1 + self.row.left.cell_length + 1 + self.row.right.cell_length

    def get_height(self, rules: RulesMap, width: int) -> int:
        """Always one line."""
        return 1

    def render_strips(self, width: int, height: int | None, style: Style, options: RenderOptions) -> list[Strip]:
        """The line."""
        left, right = self.row.left, self.row.right
        room = width - 1 - right.cell_length - (1 if right else 0)
        parts = (" ", _shortened(left, max(room, 0)), *((" ", right) if right else ()))
        return Content.assemble(*parts).render_strips(width, 1, style, options)


class Rows(OptionList):
    """Rows to move through. A click moves to a row, a double click does what Enter does."""

    DEFAULT_CSS = """
    Rows { border: none; padding: 0; background: transparent; height: 1fr; scrollbar-size-vertical: 1;
        scrollbar-gutter: stable; }
    Rows:focus { border: none; background-tint: transparent 0%; }
    Rows > .option-list--option { padding: 0; }
    Rows > .option-list--option-disabled { color: $secondary; text-style: bold; }
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes, markup=False)
        self._rows: list[Row] = []

    def show_rows(self, rows: list[Row]) -> None:
        """Show these rows; the cursor stays on the row it was on, if that is still there."""
        if rows == self._rows:
            return
        kept, top = self.current, self.scroll_y
        self._rows = rows
        self.set_options(Option(_Line(row), id=row.id, disabled=row.id is None) for row in rows)
        ids = [row.id for row in rows]
        usable = [index for index, name in enumerate(ids) if name is not None]
        if usable:
            self.highlighted = ids.index(kept) if kept is not None and kept in ids else usable[0]
            if self.is_mounted:
                self.scroll_to(y=top if kept in ids else 0, animate=False, force=True)

    @property
    def current(self) -> str | None:
        """Id of the row with the cursor."""
        if self.highlighted is None or self.highlighted >= self.option_count:
            return None
        return self.get_option_at_index(self.highlighted).id

    def move_to(self, row: str) -> None:
        """Put the cursor on a row."""
        for index, known in enumerate(self._rows):
            if known.id == row:
                self.highlighted = index

    def render_line(self, y: int) -> Strip:
        """One line, the cursor's with a sign before it: its colour alone is not enough."""
        strip = super().render_line(y)
        style = next((segment.style for segment in strip), None)
        row = style.meta.get("option") if style else None
        if row is None or row != self.highlighted:
            return strip
        return Strip([Segment("▸" if self.has_focus else "▹", style), *strip.crop(1)], strip.cell_length)

    def action_page_up(self) -> None:
        """Move up by what can be seen."""
        if self.scrollable_content_region:  # the base class fails where there is no room yet
            super().action_page_up()

    def action_page_down(self) -> None:
        """Move down by what can be seen."""
        if self.scrollable_content_region:
            super().action_page_down()

    def on_click(self, event: events.Click) -> None:
        """Move to the row; only a double click does what Enter does."""
        event.prevent_default()
        clicked = event.style.meta.get("option")
        if clicked is None or self.get_option_at_index(clicked).disabled:
            return
        self.highlighted = clicked
        if event.chain > 1:
            self.action_select()


def _shortened(text: Content, room: int) -> Content:
    """The text in so many cells, cut in its middle: names that begin alike often differ at their ends."""
    if text.cell_length > room > 12:
        end = room * 3 // 5
        text = Content.assemble(text[: room - end - 1], "…", text[len(text) - end :])
    return text.truncate(room, ellipsis=True, pad=True)
