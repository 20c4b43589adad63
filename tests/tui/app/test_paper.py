"""Text that changes before its last layout was done still gets the room that it takes."""

from __future__ import annotations

import asyncio

from textual.app import App, ComposeResult
from textual.content import Content

from tui.app.widgets.paper import Paper


class Sheet(App[None]):
    def compose(self) -> ComposeResult:
        yield Paper(id="paper")


def test_a_text_written_between_two_layouts_is_shown_whole() -> None:
    async def run() -> None:
        app = Sheet()
        async with app.run_test(size=(40, 24)) as pilot:
            paper = app.query_one(Paper)
            paper.styles.height = "auto"
            await pilot.pause()
            for lines in range(2, 12):
                paper.write(Content("\n".join(["line"] * lines)))
                app.screen._clear_arrangement_cache()  # as when something beside it moves just then
                app.screen._refresh_layout(app.size)
                paper.write(Content("\n".join(["line"] * (lines + 1))))
                await pilot.pause()
                assert paper.size.height == lines + 1

    asyncio.run(run())
