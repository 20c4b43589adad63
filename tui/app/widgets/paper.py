"""Text on the screen that is drawn again only where it changes, and moves its neighbours only where its size does."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static


class Paper(Static):
    """Plain text; nothing in it is markup."""

    def __init__(self, content: Content | str = "", *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(
            Content(content) if isinstance(content, str) else content, id=id, classes=classes, markup=False
        )

    @property
    def content_cells(self) -> int:
        """Cells of what is shown, were it one line."""
        return self.content.cell_length if isinstance(self.content, Content) else len(str(self.content))

    def write(self, content: Content) -> None:
        """Show this."""
        before = self.content
        if isinstance(before, Content) and before.plain == content.plain and before.spans == content.spans:
            return
        moves = not (isinstance(before, Content) and self._fills_as_much(before, content))
        if moves:
            # Textual remembers the size of what stood here by how often its layout was asked for and its styles were
            # changed. The first does not count up while a layout is pending: where another comes first, the size of
            # what stood here then would be taken for this one's. The second counts up whatever the change.
            self.styles.merge_rules({})
        self.update(content, layout=moves)

    def _fills_as_much(self, before: Content, content: Content) -> bool:
        """Whether two texts take the same room: a new layout of the whole screen costs more than all the drawing."""
        styles, width = self.styles, self.content_size.width
        rules = styles.get_rules()
        if not width:
            return False
        if styles.is_auto_width and before.cell_length != content.cell_length:
            return False
        return not styles.is_auto_height or before.get_height(rules, width) == content.get_height(rules, width)
