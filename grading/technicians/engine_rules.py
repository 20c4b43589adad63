"""Rules about the engine's temperature, what cools it and what tells of it. Bands: common practice, no source."""

from __future__ import annotations

from grading.technicians.heat_rules import AIR_WARM, COLD_ENGINE, IN_THE_RED
from grading.technicians.rule import (
    above,
    all_of,
    any_of,
    below,
    done,
    hot_hose,
    none_of,
    noticed,
    rule,
    told,
    word,
)

GAUGE_LOW = ("on its cold stop", "just off cold", "a quarter up", "a little below the middle")
OVERHEATS = (
    "thermostat-stuck-closed fan-dead radiator-blocked pump-impeller-loose pump-belt-broken pump-belt-slipping "
    "pump-impeller-eroded head-gasket-leak antifreeze-weak"
)
ENGINE_HOT = any_of(
    above("housing-infrared-taped", 78.0), hot_hose("feed"), above("upper-radiator-hose-infrared", 65.0)
)
COMPUTER_COLD = all_of(
    any_of(below("scan-coolant-temperature", 76.0), below("scan-on-the-road", 76.0)),
    none_of(above("scan-on-the-road", 79.0)),
)
HOSE_WARM_EARLY = above("upper-hose-in-warm-up", 30.0, reading=1)
UPPER_COOL = any_of(
    below("upper-radiator-hose-infrared", 62.0), word("upper-radiator-hose-touch", "cold", "cool", "lukewarm", "warm")
)
FAN_STILL = any_of(
    word("radiator-fan", "still"), word("fan-on-a-fused-lead", "still"), word("spin-the-fan", "spins freely")
)

RULES = (
    rule(
        0,
        "Warm enough a drive and the engine is not: the thermostat does not close, or opens too soon.",
        all_of(COMPUTER_COLD, none_of(ENGINE_HOT)),
        points=COLD_ENGINE,
        hints="thermostat-stuck-open",
        against="core-clogged air-locked valve-seized-shut none",
        then="upper-radiator-hose-infrared",
    ),
    rule(
        1,
        "Cold by the computer and hot by its hoses: the sensor.",
        all_of(COMPUTER_COLD, ENGINE_HOT),
        points="sensor-reads-low",
        clears=COLD_ENGINE,
        then="trouble-codes housing-infrared-taped",
    ),
    rule(
        2,
        "Taped housing hot, computer cold: the sensor reads low.",
        all_of(COMPUTER_COLD, above("housing-infrared-taped", 80.0)),
        proves="sensor-reads-low",
        clears=COLD_ENGINE,
    ),
    rule(
        2,
        "Both say cold: the engine is.",
        all_of(below("scan-coolant-temperature", 76.0), below("housing-infrared-taped", 74.0)),
        clears="sensor-reads-low gauge-stuck",
        points=COLD_ENGINE,
    ),
    rule(
        1,
        "A warm engine: the thermostat closes.",
        all_of(
            any_of(above("scan-coolant-temperature", 82.0), above("scan-on-the-road", 82.0)),
            none_of(COMPUTER_COLD),
        ),
        clears=COLD_ENGINE,
    ),
    rule(
        0,
        "The needle low after a drive: cold engine, or a gauge that lies. Ask the computer.",
        any_of(word("gauge", *GAUGE_LOW), word("gauge-on-the-road", *GAUGE_LOW)),
        points=COLD_ENGINE,
        hints="gauge-stuck sensor-reads-low sensor-open",
        then="scan-coolant-temperature",
    ),
    rule(
        2,
        "Code of a coolant that does not get warm.",
        word("trouble-codes", "P0128"),
        points=COLD_ENGINE,
        hints="sensor-reads-low",
        then="scan-coolant-temperature",
    ),
    rule(
        2,
        "The upper hose warms from the first minute: it does not close.",
        HOSE_WARM_EARLY,
        points="thermostat-stuck-open thermostat-missing",
        against="thermostat-stuck-closed fan-dead none",
    ),
    rule(
        2,
        "The upper hose stays cold at first: it closes.",
        below("upper-hose-in-warm-up", 22.0, reading=1),
        against="thermostat-stuck-open thermostat-missing",
        hints="thermostat-opens-early",
    ),
    rule(
        3,
        "Colder than any that sticks: there is none in it.",
        all_of(below("scan-on-the-road", 52.0), none_of(ENGINE_HOT)),
        hints="thermostat-missing",
    ),
    rule(
        4,
        "It closes at first and opens far too soon.",
        all_of(below("upper-hose-in-warm-up", 22.0, reading=1), COMPUTER_COLD, none_of(ENGINE_HOT)),
        points="thermostat-opens-early",
    ),
    rule(
        3,
        "Cold on the road by the computer too, and no hose hot: the thermostat for certain.",
        all_of(below("scan-on-the-road", 76.0), none_of(ENGINE_HOT)),
        proves="thermostat-stuck-open",
        points="thermostat-opens-early thermostat-missing",
    ),
    rule(
        1,
        "Warms at rest and cold on the road goes with a thermostat that does not close.",
        all_of(told("cold on the road"), COMPUTER_COLD),
        points="thermostat-stuck-open",
    ),
    rule(
        4,
        "None in the housing.",
        word("thermostat-in-a-pot", "there is none in the housing"),
        proves="thermostat-missing",
    ),
    rule(4, "Open in cold water.", word("thermostat-in-a-pot", "open in cold water"), proves="thermostat-stuck-open"),
    rule(4, "Opens early.", word("thermostat-in-a-pot", "opens early"), proves="thermostat-opens-early"),
    rule(
        0,
        "Too hot.",
        IN_THE_RED,
        points=OVERHEATS,
        clears=f"{COLD_ENGINE} none",
        then="belt upper-radiator-hose-infrared",
    ),
    rule(
        1,
        "Too hot and the upper radiator hose cool: the thermostat does not open.",
        all_of(IN_THE_RED, UPPER_COOL, none_of(noticed("warmth felt", "icy", "cool"))),
        points="thermostat-stuck-closed",
        against="fan-dead radiator-blocked",
    ),
    rule(
        2,
        "Overheats by the customer or by its code, and the upper hose stays cool on a warm engine.",
        all_of(
            told("overheating"),
            below("upper-radiator-hose-infrared", 55.0),
            any_of(hot_hose("return"), AIR_WARM),
            none_of(COMPUTER_COLD),
        ),
        proves="thermostat-stuck-closed",
    ),
    rule(
        3,
        "Too hot, hose cool, heater hot: stuck closed.",
        all_of(IN_THE_RED, UPPER_COOL, any_of(hot_hose("return"), AIR_WARM, noticed("warmth felt", "hot"))),
        proves="thermostat-stuck-closed",
    ),
    rule(
        1,
        "Too hot and the upper radiator hose hot: coolant reaches the radiator. Look at fan and radiator.",
        all_of(
            IN_THE_RED,
            any_of(above("upper-radiator-hose-infrared", 80.0), word("upper-radiator-hose-touch", "too hot to hold")),
        ),
        points="fan-dead radiator-blocked",
        clears="thermostat-stuck-closed",
        then="radiator-fan fan-on-a-fused-lead spin-the-fan radiator-face radiator-scan",
    ),
    rule(
        1,
        "The fan does not turn on a lead of its own.",
        any_of(word("fan-on-a-fused-lead", "still"), word("spin-the-fan", "spins freely")),
        proves="fan-dead",
        against="radiator-blocked",
    ),
    rule(
        1,
        "The fan stands while the engine is too hot.",
        all_of(IN_THE_RED, word("radiator-fan", "still")),
        points="fan-dead",
        then="fan-on-a-fused-lead spin-the-fan",
    ),
    rule(
        1,
        "It turns.",
        any_of(word("fan-on-a-fused-lead", "turning fast"), word("spin-the-fan", "drags stiffly")),
        clears="fan-dead",
    ),
    rule(
        1,
        "Cold patches on the radiator's face, or choked fins.",
        any_of(word("radiator-scan", "cold patches"), word("radiator-face", "choked")),
        proves="radiator-blocked",
    ),
    rule(
        2,
        "An even face.",
        all_of(word("radiator-scan", "even"), word("radiator-face", "clean")),
        clears="radiator-blocked",
    ),
    rule(
        1,
        "Code of an open sensor circuit.",
        any_of(word("trouble-codes", "P0118"), word("pending-codes", "P0118")),
        points="sensor-open sensor-plug-loose",
        clears="sensor-reads-low",
        against="gauge-stuck fan-always-on",
        then="sensor-resistance sensor-plug-moved",
    ),
    rule(
        2,
        "Over range at the sensor: open.",
        above("sensor-resistance", 50_000.0),
        points="sensor-open",
        then="sensor-plug-moved",
    ),
    rule(
        3,
        "Over range, and the plug moved changes nothing.",
        all_of(above("sensor-resistance", 50_000.0), word("sensor-plug-moved", "nothing changes")),
        proves="sensor-open",
    ),
    rule(
        2,
        "The sensor's circuit is whole at this moment and the code is stored: a plug.",
        all_of(
            below("sensor-resistance", 20_000.0),
            any_of(word("trouble-codes", "P0118"), word("pending-codes", "P0118")),
        ),
        points="sensor-plug-loose",
        clears="sensor-open",
    ),
    rule(
        1,
        "The needle jumps as the plug is moved.",
        word("sensor-plug-moved", "it cuts out as the plug moves"),
        proves="sensor-plug-loose",
        clears="sensor-open",
    ),
    rule(
        1,
        "The computer knows the temperature and the needle does not follow: the gauge.",
        all_of(
            any_of(word("gauge", *GAUGE_LOW), word("gauge-on-the-road", *GAUGE_LOW)),
            above("scan-coolant-temperature", 80.0),
            none_of(word("trouble-codes", "P0118", "P0128")),
        ),
        proves="gauge-stuck",
        clears=COLD_ENGINE,
    ),
    rule(
        2,
        "A needle in the middle on a stone-cold engine lies.",
        all_of(noticed("gauge seen", "mid-scale"), below("scan-warm-up", 40.0), told("gauge")),
        hints="gauge-stuck",
    ),
    rule(
        1,
        "The needle stands where it should.",
        all_of(word("gauge", "mid-scale"), none_of(done("scan-warm-up"))),
        against=COLD_ENGINE,
    ),
    rule(
        1,
        "The fan turns on a cold engine and no code asks for it.",
        all_of(
            told("fan noise"),
            word("radiator-fan", "turning fast", "turning slowly"),
            word("trouble-codes", "no code"),
        ),
        proves="fan-always-on",
    ),
)
