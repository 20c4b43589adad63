"""The coolant loop drawn with what truly was in it: temperatures, flows, openings."""

from __future__ import annotations

from textual.content import Content

from scenarios.language import say
from sim.vehicle import states as st
from tui.presentation.curves.truth import Truth
from tui.presentation.units import Units, fahrenheit

WIDTH = 38


def loop_drawing(truth: Truth, units: Units) -> list[Content]:
    """Nine lines of WIDTH cells: radiator or tank above, engine or coolant heater between, heater core below."""
    y = truth.state

    def degrees(index: int) -> str:
        value = float(y[index])
        return f"{fahrenheit(value) if units == 'us' else value:.0f}"

    unit = "°F" if units == "us" else "°C"
    vent = truth.value("vent_C")
    vent = fahrenheit(vent) if units == "us" else vent
    feed, core, back = (degrees(index) for index in (st.FEED, st.CORE, st.RETURN))
    short, pressure = max(truth.value("missing_L"), 0.0), max(truth.value("pressure_kPa"), 0.0)
    pump = say("pump {flow:.0f} L/min", flow=truth.value("pump_flow"))
    if truth.electric:
        source = [
            _across("╭", say(" tank {degrees} {unit} ", degrees=degrees(st.RADIATOR), unit=unit), "", "╮"),
            _line(say("│  heat asked for {share:.0%}", share=truth.value("coolant_heater_asked")), "│"),
            _line(say("│  it takes {power:.1f} kW", power=truth.value("coolant_heater_W") / 1000.0), "│"),
            _line(say("coolant heater {degrees} {unit}", degrees=degrees(st.JACKET), unit=unit), pump),
            _line(say("│  heat pump {power:.1f} kW to the air", power=truth.value("heat_pump_W") / 1000.0), "│"),
        ]
    else:
        source = [
            _across(
                "╭",
                say(" radiator {degrees} {unit} ", degrees=degrees(st.RADIATOR), unit=unit),
                say(" {flow:.1f} L/min ", flow=truth.value("radiator_flow")),
                "╮",
            ),
            _line(say("│  thermostat {share:.0%} open", share=float(y[st.LIFT])), "│"),
            _line(say("│  bypass {flow:.1f} L/min", flow=truth.value("bypass_flow")), "│"),
            _line(say("engine {degrees} {unit}", degrees=degrees(st.JACKET), unit=unit), pump),
            _line(say("│  heater valve {share:.0%} open", share=truth.value("valve")), "│"),
        ]
    told = [
        *source,
        _across(
            "╰",
            say(" feed {feed} ─ core {core} ", feed=feed, core=core),
            say(" return {degrees} {unit} ", degrees=back, unit=unit),
            "╯",
        ),
        say(
            "heater {flow:.1f} L/min, air in core {air:.2f} L",
            flow=truth.value("heater_flow"),
            air=max(float(y[st.CORE_AIR]), 0.0),
        ),
        say("blend door {share:.0%} hot, vents {vent:.0f} {unit}", share=truth.value("blend"), vent=vent, unit=unit),
        say("short by {short:.1f} L, cap under {pressure:.0f} kPa", short=short, pressure=pressure),
    ]
    return [Content.styled(line, "$secondary" if k > 5 else "") for k, line in enumerate(told)]


def _line(left: str, right: str) -> str:
    return left + right.rjust(WIDTH - len(left))


def _across(corner: str, left: str, right: str, other: str) -> str:
    bare = f"{corner}─{left}"
    end = f"{right}─{other}"
    return bare + "─" * max(WIDTH - len(bare) - len(end), 0) + end
