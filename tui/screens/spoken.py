"""What keys do, in the language chosen: on the footer, in the help, in the palette."""

from __future__ import annotations

from dataclasses import replace

from textual.binding import ActiveBinding
from textual.screen import Screen

from scenarios.language import _


class Spoken(Screen):
    """Comes before Screen or ModalScreen among the bases of a screen of ours."""

    @property
    def active_bindings(self) -> dict[str, ActiveBinding]:
        """As Textual finds them; the English descriptions they are written with put into the language chosen."""
        return {
            key: active._replace(binding=replace(active.binding, description=_(active.binding.description)))
            for key, active in super().active_bindings.items()
        }
