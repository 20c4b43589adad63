"""The coolant loop drawn with what truly was in it: temperatures, flows, openings."""

from __future__ import annotations

from textual.content import Content

from sim import states as st
from tui.truth import Truth
from tui.units import Units, fahrenheit

WIDTH = 38


def loop_drawing(truth: Truth, units: Units) -> list[Content]:
    """Nine lines of WIDTH cells: radiator above, engine and pump between, heater core below."""
    y = truth.state

    def degrees(index: int) -> str:
        value = float(y[index])
        return f"{fahrenheit(value) if units == 'us' else value:.0f}"

    unit = "°F" if units == "us" else "°C"
    vent = truth.value("vent_C")
    vent = fahrenheit(vent) if units == "us" else vent
    feed, core, back = (degrees(index) for index in (st.FEED, st.CORE, st.RETURN))
    short, pressure = max(truth.value("missing_L"), 0.0), max(truth.value("pressure_kPa"), 0.0)
    told = [
        _across("╭", f" radiator {degrees(st.RADIATOR)} {unit} ", f" {truth.value('radiator_flow'):.1f} L/min ", "╮"),
        _line(f"│  thermostat {y[st.LIFT]:.0%} open", "│"),
        _line(f"│  bypass {truth.value('bypass_flow'):.1f} L/min", "│"),
        _line(f"engine {degrees(st.JACKET)} {unit}", f"pump {truth.value('pump_flow'):.0f} L/min"),
        _line(f"│  heater valve {truth.value('valve'):.0%} open", "│"),
        _across("╰", f" feed {feed} ─ core {core} ", f" return {back} {unit} ", "╯"),
        f"heater {truth.value('heater_flow'):.1f} L/min, air in core {max(float(y[st.CORE_AIR]), 0.0):.2f} L",
        f"blend door {truth.value('blend'):.0%} hot, vents {vent:.0f} {unit}",
        f"short by {short:.1f} L, cap under {pressure:.0f} kPa",
    ]
    return [Content.styled(line, "$secondary" if k > 5 else "") for k, line in enumerate(told)]


def _line(left: str, right: str) -> str:
    return left + right.rjust(WIDTH - len(left))


def _across(corner: str, left: str, right: str, other: str) -> str:
    bare = f"{corner}─{left}"
    end = f"{right}─{other}"
    return bare + "─" * max(WIDTH - len(bare) - len(end), 0) + end
