"""A list of lines with something to the right of each: one widget for jobs, checks, repairs and suspects."""

from __future__ import annotations

from typing import NamedTuple

from rich.segment import Segment
from textual import events
from textual._widget_navigation import Direction
from textual.content import Content
from textual.strip import Strip
from textual.widgets import OptionList
from textual.widgets.option_list import Option


class Row(NamedTuple):
    """id, None for a heading; left, cut where there is no room; right, kept."""

    id: str | None
    left: Content
    right: Content = Content()


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
        self._shown: tuple[int, list[Row]] = (0, [])

    def show_rows(self, rows: list[Row]) -> None:
        """Show these rows; the cursor stays on the row it was on, if that is still there."""
        self._rows = rows
        self._lay_out()

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

    def on_resize(self) -> None:
        """Lay the rows out anew: what stands to the right moves with the edge."""
        self._lay_out()

    def _get_left_gutter_width(self) -> int:
        return 1

    def render_line(self, y: int) -> Strip:
        """One line, the cursor's with a sign before it: its colour alone is not enough."""
        strip = super().render_line(y)
        style = next((segment.style for segment in strip), None)
        row = style.meta.get("option") if style else None
        if row is None:  # below the last one, where the base class leaves no room for a sign
            return strip
        sign = ("▸" if self.has_focus else "▹") if row == self.highlighted else " "
        return Strip([Segment(sign, style), *strip], strip.cell_length + 1)

    def _lay_out(self) -> None:
        width = self.scrollable_content_region.width - self._get_left_gutter_width()
        if width <= 0 or self._shown == (width, self._rows):
            return
        self._shown = (width, self._rows)
        kept, top = self.current, self.scroll_y
        self.clear_options()
        self.add_options([Option(self._line(row, width), id=row.id, disabled=row.id is None) for row in self._rows])
        ids = [row.id for row in self._rows]
        usable = [index for index, name in enumerate(ids) if name is not None]
        if usable:
            self.highlighted = ids.index(kept) if kept is not None and kept in ids else usable[0]
            self.scroll_to(y=top if kept in ids else 0, animate=False, force=True)

    def _move_page(self, direction: Direction) -> None:
        if self._index_to_line:  # empty between new rows and their first drawing, where the base class would fail
            super()._move_page(direction)

    @staticmethod
    def _line(row: Row, width: int) -> Content:
        room = width - row.right.cell_length - (1 if row.right else 0)
        left = _shortened(row.left, max(room, 0))
        return Content.assemble(left, " ", row.right) if row.right else left

    async def _on_click(self, event: events.Click) -> None:
        event.prevent_default()
        clicked = event.style.meta.get("option")
        if clicked is None or self._options[clicked].disabled:
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
