"""Rules about the heating of an electric vehicle: READY, coolant heater, its 12 V side, pump, heat pump. Bands: common
practice, no source.
"""

from __future__ import annotations

from grading.technicians.coolant_rules import FULL
from grading.technicians.heat_rules import AIR_SIDE
from grading.technicians.rule import above, all_of, any_of, below, has, none_of, rule, told, word

CODE, SCAN, STATE = "drive-codes", "coolant-heater-scan", "high-voltage-state"
ELECTRIC = has("electric-drive")
LOOP = "loop-pump-dead air-locked core-clogged heater-return-blocked"
LOW_VOLTAGE = "coolant-heater-fuse-blown coolant-heater-wire-open"
HEATER = f"coolant-heater-dead coolant-heater-half {LOW_VOLTAGE} coolant-heater-sensor-open"
NO_READY = "interlock-open isolation-fault"
WARM_AIR = any_of(above("vent-temperature", 44.0), above("vent-temperature-on-the-road", 44.0))
TAKES_NOTHING = all_of(above(SCAN, 50.0), below(SCAN, 0.3, reading=1))

RULES = (
    rule(
        0,
        "READY does not come up: no high voltage, no heat. Ask the scan tool why.",
        word("ready-shown", "READY does not come up"),
        points=NO_READY,
        clears=f"drive-charge-low heat-pump-short {LOOP} {AIR_SIDE} none",
        then=f"{CODE} {STATE}",
    ),
    rule(
        1,
        "READY is shown: the high voltage is on.",
        word("ready-shown", "READY is shown"),
        clears=NO_READY,
    ),
    rule(
        0,
        "The interlock circuit is open, by code and by the scan tool's state.",
        any_of(word(CODE, "P0A0A, high-voltage interlock"), word(STATE, "open")),
        proves="interlock-open",
    ),
    rule(
        0,
        "The vehicle has measured too low an isolation.",
        any_of(word(CODE, "P0AA6, isolation"), below(STATE, 200.0, reading=1)),
        proves="isolation-fault",
    ),
    rule(
        1,
        "The DC-DC converter does not charge: the 12 V battery says the same.",
        any_of(
            word(CODE, "P0A94, DC-DC converter"),
            all_of(word("ready-shown", "READY is shown"), below("dcdc-voltage", 12.8)),
        ),
        proves="dcdc-converter-dead",
        then="dcdc-voltage",
    ),
    rule(
        0,
        "The heater does not answer: its 12 V side first, fuse before wire.",
        word(CODE, "coolant heater: does not answer"),
        points=LOW_VOLTAGE,
        clears=f"coolant-heater-sensor-open {LOOP} none",
        then="coolant-heater-fuse coolant-heater-supply",
    ),
    rule(
        1,
        "Nothing behind the heater's 12 V fuse.",
        below("coolant-heater-fuse", 6.0),
        proves="coolant-heater-fuse-blown",
    ),
    rule(
        1,
        "The fuse is whole and nothing arrives at the small plug.",
        all_of(above("coolant-heater-fuse", 9.0), below("coolant-heater-supply", 6.0)),
        proves="coolant-heater-wire-open",
        clears="coolant-heater-fuse-blown",
    ),
    rule(1, "The heater's 12 V supply is there.", above("coolant-heater-supply", 9.0), clears=LOW_VOLTAGE),
    rule(
        0,
        "Its sensor is out of range: measure it.",
        any_of(word(CODE, "coolant heater: outlet sensor out of range"), below(SCAN, -35.0, reading=2)),
        points="coolant-heater-sensor-open",
        then="outlet-sensor-resistance",
    ),
    rule(
        1,
        "The outlet sensor is open.",
        above("outlet-sensor-resistance", 50_000.0),
        proves="coolant-heater-sensor-open",
    ),
    rule(
        0,
        "The heater has cut itself out, too hot: its coolant does not move.",
        word(CODE, "coolant heater: cut itself out, too hot"),
        points=LOOP,
        clears=f"{HEATER} none",
        then="heater-pump-listen loop-stream bleed-air",
    ),
    rule(
        1,
        "The only pump of the loop is silent with heat asked for.",
        all_of(ELECTRIC, word("heater-pump-listen", "silent")),
        proves="loop-pump-dead",
    ),
    rule(1, "The pump hums.", all_of(ELECTRIC, word("heater-pump-listen", "it hums")), clears="loop-pump-dead"),
    rule(
        1,
        "The coolant streams: pump and passages are well.",
        word("loop-stream", "streams past the neck"),
        clears=LOOP,
    ),
    rule(
        1,
        "Power is asked for and none taken, the heater answers: its elements.",
        all_of(TAKES_NOTHING, none_of(word(CODE, "coolant heater: does not answer"))),
        points="coolant-heater-dead",
        hints=LOW_VOLTAGE,
        then=f"{CODE} coolant-heater-supply heater-pump-listen",
    ),
    rule(
        2,
        "Asked for and not taken, 12 V there, no cut-out: the heater itself.",
        all_of(
            TAKES_NOTHING,
            any_of(above("coolant-heater-supply", 9.0), word(CODE, "coolant heater: less power than asked for")),
        ),
        proves="coolant-heater-dead",
        clears=f"coolant-heater-half {LOOP}",
    ),
    rule(
        1,
        "Less power than asked for: some of its elements.",
        all_of(above(SCAN, 50.0), above(SCAN, 0.3, reading=1), word(CODE, "coolant heater: less power than asked for")),
        proves="coolant-heater-half",
        clears="coolant-heater-dead",
    ),
    rule(
        0,
        "The drive battery is low: heat is limited, and that is right.",
        below(STATE, 12.0, reading=2),
        proves="drive-charge-low",
        clears="none",
    ),
    rule(1, "The drive battery is charged.", above(STATE, 20.0, reading=2), clears="drive-charge-low"),
    rule(
        1,
        "Interlock and isolation in order.",
        all_of(word(STATE, "closed"), above(STATE, 500.0, reading=1)),
        clears=NO_READY,
    ),
    rule(
        1,
        "The high side hardly rises in weather in which it should: little refrigerant.",
        all_of(
            below("heat-pump-scan", 8.0),
            lambda notes: notes.session.job.ambient_C > -12.0,
            none_of(below(STATE, 12.0, reading=2), word("ready-shown", "READY does not come up")),
        ),
        proves="heat-pump-short",
        clears="none",
    ),
    rule(1, "The heat pump works.", above("heat-pump-scan", 8.0), clears="heat-pump-short"),
    rule(
        1,
        "No code, and the air is not warm: state, heater, pump, heat pump, one after the other.",
        all_of(word(CODE, "no code"), none_of(WARM_AIR)),
        clears=f"{NO_READY} {HEATER} dcdc-converter-dead",
        then=f"{STATE} heat-pump-scan heater-pump-listen coolant-heater-in-and-out",
    ),
    rule(
        1,
        "No code, charged, level right, warm air: it does what it was made for.",
        all_of(
            ELECTRIC,
            told("cold", "lukewarm", "slow"),
            FULL,
            WARM_AIR,
            word(CODE, "no code"),
            above(STATE, 20.0, reading=2),
        ),
        proves="none",
    ),
)
