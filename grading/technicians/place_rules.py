"""Rules about the place of a leak, and about water from outside. Bands: common practice, no source."""

from __future__ import annotations

from grading.technicians.rule import above, all_of, any_of, below, has, hot_hose, rule, told, word

WET, TRACE, DRY = "wet, with a drip", "a damp trace", "dry"
OUTER = "radiator-leak thermostat-housing-leak heater-tee-leak expansion-tank-leak"
PLACES = (
    ("leaks-in-front", 0, "radiator-leak"),
    ("leaks-in-front", 1, "thermostat-housing-leak"),
    ("leaks-at-tee", 0, "heater-tee-leak"),
    ("leaks-at-tank", 0, "expansion-tank-leak"),
)
"""Check, its reading, and the fault whose place it looks at."""
DYED = (
    (0, "hose-leak", "heater-tee-leak"),
    (1, "pump-seal-leak", ""),
    (2, "radiator-leak", ""),
    (3, "thermostat-housing-leak", ""),
    (4, "expansion-tank-leak", ""),
    (5, "heater-core-leak", ""),
)
"""Reading of the lamp, and the faults whose place shines."""
CLEAR_WATER = all_of(word("carpet-wiped", "soaked", "damp"), word("carpet-wiped", "no colour", reading=1))
SCUTTLE, SEAL = "scuttle-look", "intake-seal-look"

RULES = (
    *(
        rule(0, "A drip is the leak.", word(check, WET, reading=at), proves=fault, against="coolant-low")
        for check, at, fault in PLACES
    ),
    *(
        rule(1, "A damp trace: pump it up.", word(check, TRACE, reading=at), points=fault, then="pressure-test")
        for check, at, fault in PLACES
    ),
    *(rule(1, "Dry there.", word(check, DRY, reading=at), clears=fault) for check, at, fault in PLACES),
    *(
        rule(
            2,
            "It shines where the dye leaves.",
            word("dye-and-lamp", "it shines brightly", "a trace shines", reading=at),
            points=f"{first} {second}",
            against="coolant-low",
        )
        for at, first, second in DYED
    ),
    *(
        rule(
            2,
            "Nothing shines there.",
            word("dye-and-lamp", "nothing shines", reading=at),
            clears=f"{first} {second}",
        )
        for at, first, second in DYED
    ),
    rule(
        1,
        "It loses pressure: look at every place before the dash comes out.",
        word("pressure-test", "falls slowly", "falls as you watch"),
        points=OUTER,
        then="leaks-in-front leaks-at-tank leaks-at-tee",
    ),
    rule(2, "The pressure holds.", word("pressure-test", "holds"), against=OUTER),
    rule(
        1,
        "Dry at hoses and pump: look at radiator, thermostat housing and tank.",
        all_of(told("losing coolant"), word("leaks-by-eye", DRY), word("leaks-by-eye", DRY, reading=1)),
        hints=OUTER,
        then="leaks-in-front leaks-at-tank leaks-at-tee",
    ),
    rule(
        1,
        "Water in the carpet without colour came from outside.",
        CLEAR_WATER,
        points="scuttle-drain-blocked intake-seal-leaking",
        clears="heater-core-leak",
        then=f"{SCUTTLE} {SEAL}",
    ),
    rule(1, "Water stands in the scuttle.", word(SCUTTLE, "water stands in it"), proves="scuttle-drain-blocked"),
    rule(2, "Damp leaves in it.", word(SCUTTLE, "damp leaves"), points="scuttle-drain-blocked"),
    rule(1, "The scuttle is dry.", word(SCUTTLE, "dry, its drain runs"), clears="scuttle-drain-blocked", then=SEAL),
    rule(1, "The seal gapes.", word(SEAL, "wet, and the seal gapes"), proves="intake-seal-leaking"),
    rule(2, "A water mark.", word(SEAL, "a water mark"), points="intake-seal-leaking"),
    rule(1, "The seal is dry.", word(SEAL, "dry and clean"), clears="intake-seal-leaking"),
    rule(
        2,
        "Misted, the carpet dry and the compressor stands: nothing dries the air.",
        all_of(told("fogging"), has("air-conditioning"), word("compressor-look", "its plate stands")),
        points="ac-refrigerant-lost compressor-clutch-open",
        then="refrigerant-pressure clutch-coil-resistance",
    ),
    rule(
        2,
        "The compressor turns.",
        word("compressor-look", "its plate turns"),
        clears="ac-refrigerant-lost compressor-clutch-open",
    ),
    rule(1, "No refrigerant.", below("refrigerant-pressure", 100.0), proves="ac-refrigerant-lost"),
    rule(1, "There is refrigerant.", above("refrigerant-pressure", 130.0), clears="ac-refrigerant-lost"),
    rule(1, "The clutch's coil is open.", above("clutch-coil-resistance", 1000.0), proves="compressor-clutch-open"),
    rule(1, "The clutch's coil is whole.", below("clutch-coil-resistance", 100.0), clears="compressor-clutch-open"),
    rule(
        2,
        "The door stops short, motor and gears are heard to work: it has lost its ends.",
        all_of(
            any_of(
                word("blend-door-borescope", "at cold", "towards cold", "halfway"),
                word("door-driven-by-tool", "at cold", "towards cold", "halfway"),
            ),
            word("blend-door-listen", "one knock as the door lands"),
        ),
        proves="blend-ends-lost",
        against="blend-door-broken blend-seal-perished",
    ),
    rule(
        2,
        "The door goes all the way.",
        any_of(word("blend-door-borescope", "at hot"), word("door-driven-by-tool", "at hot")),
        clears="blend-ends-lost",
    ),
    rule(
        2,
        "Hot at both hoses, a knock, and cool air: does the door go all the way?",
        all_of(
            has("blend-motor"),
            word("blend-door-listen", "one knock as the door lands"),
            hot_hose("return"),
            below("vent-temperature", 45.0),
        ),
        points="blend-ends-lost",
        then="door-driven-by-tool blend-door-borescope",
    ),
)
