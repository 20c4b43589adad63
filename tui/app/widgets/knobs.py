"""The controls of the vehicle in a row: each shows its key, its name and how it stands, and can be clicked."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import HorizontalGroup
from textual.content import Content

from scenarios.language import N_, _, say
from tui.app.widgets.paper import Paper
from tui.presentation.situation import Controls


class Knob(Paper):
    """One control. action: of the screen, done on a click; key: shown before the name."""

    DEFAULT_CSS = """
    Knob { width: auto; height: 1; margin-right: 1; }
    Knob:hover { background: $panel; }
    """

    def __init__(self, key: str, name: str, action: str, other_way: str = "") -> None:
        super().__init__(id=f"knob-{name}")
        self.key, self.label, self.action, self.other_way = key, name, action, other_way
        self.reword()
        self.turn("")

    def reword(self) -> None:
        """What it is, in the language chosen; how it stands is told anew with every turn."""
        self.tooltip = say("{name}: key {key}", name=_(self.label), key=self.key)

    def turn(self, stands: str, lit: bool = False) -> None:
        """Show how it stands; lit: that it is on."""
        label = "" if self.label == "air" else f"{_(self.label)} "
        self.write(
            Content.assemble((self.key, "bold $primary"), f" {label}", (stands, "bold" if lit else "$secondary"))
        )

    async def on_click(self, event: events.Click) -> None:
        """Turn it, with shift the other way where it has one."""
        await self.screen.run_action(self.other_way if event.shift and self.other_way else self.action)


class Knobs(HorizontalGroup):
    """All controls."""

    DEFAULT_CSS = """
    Knobs { height: 1; width: auto; }
    """

    def compose(self) -> ComposeResult:
        """Left to right as a hand finds them: what makes it run, then what makes it warm."""
        yield Knob("i", N_("ignition"), "ignition")
        yield Knob("e", N_("engine"), "engine")
        yield Knob("+-", N_("heater"), "heater(10)", "heater(-10)")
        yield Knob("b", N_("blower"), "blower(1)", "blower(-1)")
        yield Knob("v", N_("vents"), "vents")
        yield Knob("a", N_("air"), "air")

    def stand(self, controls: Controls) -> None:
        """Show how all of them stand."""

        def turn(name: str, stands: str, lit: bool) -> None:
            self.query_one(f"#knob-{name}", Knob).turn(stands, lit)

        turn("ignition", _("run") if controls.ignition == "on" else _("off"), controls.ignition == "on")
        turn("engine", _("on") if controls.engine == "running" else _("off"), controls.engine == "running")
        turn("heater", f"{controls.heater}", controls.heater > 0)
        turn("blower", f"{controls.blower}", controls.blower > 0)
        turn("vents", _(controls.vents), False)
        turn("air", _("inside") if controls.recirculation == "on" else _("fresh"), controls.recirculation == "on")
