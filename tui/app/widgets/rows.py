"""A list of lines with something to the right of each: one widget for jobs, checks, repairs and suspects."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, NamedTuple

from rich.segment import Segment
from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.strip import Strip
from textual.visual import Visual
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from scenarios.language import _
from tui.app.widgets.wrapping import wrapped

if TYPE_CHECKING:
    from textual.css.styles import RulesMap
    from textual.style import Style
    from textual.visual import RenderOptions


class Row(NamedTuple):
    """id, None for a heading; left, wrapped where there is no room; right, kept at the edge of the first line; indent:
    cells by which the lines after the first are set in; also: what it is found by beside its name; below: further
    lines, wrapped as well.
    """

    id: str | None
    left: Content
    right: Content = Content()
    indent: int = 2
    also: str = ""
    below: Content = Content()


class _Line(Visual):
    """A row in the width there is: a cell for the cursor's sign, left, right at the edge of the first line."""

    def __init__(self, row: Row) -> None:
        self.row = row

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:
        """Room for all of it [cells]."""
        return 1 + self.row.left.cell_length + 1 + self.row.right.cell_length

    def get_height(self, rules: RulesMap, width: int) -> int:
        """As many lines as the left part takes."""
        return len(self._parts(width))

    def _parts(self, width: int) -> list[Content]:
        right = self.row.right
        first = width - 1 - right.cell_length - (1 if right else 0)
        others = max(width - 1 - self.row.indent, 1)
        below = wrapped(self.row.below, others, others) if self.row.below else []
        return [*wrapped(self.row.left, max(first, 1), others), *below]

    def render_strips(self, width: int, height: int | None, style: Style, options: RenderOptions) -> list[Strip]:
        """The lines."""
        first, *others = self._parts(width)
        right = self.row.right
        room = width - 1 - right.cell_length - (1 if right else 0)
        parts = (" ", first.truncate(max(room, 0), pad=True), *((" ", right) if right else ()))
        lines = [Content.assemble(*parts)]
        lines += [Content.assemble(" " * (1 + self.row.indent), part) for part in others]
        return [strip for line in lines for strip in line.render_strips(width, 1, style, options)]


class Rows(OptionList):
    """Rows to move through. A click moves to a row, a double click does what Enter does."""

    DEFAULT_CSS = """
    Rows { border: none; padding: 0; background: transparent; height: 1fr; scrollbar-size-vertical: 1;
        scrollbar-gutter: stable; }
    Rows:focus { border: none; background-tint: transparent 0%; }
    Rows > .option-list--option { padding: 0; }
    Rows > .option-list--option-disabled { color: $secondary; text-style: bold; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("slash", "find", "Find by name", show=False, key_display="/")]

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes, markup=False)
        self._rows: list[Row] = []
        """Those that are shown."""
        self._all: list[Row] = []
        self._typed: str | None = None
        """What is looked for, None while nothing is."""

    def show_rows(self, rows: list[Row]) -> None:
        """Show these rows; the cursor stays on the row it was on, if that is still there."""
        self._all = rows
        self._show()

    def _show(self) -> None:
        rows = self._found()
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

    @property
    def at_the_top(self) -> bool:
        """Whether the cursor is on the first row that can be chosen."""
        return self.current == next((row.id for row in self._rows if row.id is not None), None)

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
        if row is None or row != self.highlighted or self._goes_on(y, row):
            return strip
        return Strip([Segment("▸" if self.has_focus else "▹", style), *strip.crop(1)], strip.cell_length)

    def _goes_on(self, y: int, row: int) -> bool:
        """Whether a line is not the first one of its row."""
        if self.scroll_offset.y + y == 0:
            return False
        style = next((segment.style for segment in super().render_line(y - 1)), None)
        return bool(style) and style.meta.get("option") == row

    # -- finding by name --------------------------------------------------------------------------------------------

    def action_find(self) -> None:
        """Take what is typed as part of a name, until Enter or Escape."""
        self._typed = self._typed or ""
        self._show()

    def on_key(self, event: events.Key) -> None:
        """While something is looked for, letters belong to its name."""
        if self._typed is None:
            return
        if event.is_printable and event.character is not None:
            self._find(self._typed + event.character)
        elif event.key == "backspace":
            self._find(self._typed[:-1] if self._typed else None)
        elif event.key == "escape":
            self._find(None)
        else:
            if event.key == "enter":
                self._find(None)  # and what Enter does is done to the row at the cursor
            return
        event.stop()
        event.prevent_default()

    def on_blur(self) -> None:
        """Who goes elsewhere looks for nothing more."""
        if self._typed is not None:
            self._find(None)

    def _find(self, typed: str | None) -> None:
        self._typed = typed
        self._show()

    def _found(self) -> list[Row]:
        """The rows that have all the words typed in their names, under their headings; all where nothing is typed."""
        if self._typed is None:
            return self._all
        wanted = self._typed.casefold().split()
        found: list[Row] = [Row(None, Content.assemble(("/", "bold $primary"), f" {self._typed}▏"))]
        heading: Row | None = None
        for row in self._all:
            if row.id is None:
                heading = row
            elif all(word in f"{row.left.plain} {row.id} {row.also}".casefold() for word in wanted):
                found += [heading] if heading is not None else []
                found.append(row)
                heading = None
        if len(found) == 1:
            found.append(Row(None, Content(_("Nothing by that name"))))
        return found

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
