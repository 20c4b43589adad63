"""What a person at the vehicle notices without taking a reading."""

from __future__ import annotations

from scenarios.model import PLACES
from scenarios.workshop import Workshop
from sim import states as st
from sim.instruments import INSTRUMENTS
from sim.observe import QUANTITIES


def perceive(workshop: Workshop) -> list[str]:
    """Sights, sounds and smells at the place where the person stands, one line each, for the first vehicle."""
    fleet, place = workshop.fleet, workshop.place
    q = fleet.quantities[0]
    lines: list[str] = []

    def at_a_glance(quantity: str, instrument: str) -> str:
        tool = INSTRUMENTS[instrument]
        seen = float(tool.sees(QUANTITIES[quantity](fleet)[:1])[0])
        return tool.show(tool.step(seen))

    running = workshop.control("engine") > 0.5
    if not running:
        lines.append(
            "The engine is stopped."
            if workshop.control("ignition") < 0.5
            else "The engine is stopped, ignition at run."
        )
    else:
        lines.append(f"The engine runs at about {round(float(q['rpm']), -1):.0f} rpm.")
    if place == PLACES[0]:
        if workshop.control("ignition") > 0.5:
            lines.append(f"The temperature gauge is {at_a_glance('gauge needle', 'dash gauge')}.")
        if workshop.control("blower") > 0.5 and workshop.control("ignition") > 0.5:
            lines.append(f"At the vents: {at_a_glance('blower air', 'air by hand')}.")
    if place == PLACES[1]:
        if q["fan_share"] > 0.3:
            lines.append("The radiator fan is running.")
        if q["cap_liquid_kg_s"] > 0.002 or q["steam_kg_s"] > 0.0005:
            lines.append("Coolant is boiling over: steam and a hiss from the cap.")
    if fleet.state[0, st.HARM] > 0.5:
        lines.append("There is a smell of hot engine.")
    if fleet.state[0, st.CARPET] > 0.05 and place != PLACES[1]:
        lines.append("There is a sweet smell in the cabin.")
    return lines
