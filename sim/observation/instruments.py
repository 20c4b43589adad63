"""The instruments, each with its response, spread and words; the models are in ``sim.observation.likelihood``."""

from __future__ import annotations

from sim.observation import touch
from sim.observation.categories import Categories, FigureOrNone
from sim.observation.electric_instruments import ELECTRIC_INSTRUMENTS
from sim.observation.likelihood import Display, Instrument, RatioDisplay, Words, asinh_response, identity
from sim.observation.main_pump import MAIN_PUMP_INSTRUMENTS
from sim.observation.responses import (
    EMISSIVITY,
    infrared,
    log_bounds,
    log_response,
    on_rubber,
    square_root_response,
    square_roots,
)
from sim.vehicle import code_memory

RED_FROM = 0.86
"""Position of the dash gauge, 0 cold to 1 hot [-], from which it is in the red: 118.5 degC by
``sim.observation.loop.gauge_needle`` (common practice, no source)."""
LAMP_FROM_C = 121.0
"""Coolant temperature [degC] from which the temperature warning lamp is lit (common practice, no source)."""

INSTRUMENTS: dict[str, Instrument] = {
    "infrared thermometer": Display(
        "infrared thermometer",
        "°C",
        2.5,
        infrared(EMISSIVITY["rubber"]),
        resolution=1.0,
        low=-30.0,
        high=380.0,
        offset=2.0,
    ),
    "hand on rubber": Words("hand", "", 1.6, on_rubber, touch.HAND_WORDS, touch.HAND_THRESHOLDS, offset=1.2),
    "scan tool": Display("scan tool", "°C", 1.0, identity, resolution=1.0, low=-40.0, high=215.0, offset=0.7),
    "dash gauge": Words(
        "dash gauge",
        "",
        0.03,
        identity,
        (
            "on its cold stop",
            "just off cold",
            "a quarter up",
            "a little below the middle",
            "mid-scale",
            "a little above the middle",
            "near the red",
            "in the red",
        ),
        (0.06, 0.18, 0.34, 0.44, 0.56, 0.68, RED_FROM),
    ),
    "glance at the gauge": Words("dash gauge", "", 0.03, identity, ("out of the red", "in the red"), (RED_FROM,)),
    "air probe": Display("air probe", "°C", 1.5, identity, resolution=1.0, low=-40.0, high=120.0, offset=1.2),
    "multimeter": Display("multimeter", "V", 0.06, identity, resolution=0.01, low=0.0, high=60.0, decimals=2),
    "multimeter on a supply": Display(
        "multimeter", "V", 0.2, identity, resolution=0.01, low=0.0, high=60.0, decimals=2, offset=0.19
    ),
    "current clamp": Display(
        "current clamp", "A", 0.6, identity, resolution=0.1, low=0.0, high=400.0, decimals=1, offset=0.5
    ),
    "air by hand": Words(
        "hand at the vent",
        "",
        0.1,
        square_root_response,
        ("no air", "a breath of air", "weak", "moderate", "strong", "very strong"),
        square_roots(0.35, 1.4, 2.6, 3.6, 5.0),
        offset=0.07,
    ),
    "eye on the neck": Words(
        "eye",
        "",
        0.08,
        identity,
        ("full to the neck", "just below the neck", "well below the neck", "no coolant to be seen"),
        (0.12, 0.5, 1.3),
    ),
    "eye at the filler": Words(
        "eye", "", 0.08, identity, ("full", "a little low", "well down", "no coolant to be seen"), (0.12, 0.5, 1.3)
    ),
    "eye at the bleed point": Words(
        "eye",
        "",
        0.02,
        identity,
        ("coolant at once, no air", "a few bubbles, then coolant", "a long run of air"),
        (0.03, 0.12),
    ),
    "eye on the bottle": Words(
        "eye",
        "",
        0.05,
        identity,
        (
            "empty",
            "well below the cold line",
            "below the cold line",
            "at the cold line",
            "above the cold line",
            "brim-full",
        ),
        (-0.5, -0.28, -0.12, 0.12, 0.6),
    ),
    "eye for sludge": Words(
        "eye", "", 0.12, identity, ("clean", "a little discoloured", "rusty, with sludge at the neck"), (0.35, 0.7)
    ),
    "eye on the stem": Words(
        "eye", "", 0.08, identity, ("does not move", "moves part of its travel", "moves its full travel"), (0.15, 0.8)
    ),
    "ear at the dash": Categories(
        "ear", "", 0.03, identity, ("one knock as the door lands", "repeated clicking", "silence")
    ),
    "eye for leaks": Words(
        "eye", "", 0.25, log_response, ("dry", "a damp trace", "wet, with a drip"), log_bounds(1.5, 12.0)
    ),
    "ultraviolet lamp": Words(
        "ultraviolet lamp",
        "",
        0.2,
        log_response,
        ("nothing shines", "a trace shines", "it shines brightly"),
        log_bounds(0.8, 20.0),
    ),
    "eye for standing water": Words(
        "eye", "", 0.07, identity, ("dry, its drain runs", "damp leaves", "water stands in it"), (0.2, 0.5)
    ),
    "eye for water marks": Words(
        "eye", "", 0.07, identity, ("dry and clean", "a water mark", "wet, and the seal gapes"), (0.2, 0.5)
    ),
    "eye on the clutch": Categories(
        "eye", "", 0.005, identity, ("its plate stands", "its plate turns"), confusable=((), ())
    ),
    "manifold gauges": Display(
        "manifold gauges", "kPa", 15.0, identity, resolution=10.0, low=0.0, high=2000.0, offset=12.0
    ),
    "hand on the carpet": Words(
        "hand", "", 0.045, square_root_response, ("dry", "damp", "soaked"), square_roots(0.06, 0.4)
    ),
    "paper": Words(
        "white paper",
        "",
        0.045,
        square_root_response,
        ("no colour", "a faint colour, slippery", "coloured, slippery and sweet"),
        square_roots(0.06, 0.4),
    ),
    "pressure gauge": Display("pressure gauge", "kPa", 3.0, identity, resolution=2.0, low=0.0, high=250.0, offset=2.5),
    "clamp thermocouple": Display(
        "clamp thermocouple", "°C", 1.2, identity, resolution=0.1, low=-50.0, high=250.0, decimals=1, offset=0.9
    ),
    "infrared on bare metal": Display(
        "infrared thermometer",
        "°C",
        3.0,
        infrared(EMISSIVITY["aluminium"]),
        resolution=1.0,
        low=-30.0,
        high=380.0,
        offset=2.5,
    ),
    "infrared on cast iron": Display(
        "infrared thermometer",
        "°C",
        3.0,
        infrared(EMISSIVITY["cast iron"]),
        resolution=1.0,
        low=-30.0,
        high=380.0,
        offset=2.5,
    ),
    "ohmmeter": RatioDisplay(
        "multimeter",
        "ohm",
        0.05,
        asinh_response,
        resolution=0.1,
        low=0.0,
        high=200e3,
        decimals=1,
        over="over range",
        offset=0.04,
    ),
    "test lamp": Words("test lamp", "", 0.7, identity, ("dark", "dim", "bright"), (3.0, 9.0)),
    "vacuum gauge": Display("vacuum gauge", "kPa", 2.0, identity, resolution=1.0, low=0.0, high=100.0, offset=1.7),
    "hand vacuum pump": Words("hand vacuum pump", "", 0.12, identity, ("falls at once", "holds"), (0.5,)),
    "pressure tester": Words(
        "pressure tester", "", 2.5, identity, ("holds", "falls slowly", "falls as you watch"), (10.0, 45.0)
    ),
    "cap tester": Display("cap tester", "kPa", 3.0, identity, resolution=5.0, low=0.0, high=200.0),
    "refractometer": Display("refractometer", "°C", 1.5, identity, resolution=1.0, low=-60.0, high=0.0),
    # [kPa L/s]: a hundredth is 0.1 mL of gas a second, at normal pressure
    "combustion-leak tester": Words(
        "combustion-leak tester", "", 0.005, identity, ("stays blue", "turns yellow"), (0.015,)
    ),
    "eye on the glass": Words(
        "eye", "", 0.08, square_root_response, ("clear", "misting at the edges", "fogged"), square_roots(0.08, 0.4)
    ),
    "code reader": Categories(
        "code reader", "", 0.004, identity, ("no code", *code_memory.NAMES), confusable=((),) * (1 + code_memory.ROWS)
    ),
    # the figure is exact, but the drive and the weather at which it was stored are unknown
    "freeze frame reader": FigureOrNone(
        "scan tool", "°C", 5.0, identity, resolution=1.0, low=-40.0, high=216.0, over="no freeze frame", offset=4.9
    ),
    "readiness reader": Categories("scan tool", "", 0.004, identity, ("complete", "not complete"), confusable=((), ())),
    "door code reader": Categories(
        "scan tool", "", 0.004, identity, ("no code", "blend door: does not reach its position"), confusable=((), ())
    ),
    "blower code reader": Categories(
        "scan tool", "", 0.004, identity, ("no code", "blower: draws no current"), confusable=((), ())
    ),
    "eye on a lamp": Categories("eye", "", 0.004, identity, ("off", "lit"), confusable=((), ())),
    # the switching point varies between vehicles
    "eye on the temperature lamp": Words("eye", "", 1.5, identity, ("off", "lit"), (LAMP_FROM_C,)),
    "squeeze": Words("hand", "", 6.0, identity, ("sucked flat", "soft", "firm", "hard as a tyre"), (-25.0, 20.0, 88.0)),
    "eye on the hose": Words("eye", "", 0.1, identity, ("keeps its shape", "drawn in a little", "flat"), (0.3, 0.7)),
    "eye on the belt": Categories(
        "eye", "", 0.005, identity, ("sound and tight", "slack or glazed", "gone"), confusable=((1,), (0,), ())
    ),
    "eye on the fan": Words(
        "eye", "", 0.08, square_root_response, ("still", "turning slowly", "turning fast"), square_roots(0.03, 0.6)
    ),
    "hand on the fan": Words(
        "hand",
        "",
        0.08,
        square_root_response,
        ("spins freely", "drags a little", "drags stiffly"),
        square_roots(0.03, 0.6),
    ),
    # A fan switches by itself; whether it turns at one moment says little of whether it can.
    "glance at the fan": Words(
        "eye", "", 1.0, square_root_response, ("still", "turning slowly", "turning fast"), square_roots(0.03, 0.6)
    ),
    "eye on the door": Words(
        "borescope",
        "",
        0.06,
        identity,
        ("at cold", "towards cold", "halfway", "towards hot", "at hot"),
        (0.1, 0.35, 0.65, 0.9),
    ),
    "scan of the door": Words(
        "scan tool", "", 0.05, identity, ("as commanded", "short of command", "far from command"), (0.12, 0.5)
    ),
    "hand at the outlets": Words(
        "hand", "", 0.15, identity, ("mostly at the floor", "mostly at the face", "mostly at the screen"), (0.5, 1.5)
    ),
    "eye on the filter": Words("eye", "", 0.21, log_response, ("clean", "grey", "matted shut"), log_bounds(0.9, 4.0)),
    "pot and thermometer": Words(
        "pot and thermometer",
        "",
        2.0,
        identity,
        (
            "there is none in the housing",
            "open in cold water",
            "opens early",
            "opens at its rating",
            "does not open below boiling",
        ),
        (0.0, 40.0, 78.0, 98.0),
    ),
    "eye on the face": Words("eye", "", 0.1, identity, ("clean", "partly choked", "choked"), (0.3, 0.7)),
    # [g/s/kPa]: coolant leaking into a cylinder
    "eye at the tailpipe": Words("eye", "", 1.5e-5, identity, ("nothing unusual", "white and sweet"), (5e-5,)),
    "rev counter": Display("rev counter", "rpm", 30.0, identity, resolution=50.0, low=0.0, high=8000.0),
    "ear at the blower": Categories(
        "ear",
        "",
        0.005,
        identity,
        ("silent", "the motor whirs and no air follows", "labours", "runs evenly", "falters and sparks"),
        confusable=((), (3,), (3, 4), (), (2, 3)),  # a fault may be missed, but not imagined
    ),
    # [W] in a connector at the highest blower speed, logarithmic
    "eye on the plug": Words(
        "eye",
        "",
        0.25,
        log_response,
        ("clean, pins bright", "discoloured at one pin", "brown, the plastic soft"),
        log_bounds(12.0, 24.0),
    ),
    "knuckle on the motor": Words("knuckle", "", 0.02, identity, ("nothing changes", "it picks up speed"), (0.06,)),
    "ear at the relay": Categories("ear", "", 0.005, identity, ("it clicks", "no click"), confusable=((1,), ())),
    "ear at the pump": Categories("ear", "", 0.005, identity, ("it hums", "silent"), confusable=((1,), ())),
    "ear for gurgling": Words(
        "ear", "", 0.06, square_root_response, ("quiet", "gurgles faintly", "gurgles"), square_roots(0.09, 0.5)
    ),
    "ear for a hiss": Words(
        "ear", "", 0.06, square_root_response, ("quiet", "hisses faintly", "hisses"), square_roots(0.06, 0.4)
    ),
    "ear at the belt": Categories("ear", "", 0.005, identity, ("quiet", "squeals"), confusable=((), (0,))),
    "eye on the actuator": Categories(
        "eye", "", 0.005, identity, ("its shaft turns", "it hums, the shaft slips", "it does not move")
    ),
    "eye on the cable": Words("eye", "", 0.08, identity, ("off its clip", "slack", "clipped and taut"), (0.2, 0.8)),
    "hand on the lever": Words(
        "hand", "", 0.08, identity, ("will not move", "moves part of the way", "moves freely"), (0.15, 0.8)
    ),
    "eye on the flap": Words("eye", "", 0.05, identity, ("on fresh air", "between", "on recirculated"), (0.2, 0.8)),
    "eye for flow": Words("eye", "", 0.35, identity, ("no flow", "a slow drift", "a plain stream"), (0.8, 4.0)),
    "eye for bubbles": Words(
        "eye", "", 0.004, identity, ("no bubbles", "a bubble now and then", "bubbles without end"), (0.012, 0.06)
    ),
    "rinsing hose": Words(
        "rinsing hose",
        "",
        0.045,
        square_root_response,
        ("hardly anything passes", "a weak stream", "runs freely"),
        square_roots(0.12, 0.6),
    ),
    "infrared over the face": Words(
        "infrared thermometer", "", 4.0, identity, ("even", "uneven", "cold patches"), (12.0, 35.0)
    ),
    # A hand coming in from the cold is a poor judge of warm air.
    "hand in the air": Words(
        "hand at the vent",
        "",
        4.0,
        identity,
        ("icy", "cool", "lukewarm", "warm", "hot"),
        (8.0, 22.0, 34.0, 50.0),
    ),
    "eye for steam": Words(
        "eye", "", 0.18, log_response, ("nothing", "steam and a hiss from the cap"), log_bounds(1.0)
    ),
    "nose for heat": Words("nose", "", 0.5, log_response, ("nothing", "hot engine"), log_bounds(5.0), offset=0.4),
    "nose": Words(
        "nose",
        "",
        0.2,
        log_response,
        ("nothing", "faintly sweet", "plainly sweet"),
        log_bounds(1.0, 8.0),
        offset=0.15,
    ),
    "air by hand at a seam": Words(
        "hand", "", 0.03, identity, ("little cold air", "some cold air", "a stream of cold air"), (0.12, 0.3)
    ),
    "hand on the plug": Words("hand", "", 0.25, identity, ("nothing changes", "it cuts out as the plug moves"), (0.6,)),
    "scan percentage": Display("scan tool", "%", 1.5, identity, resolution=1.0, low=0.0, high=100.0),
    "scan of the blower": Display("scan tool", "steps", 0.1, identity, resolution=0.5, low=0.0, high=4.0, decimals=1),
    **ELECTRIC_INSTRUMENTS,
    **MAIN_PUMP_INSTRUMENTS,
    "handbook": Words("handbook", "", 1.0, identity, ("not at hand", "its figures stand on the job card"), (-4.0,)),
}
"""Instruments by name; spreads, offsets and words are common practice, no source, unless stated.

The offset of a supply voltage is that of the vehicle's battery, common to all its readings."""

OFFSETS = {name: k for k, name in enumerate(name for name, each in INSTRUMENTS.items() if each.offset > 0.0)}
"""Index among the instruments with an offset, by name."""
