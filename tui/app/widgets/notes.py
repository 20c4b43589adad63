"""The notebook on the screen: readings in rows, ordered as one likes, compared two at a time."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import DataTable

from scenarios.language import N_, _, decimal, say
from scenarios.language import shown as shown_in_words
from tui.app.widgets.wrapping import wrapped
from tui.presentation.clean import clean
from tui.presentation.notebook import Note, difference, ordered
from tui.presentation.units import Units, in_units
from tui.text.phrases import ORDERS

SUSPECT_MARKS = ("", "odd", "sound")
_SIGNS = {"": " ", "odd": "!", "sound": "✓"}


def _holding(held: Note) -> str:
    return say("holding {label}: {shown}", label=_(held.reading.label), shown=shown_in_words(held.reading.shown))


def _whole(text: str, room: int, style: str = "") -> Text:
    """All of a text in lines of so many cells."""
    return Text("\n".join(line.plain for line in wrapped(Content(text), room, room)), style, no_wrap=True)


class Notes(DataTable[Text]):
    """One row a reading. ``o`` orders, ``m`` marks, ``c`` holds a reading for comparison with the one at the cursor."""

    DEFAULT_CSS = """
    Notes { height: 1fr; background: transparent; scrollbar-size-vertical: 1; scrollbar-size-horizontal: 1; }
    Notes > .datatable--header { background: transparent; color: $secondary; text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("o", "order", "Order", show=False),
        Binding("m", "mark", "Mark", show=False),
        Binding("c", "hold", "Compare", show=False),
    ]

    HELP = N_("""O orders the readings by time, by what was read, or by what came of it. M marks one as odd or sound.
C holds one, and the line below compares it with the reading at the cursor.""")

    class Marked(Message):
        """A request to mark a reading."""

        def __init__(self, number: int, mark: str) -> None:
            super().__init__()
            self.number, self.mark = number, mark

    class Compared(Message):
        """The comparison changed; text: in words, empty if no reading is selected for comparison."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, cursor_type="row", zebra_stripes=False, cell_padding=0)
        self.order = ORDERS[0]
        self._notes: list[Note] = []
        self._units: Units = "si"
        self._held: int | None = None

    def show_notes(self, notes: list[Note], units: Units) -> None:
        """Show these readings."""
        if (notes, units) != (self._notes, self._units) or not self.columns:
            self._notes, self._units = notes, units
            self._fill(follow=True)

    def on_resize(self) -> None:
        """Columns share the width."""
        self._fill(follow=False)

    def reword(self) -> None:
        """Headings and readings in the language chosen."""
        self._fill(follow=False)

    @property
    def current(self) -> Note | None:
        """The reading at the cursor."""
        rows = self._ordered()
        return rows[self.cursor_row] if 0 <= self.cursor_row < len(rows) else None

    def _ordered(self) -> list[Note]:
        return ordered(self._notes, self.order)

    def _fill(self, follow: bool) -> None:
        width = self.size.width - 1
        if width <= 0:
            return
        kept, rows = (self.current if self.row_count else None), self._ordered()
        self.clear(columns=True)
        sign = {order: "▾" if order == self.order else "" for order in ORDERS}
        label, shown, state = self._widths(width)
        self.add_column(Text(_("min") + sign["time"]), width=4)
        self.add_column(Text(" "), width=2)
        self.add_column(Text(_("reading of") + sign["point"]), width=label)
        if shown:
            self.add_column(Text(_("shows") + sign["reading"]), width=shown)
        if state:
            self.add_column(Text(_("state")), width=state)
        for note in rows:
            held = ">" if note.reading.number == self._held else _SIGNS[note.mark]
            name = _whole(clean(_(note.reading.label)), label)
            shows = clean(in_units(shown_in_words(note.reading.shown), self._units)) + self._since(note)
            figure = _whole(shows, shown or label, "bold")
            cells = [Text(f"{int(note.reading.minute):3d} "), Text(held)]
            cells += [name, figure] if shown else [Text("\n").join([name, figure])]
            if state:
                after = _("after repair, ") if note.repairs else ""
                cells.append(Text(clean(after + note.state), overflow="ellipsis", no_wrap=True))
            self.add_row(*cells, height=max(len(cell.plain.splitlines()) for cell in cells))
        if rows:
            newest = max(rows, key=lambda note: note.reading.number)
            wanted = newest if follow or kept not in rows else kept
            self.move_cursor(row=rows.index(wanted), animate=False)
        self._compare()

    def _since(self, note: Note) -> str:
        """In the order by point, by how much the figure has changed since the reading before of the same point."""
        same = [other for other in self._notes if other.reading.label == note.reading.label]
        before = same[same.index(note) - 1] if same.index(note) else None
        if self.order != "point" or note.value is None or before is None or before.value is None:
            return ""
        scale = 1.8 if note.unit == "°C" and self._units == "us" else 1.0
        return decimal(f" ({(note.value - before.value) * scale:+.{0 if note.unit == '°C' else 2}f})")

    def _widths(self, width: int) -> tuple[int, int, int]:
        """Columns for label, reading and state; no reading where it goes below its label, no state where no room is."""
        room = width - 6
        if room < 40:
            return room, 0, 0
        longest = max((len(shown_in_words(note.reading.shown)) for note in self._notes), default=8) + (
            6 if self.order == "point" else 0
        )
        shown = min(max(longest + 1, 8), 30)
        state = min(max(room - shown - 36, 0), 44)
        state = 0 if state < 16 else state
        return room - shown - state, shown, state

    def _compare(self) -> None:
        held = next((note for note in self._notes if note.reading.number == self._held), None)
        current = self.current
        if held is None or current is None or held is current:
            self.post_message(self.Compared("" if held is None else _holding(held)))
        else:
            self.post_message(self.Compared(difference(held, current, self._units)))

    def on_data_table_row_highlighted(self) -> None:
        """Another reading stands beside the one held."""
        if self._held is not None:
            self._compare()

    def action_order(self) -> None:
        """The next order."""
        self.order = ORDERS[(ORDERS.index(self.order) + 1) % len(ORDERS)]
        self._fill(follow=False)

    def action_mark(self) -> None:
        """The next mark for the reading at the cursor."""
        if self.current is not None:
            mark = SUSPECT_MARKS[(SUSPECT_MARKS.index(self.current.mark) + 1) % len(SUSPECT_MARKS)]
            self.post_message(self.Marked(self.current.reading.number, mark))

    def action_hold(self) -> None:
        """Hold the reading at the cursor, or let go of the one held."""
        current = self.current
        if current is not None:
            self._held = None if self._held == current.reading.number else current.reading.number
            self._fill(follow=False)
