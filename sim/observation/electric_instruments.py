"""What an electric vehicle is read with: cluster, scan tool and a look into its expansion tank."""

from __future__ import annotations

from sim.observation.categories import Categories, FigureOrNone
from sim.observation.likelihood import Display, Instrument, Words, identity

ELECTRIC_INSTRUMENTS: dict[str, Instrument] = {
    "eye on READY": Categories(
        "eye", "", 0.004, identity, ("READY is shown", "READY does not come up"), confusable=((), ())
    ),
    "drive code reader": Categories(
        "scan tool",
        "",
        0.004,
        identity,
        (
            "no code",
            "P0A0A, high-voltage interlock",
            "P0AA6, isolation",
            "P0A94, DC-DC converter",
            "coolant heater: does not answer",
            "coolant heater: outlet sensor out of range",
            "coolant heater: cut itself out, too hot",
            "coolant heater: less power than asked for",
        ),
        confusable=((),) * 8,
    ),
    "scan tool, power": FigureOrNone(
        "scan tool, power", "kW", 0.1, identity, resolution=0.1, low=0.0, high=20.0, decimals=1, over="no answer"
    ),
    "scan of the interlock": Categories("scan tool", "", 0.004, identity, ("closed", "open"), confusable=((), ())),
    "scan tool, isolation": Display(
        "scan tool, isolation", "kohm", 40.0, identity, resolution=10.0, low=0.0, high=5000.0
    ),
    "scan tool, pressure": Display(
        "scan tool, pressure", "bar", 0.4, identity, resolution=0.1, low=0.0, high=40.0, decimals=1
    ),
    "eye for the stream": Words(
        "eye", "", 0.6, identity, ("stands still", "moves slowly", "streams past the neck"), (1.0, 5.0)
    ),
}
"""Instruments by name; spreads and words are common practice, no source."""
