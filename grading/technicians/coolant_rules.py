"""Rules about coolant: how much is there, where it goes, what is in it. Bands: common practice, no source."""

from __future__ import annotations

from grading.technicians.rule import (
    above,
    all_of,
    any_of,
    below,
    differs,
    done,
    has,
    none_of,
    noticed,
    rule,
    told,
    word,
)

LEAKS = (
    "hose-leak pump-seal-leak heater-core-leak radiator-leak thermostat-housing-leak heater-tee-leak "
    "expansion-tank-leak"
)
LOSSES = f"coolant-low cap-weak head-gasket-leak cap-vacuum-valve-stuck {LEAKS}"
DRY_SIDE = (
    "blend-actuator-stripped blend-actuator-dead blend-cable-off blend-door-broken blend-vacuum-off "
    "blend-seal-perished valve-seized-shut valve-cable-off valve-coil-open valve-no-supply core-clogged "
    "heater-return-blocked three-way-valve-stuck thermostat-stuck-open thermostat-opens-early thermostat-missing none"
)

SHORT = any_of(
    word("coolant-level-cold", "well down", "no coolant to be seen"),
    all_of(word("overflow-level", "empty"), none_of(word("coolant-level-cold", "full"))),
)
FULL = all_of(
    word("coolant-level-cold", "full"),
    none_of(word("overflow-level", "empty", "well below the cold line", "brim-full")),
)
NO_LEAK_SEEN = all_of(word("leaks-by-eye", "dry"), word("leaks-by-eye", "dry", reading=1))
HOLDS = word("pressure-test", "holds")
FALLS = word("pressure-test", "falls slowly", "falls as you watch")
CAP_GOOD = above("cap-test", 80.0)
NO_GAS = any_of(word("combustion-leak-test", "stays blue"), word("bubbles-at-the-filler", "no bubbles"))
CABIN_WET = any_of(
    word("carpet-feel", "soaked", "damp"),
    word("carpet-wiped", "a faint colour, slippery", "coloured, slippery and sweet", reading=1),
)

RULES = (
    rule(
        0,
        "Short of coolant: it is missing in the heater core first. Ask where it went.",
        SHORT,
        points=LOSSES,
        hints="coolant-low",
        against=DRY_SIDE,
        then="leaks-by-eye leaks-in-front leaks-at-tank leaks-at-tee",
    ),
    rule(
        0,
        "The level is right: nothing is lost, and what is cold is cold for another reason.",
        FULL,
        clears="coolant-low hose-leak pump-seal-leak radiator-leak thermostat-housing-leak heater-tee-leak "
        "expansion-tank-leak",
        against="heater-core-leak cap-weak head-gasket-leak",
        hints="air-locked",
    ),
    rule(
        2,
        "Short: pump it up to the cap's pressure before anybody runs it.",
        SHORT,
        then="upper-hose-squeeze-cold pressure-test",
    ),
    rule(
        1,
        "A full bottle over a short radiator: the cap lets nothing back.",
        all_of(SHORT, word("overflow-level", "above the cold line", "brim-full")),
        points="cap-vacuum-valve-stuck cap-weak",
        against="coolant-low",
        then="upper-hose-squeeze-cold cap-test",
    ),
    rule(
        2,
        "A hose that is sucked flat when cold: the cap's vacuum valve.",
        word("upper-hose-squeeze-cold", "sucked flat"),
        proves="cap-vacuum-valve-stuck",
    ),
    rule(
        3,
        "Short, and the cold hose keeps its shape: the cap lets coolant back.",
        all_of(SHORT, word("upper-hose-squeeze-cold", "soft", "firm")),
        clears="cap-vacuum-valve-stuck",
    ),
    rule(
        2,
        "A hose hard as a tyre when cold: combustion gas.",
        word("upper-hose-squeeze-cold", "hard as a tyre"),
        points="head-gasket-leak",
        then="combustion-leak-test",
    ),
    rule(0, "A drip at a hose end is the leak.", word("leaks-by-eye", "wet, with a drip"), proves="hose-leak"),
    rule(
        1,
        "A damp trace at a hose end: pump the system up and look again.",
        word("leaks-by-eye", "a damp trace"),
        points="hose-leak",
        then="pressure-test",
    ),
    rule(
        0,
        "A drip from the pump's weep hole is its seal.",
        any_of(word("leaks-by-eye", "wet, with a drip", reading=1), word("weep-hole", "wet, with a drip")),
        proves="pump-seal-leak",
    ),
    rule(
        1,
        "A damp trace below the pump: look at the weep hole itself.",
        word("leaks-by-eye", "a damp trace", reading=1),
        points="pump-seal-leak",
        then="weep-hole",
    ),
    rule(2, "A trace at the weep hole too.", word("weep-hole", "a damp trace"), points="pump-seal-leak"),
    rule(2, "The weep hole is dry.", word("weep-hole", "dry"), against="pump-seal-leak"),
    rule(
        1,
        "Dry at hoses and pump.",
        NO_LEAK_SEEN,
        against="hose-leak pump-seal-leak",
    ),
    rule(
        2,
        "The pressure falls: there is a leak. Where none is seen outside, it goes inside.",
        FALLS,
        points=LEAKS,
        clears="coolant-low",
        against="cap-weak",
        then="leaks-by-eye carpet-wiped",
    ),
    rule(
        3,
        "The pressure falls and all is dry outside: the core, or a cylinder.",
        all_of(FALLS, NO_LEAK_SEEN, word("leaks-in-front", "dry"), word("leaks-in-front", "dry", reading=1)),
        points="heater-core-leak",
        hints="head-gasket-leak",
        then="carpet-wiped pressure-test-heater-pinched",
    ),
    rule(
        3,
        "It falls, and holds with the heater hoses pinched off: the core.",
        all_of(
            FALLS,
            word("pressure-test-heater-pinched", "holds"),
            any_of(none_of(has("heater-tee")), word("leaks-at-tee", "dry")),
        ),
        proves="heater-core-leak",
    ),
    rule(
        3,
        "It falls with the heater hoses pinched off too: not the core.",
        word("pressure-test-heater-pinched", "falls slowly", "falls as you watch"),
        clears="heater-core-leak",
        then="combustion-leak-test",
    ),
    rule(
        2,
        "The pressure holds: no leak that a cold engine shows.",
        HOLDS,
        clears="hose-leak pump-seal-leak",
        against="heater-core-leak",
        then="cap-test",
    ),
    rule(
        1,
        "Coolant on the carpet comes from the core.",
        word("carpet-wiped", "a faint colour, slippery", "coloured, slippery and sweet", reading=1),
        proves="heater-core-leak",
    ),
    rule(
        0,
        "A wet carpet: wipe it with paper and see whether it is coolant.",
        word("carpet-feel", "soaked", "damp"),
        points="heater-core-leak",
        then="carpet-wiped",
    ),
    rule(
        1,
        "A dry carpet: no core that leaks to speak of.",
        any_of(word("carpet-feel", "dry"), word("carpet-wiped", "dry")),
        against="heater-core-leak",
    ),
    rule(
        1,
        "A sweet smell is coolant.",
        any_of(word("sweet-smell", "plainly sweet"), noticed("sweetness smelt", "plainly sweet")),
        points="heater-core-leak",
        then="carpet-wiped pressure-test",
    ),
    rule(
        1,
        "A cap that opens far below its print loses coolant on every hot drive.",
        below("cap-test", 75.0),
        proves="cap-weak",
    ),
    rule(2, "The cap holds what is printed on it.", CAP_GOOD, clears="cap-weak"),
    rule(
        3,
        "Short, no leak, the cap good: look for combustion gas before it is called low.",
        all_of(SHORT, HOLDS, CAP_GOOD),
        points="head-gasket-leak",
        then="carpet-feel combustion-leak-test",
    ),
    rule(
        2,
        "The test fluid turns yellow: the head gasket.",
        word("combustion-leak-test", "turns yellow"),
        proves="head-gasket-leak",
    ),
    rule(
        2,
        "Bubbles without end: combustion gas.",
        word("bubbles-at-the-filler", "bubbles without end"),
        proves="head-gasket-leak",
    ),
    rule(3, "No combustion gas.", NO_GAS, clears="head-gasket-leak"),
    rule(
        3,
        "Short, and neither leak nor cap nor gas: nobody looked at the level for years.",
        all_of(SHORT, HOLDS, CAP_GOOD, NO_GAS, word("carpet-feel", "dry")),
        proves="coolant-low",
    ),
    rule(
        2,
        "Short, dry outside, the pressure holds and the cap is good.",
        all_of(SHORT, HOLDS, CAP_GOOD),
        points="coolant-low",
    ),
    rule(
        1,
        "A long run of air at the bleed point, and the level was right: an air lock.",
        all_of(word("bleed-air", "a long run of air"), none_of(SHORT)),
        proves="air-locked",
        clears="core-clogged heater-return-blocked",
    ),
    rule(
        2,
        "Coolant comes at the bleed point at once: no air in the core.",
        word("bleed-air", "coolant at once, no air"),
        clears="air-locked",
        hints="core-clogged",
        then="rinse-by-sections",
    ),
    rule(
        2,
        "Gurgling behind the dash: air in the heater.",
        noticed("gurgling heard", "gurgles", "gurgles faintly"),
        points="air-locked",
    ),
    rule(
        3,
        "Much warmer when revved: the pump pushes air on, or moves too little at idle.",
        differs("vent-at-idle-and-revved", 8.0),
        points="air-locked pump-impeller-eroded pump-belt-slipping",
        against="core-clogged valve-seized-shut heater-return-blocked",
    ),
    rule(
        3,
        "No warmer when revved.",
        all_of(done("vent-at-idle-and-revved"), none_of(differs("vent-at-idle-and-revved", 5.0))),
        against="air-locked pump-impeller-eroded pump-belt-slipping",
    ),
    rule(
        1,
        "Rusty, with sludge at the neck: what settles there settles in the core's tubes too.",
        word("coolant-level-cold", "rusty, with sludge at the neck", reading=1),
        points="core-clogged",
        hints="coolant-depleted radiator-blocked",
    ),
    rule(
        1,
        "Antifreeze near 0 °C is water.",
        above("refractometer", -18.0),
        proves="antifreeze-weak",
    ),
    rule(1, "The antifreeze is good.", below("refractometer", -24.0), clears="antifreeze-weak"),
    rule(
        2,
        "0.3 V and more between coolant and ground, loads on and off alike: spent.",
        any_of(
            all_of(above("coolant-voltage", 0.3), above("coolant-voltage", 0.3, reading=1)),
            above("coolant-voltage-loads-off", 0.3),
        ),
        proves="coolant-depleted",
    ),
    rule(2, "No voltage in the coolant.", below("coolant-voltage-loads-off", 0.28), clears="coolant-depleted"),
    rule(
        1,
        "Warm in front and cold behind, the level right: air in the rear heater.",
        all_of(has("rear-heater"), told("cold in the rear"), FULL),
        points="rear-heater-air-locked",
        then="rear-vent-temperature rear-bleed",
    ),
    rule(
        1,
        "A long run of air at the rear bleed point.",
        word("rear-bleed", "a long run of air"),
        proves="rear-heater-air-locked",
    ),
)
