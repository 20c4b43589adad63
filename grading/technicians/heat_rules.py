"""Rules about heat that reaches the core: pump, valve, hoses, core. Bands: common practice, no source."""

from __future__ import annotations

from grading.technicians.rule import (
    above,
    all_of,
    any_of,
    below,
    cold_hose,
    differs,
    done,
    has,
    hot_hose,
    none_of,
    noticed,
    rule,
    told,
    word,
)

AIR_SIDE = (
    "blend-actuator-stripped blend-actuator-dead blend-cable-off blend-door-broken blend-vacuum-off "
    "blend-seal-perished blend-plug-loose"
)
VALVE = (
    "valve-seized-shut valve-seized-partway valve-cable-off valve-coil-open valve-coil-opens-hot valve-no-supply "
    "three-way-valve-stuck"
)
PUMP = "pump-belt-broken pump-belt-slipping pump-impeller-eroded pump-impeller-loose"
LITTLE_FLOW = f"{VALVE} air-locked core-clogged heater-return-blocked {PUMP}"
COLD_ENGINE = "thermostat-stuck-open thermostat-opens-early thermostat-missing"

AIR_WARM = any_of(above("vent-temperature", 56.0), above("vent-temperature-on-the-road", 56.0))
AIR_COLD = any_of(below("vent-temperature", 42.0), below("vent-temperature-on-the-road", 42.0))
STEM_STILL = any_of(word("valve-movement", "does not move"), word("three-way-movement", "does not move"))
STEM_MOVES = any_of(
    word("valve-movement", "moves its full travel"), word("three-way-movement", "moves its full travel")
)
BOTH_HOT = all_of(hot_hose("feed"), hot_hose("return"))
FEED_ONLY = all_of(hot_hose("feed"), cold_hose("return"))
BOTH_COLD = all_of(cold_hose("feed"), cold_hose("return"))
HOT_INTO_VALVE = any_of(
    all_of(above("valve-both-sides-infrared", 55.0), none_of(differs("valve-both-sides-infrared", -22.0))),
    all_of(
        word("valve-both-sides-touch", "hot", "too hot to hold"),
        word("valve-both-sides-touch", "cold", "cool", "lukewarm", reading=1),
    ),
    all_of(
        word("three-way-both-sides-touch", "hot", "too hot to hold"),
        word("three-way-both-sides-touch", "cold", "cool", "lukewarm", reading=1),
    ),
)
THROUGH_VALVE = any_of(
    all_of(above("valve-both-sides-infrared", 50.0, reading=1), differs("valve-both-sides-infrared", -22.0)),
    word("valve-both-sides-touch", "hot", "too hot to hold", reading=1),
    word("three-way-both-sides-touch", "hot", "too hot to hold", reading=1),
)
IN_THE_RED = any_of(
    noticed("gauge seen", "in the red", "near the red"),
    noticed("temperature lamp seen", "lit"),
    above("scan-coolant-temperature", 104.0),
    word("gauge", "in the red", "near the red"),
    word("trouble-codes", "P0217"),
)
BELT_GOOD = word("belt", "sound and tight")

RULES = (
    rule(
        0,
        "Both heater hoses hot and the vents cold: the air goes past the core.",
        all_of(BOTH_HOT, none_of(AIR_WARM)),
        points=AIR_SIDE,
        clears=f"{LITTLE_FLOW} coolant-low hose-leak pump-seal-leak head-gasket-leak cap-weak",
        against=f"{COLD_ENGINE} controller-no-command none",
        then="blend-door-listen",
    ),
    rule(
        0,
        "Feed hot and return cold: little passes the core.",
        FEED_ONLY,
        points=LITTLE_FLOW,
        hints="core-clogged",
        clears=f"{AIR_SIDE} {COLD_ENGINE} none",
        then="valve-movement three-way-movement",
    ),
    rule(
        1,
        "Both hoses cold with a warm engine: no coolant comes as far as the bulkhead.",
        all_of(BOTH_COLD, none_of(below("scan-coolant-temperature", 70.0))),
        points=f"{LITTLE_FLOW} controller-no-command",
        against="core-clogged heater-return-blocked none",
        clears=f"{AIR_SIDE} {COLD_ENGINE}",
        then="valve-movement three-way-movement",
    ),
    rule(
        3,
        "Where the valve sits at the bulkhead a cold feed is no valve.",
        all_of(cold_hose("feed"), has("valve-cable")),
        against="valve-seized-shut valve-cable-off core-clogged",
        hints="air-locked",
    ),
    rule(
        1,
        "Cold air where it should be warm, whatever was complained of: feel the hoses, listen to the door.",
        AIR_COLD,
        then="scan-coolant-temperature blend-door-listen heater-feed-touch heater-return-touch",
    ),
    rule(
        1,
        "Cold air, a warm engine, a door that lands: does the valve open?",
        all_of(
            AIR_COLD, above("scan-coolant-temperature", 79.0), word("blend-door-listen", "one knock as the door lands")
        ),
        points=LITTLE_FLOW,
        then="valve-movement three-way-movement",
    ),
    rule(
        2,
        "Sludge at the neck, hot coolant as far as the core, and a cold return: it is clogged.",
        all_of(
            word("coolant-level-cold", "rusty, with sludge at the neck", reading=1),
            cold_hose("return"),
            any_of(THROUGH_VALVE, all_of(hot_hose("feed"), none_of(has("heater-valve"), has("three-way-valve")))),
        ),
        proves="core-clogged",
    ),
    rule(
        2,
        "It comes and goes with the engine bay's heat, and the stem stands: a joint in the coil.",
        all_of(STEM_STILL, has("valve-electric"), lambda notes: notes.comes_and_goes),
        points="valve-coil-opens-hot",
        against="valve-coil-open valve-seized-shut",
        then="valve-coil-resistance",
    ),
    rule(
        0,
        "Warm air at the vents: whatever it was, it is not there now.",
        AIR_WARM,
        against=f"{LITTLE_FLOW} {AIR_SIDE} coolant-low",
        hints="none",
    ),
    rule(
        1,
        "Cold air at the vents with a warm engine is no matter of patience.",
        all_of(AIR_COLD, none_of(below("scan-coolant-temperature", 70.0))),
        clears="none",
    ),
    rule(
        1,
        "The valve's stem does not move.",
        all_of(STEM_STILL, none_of(has("valve-vacuum"))),
        points=VALVE,
        hints="controller-no-command",
        against="air-locked core-clogged heater-return-blocked pump-impeller-eroded pump-impeller-loose",
        then="valve-cable-look valve-by-hand valve-supply-voltage heat-command valve-coil-resistance",
    ),
    rule(
        1,
        "The stem moves its full travel: valve and drive are well, unless the disc came off it.",
        STEM_MOVES,
        clears="valve-cable-off valve-no-supply valve-coil-open controller-no-command valve-seized-partway",
        against="valve-seized-shut three-way-valve-stuck valve-coil-opens-hot",
    ),
    rule(
        2,
        "The stem moves and little passes: feel both sides of the valve.",
        all_of(STEM_MOVES, any_of(FEED_ONLY, AIR_COLD)),
        then="valve-both-sides-infrared three-way-both-sides-touch",
    ),
    rule(
        2,
        "Hot before the valve and cold behind it, though the stem moves: its disc has come off.",
        all_of(HOT_INTO_VALVE, STEM_MOVES),
        proves="valve-seized-shut",
    ),
    rule(
        2,
        "Hot before the valve, cold behind it.",
        all_of(HOT_INTO_VALVE, STEM_STILL),
        points="valve-seized-shut three-way-valve-stuck",
        against="core-clogged air-locked",
    ),
    rule(
        2,
        "Hot behind the valve and the return cold: the core, its air, or the hose behind it.",
        all_of(THROUGH_VALVE, cold_hose("return")),
        points="core-clogged heater-return-blocked",
        clears=VALVE,
        then="vent-at-idle-and-revved bleed-air rinse-by-sections",
    ),
    rule(
        1,
        "No valve on this vehicle and the return cold: air, or the core.",
        all_of(FEED_ONLY, none_of(has("heater-valve"), has("three-way-valve"))),
        points="core-clogged heater-return-blocked air-locked",
        then="vent-at-idle-and-revved bleed-air rinse-by-sections",
    ),
    rule(0, "The valve's cable is off.", word("valve-cable-look", "off its clip"), proves="valve-cable-off"),
    rule(
        1,
        "The cable is on.",
        word("valve-cable-look", "clipped and taut"),
        clears="valve-cable-off",
    ),
    rule(
        1,
        "The lever will not move by hand: seized.",
        word("valve-by-hand", "will not move"),
        points="valve-seized-shut valve-seized-partway",
        clears="valve-cable-off",
    ),
    rule(
        3,
        "Seized, with the air cold: shut.",
        all_of(
            word("valve-by-hand", "will not move"),
            any_of(below("vent-temperature", 25.0), below("vent-temperature-on-the-road", 25.0)),
        ),
        proves="valve-seized-shut",
        clears="valve-seized-partway",
    ),
    rule(
        3,
        "Seized, with the air lukewarm: partway.",
        all_of(
            word("valve-by-hand", "will not move"),
            any_of(above("vent-temperature", 32.0), above("vent-temperature-on-the-road", 32.0)),
        ),
        proves="valve-seized-partway",
        against="valve-seized-shut",
    ),
    rule(
        2,
        "Free by hand and still by the control: what drives it.",
        all_of(word("valve-by-hand", "moves freely"), STEM_STILL, has("valve-electric")),
        points="valve-coil-open valve-no-supply valve-coil-opens-hot controller-no-command",
        clears="valve-seized-shut valve-seized-partway",
    ),
    rule(
        2,
        "No supply at the valve although the control asks for heat: its wiring.",
        all_of(below("valve-supply-voltage", 6.0), above("heat-command", 50.0)),
        proves="valve-no-supply",
    ),
    rule(
        1,
        "No supply at the valve: is heat asked for at all?",
        below("valve-supply-voltage", 6.0),
        points="valve-no-supply",
        hints="controller-no-command",
        against="valve-seized-shut valve-coil-open valve-coil-opens-hot",
        then="heat-command",
    ),
    rule(
        2,
        "Full supply at the valve.",
        above("valve-supply-voltage", 9.0),
        clears="valve-no-supply controller-no-command",
        hints="valve-coil-open valve-coil-opens-hot",
        then="valve-coil-resistance",
    ),
    rule(
        1,
        "Nothing is asked for with the control at hot: the control.",
        below("heat-command", 20.0),
        proves="controller-no-command",
    ),
    rule(1, "The control asks for heat.", above("heat-command", 80.0), clears="controller-no-command"),
    rule(
        1,
        "The winding is open.",
        all_of(above("valve-coil-resistance", 1000.0), none_of(told("slow"))),
        points="valve-coil-open valve-coil-opens-hot",
        clears="valve-seized-shut valve-seized-partway valve-no-supply",
    ),
    rule(
        2,
        "An open winding where it never worked: open for good.",
        all_of(above("valve-coil-resistance", 1000.0), lambda notes: not notes.comes_and_goes),
        proves="valve-coil-open",
        against="valve-coil-opens-hot",
    ),
    rule(
        2,
        "An open winding, hot, where it worked cold: a joint that heat parts.",
        all_of(above("valve-coil-resistance", 1000.0), lambda notes: notes.comes_and_goes),
        proves="valve-coil-opens-hot",
        against="valve-coil-open",
    ),
    rule(
        2,
        "The winding is whole.",
        below("valve-coil-resistance", 100.0),
        clears="valve-coil-open valve-coil-opens-hot",
        hints="valve-seized-shut valve-seized-partway",
        then="valve-by-hand",
    ),
    rule(
        1,
        "The three-way valve's pointer does not move and heat is asked for.",
        all_of(word("three-way-movement", "does not move"), above("heat-command", 50.0)),
        proves="three-way-valve-stuck",
    ),
    rule(0, "No belt, no pump.", word("belt", "gone"), proves="pump-belt-broken"),
    rule(
        1,
        "A slack or glazed belt: listen to it under load.",
        word("belt", "slack or glazed"),
        points="pump-belt-slipping",
        then="belt-listen",
    ),
    rule(
        1,
        "It squeals: it slips.",
        any_of(word("belt-listen", "squeals"), noticed("belt heard", "squeals")),
        proves="pump-belt-slipping",
        against="pump-impeller-eroded pump-impeller-loose",
    ),
    rule(1, "The belt is sound and tight.", BELT_GOOD, clears="pump-belt-broken pump-belt-slipping"),
    rule(
        2,
        "Too hot an engine, full, its belt sound, and no heat at the core: the pump turns and moves nothing.",
        all_of(
            IN_THE_RED,
            any_of(cold_hose("return"), AIR_COLD, noticed("warmth felt", "icy", "cool")),
            none_of(word("belt", "gone", "slack or glazed")),
        ),
        points="pump-impeller-loose",
        hints="pump-impeller-eroded head-gasket-leak",
        against="core-clogged air-locked thermostat-stuck-closed fan-dead radiator-blocked",
    ),
    rule(
        3,
        "Too hot, full, belt sound, no gas, the core cold: the impeller.",
        all_of(
            IN_THE_RED,
            any_of(cold_hose("return"), AIR_COLD, noticed("warmth felt", "icy", "cool")),
            any_of(BELT_GOOD, none_of(has("pump-belt"))),
            word("coolant-level-cold", "full", "a little low"),
        ),
        proves="pump-impeller-loose",
    ),
    rule(
        3,
        "A cool return, warm air with revs, the belt sound: the pump moves little.",
        all_of(
            cold_hose("return"),
            above("vent-at-idle-and-revved", 28.0),
            BELT_GOOD,
            above("scan-coolant-temperature", 93.0),
        ),
        points="pump-impeller-eroded",
    ),
    rule(
        1,
        "The feed hose is drawn flat with revs.",
        word("feed-hose-revved", "flat", "drawn in a little", reading=1),
        proves="heater-feed-collapsed",
    ),
    rule(
        2, "It keeps its shape.", word("feed-hose-revved", "keeps its shape", reading=1), clears="heater-feed-collapsed"
    ),
    rule(
        1,
        "Hardly anything passes the core when it is rinsed.",
        word("rinse-by-sections", "hardly anything passes", "a weak stream", reading=1),
        proves="core-clogged",
        clears="heater-return-blocked",
    ),
    rule(
        1,
        "Hardly anything passes the return hose.",
        word("rinse-by-sections", "hardly anything passes", "a weak stream", reading=2),
        proves="heater-return-blocked",
        clears="core-clogged",
    ),
    rule(
        2,
        "All runs freely.",
        all_of(
            done("rinse-by-sections"),
            word("rinse-by-sections", "runs freely", reading=1),
            word("rinse-by-sections", "runs freely", reading=2),
        ),
        clears="core-clogged heater-return-blocked",
    ),
)
