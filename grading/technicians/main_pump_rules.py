"""Rules about an electric main coolant pump: what it answers, its circuit, its impeller. Bands: common practice, no
source.
"""

from __future__ import annotations

from grading.technicians.heat_rules import AIR_COLD, IN_THE_RED
from grading.technicians.rule import above, all_of, any_of, below, has, none_of, noticed, rule, told, word

FITTED = has("electric-main-pump")
LISTEN, SPEED, DRIVEN = "main-pump-listen", "main-pump-speed", "main-pump-driven-by-tool"
FUSE, SUPPLY, SWAP, DROP = "main-pump-fuse-look", "main-pump-supply", "main-pump-relay-swap", "main-pump-ground-drop"
CURRENT, LEAD, INLET, SIGNAL = (
    "main-pump-current",
    "main-pump-on-a-fused-lead",
    "main-pump-inlet",
    "main-pump-command-signal",
)
HUMS, HOWLS, SILENT, TRIES = "hums softly", "howls at full speed", "silent", "starts and stops again and again"
FEED = "main-pump-fuse-blown main-pump-relay-dead main-pump-wire-open"
STANDS = "main-pump-motor-dead main-pump-jammed main-pump-ground-corroded"
IMPELLER = "main-pump-impeller-loose main-pump-impeller-worn"
FED, UNFED = above(SUPPLY, 9.0), below(SUPPLY, 6.0)
NO_ANSWER = any_of(word("trouble-codes", "P2600"), word("pending-codes", "P2600"))
SLOW = any_of(word("trouble-codes", "P2601"), word("pending-codes", "P2601"))
RUNS = any_of(word(LISTEN, HUMS), word(DRIVEN, HOWLS))

RULES = (
    rule(
        0,
        "The computer gets no answer from the pump: is it fed, and does the command reach it?",
        NO_ANSWER,
        points=f"{FEED} main-pump-command-open",
        against=f"{STANDS} {IMPELLER} core-clogged air-locked thermostat-stuck-closed fan-dead fan-always-on",
        then=f"{LISTEN} {FUSE} {SUPPLY}",
    ),
    rule(
        0,
        "The pump answers and does not turn as asked: jammed, its motor, or a ground that fails under load.",
        SLOW,
        points=STANDS,
        against=f"{FEED} {IMPELLER} main-pump-command-open core-clogged air-locked thermostat-stuck-closed fan-dead",
        then=f"{DRIVEN} {DROP} {CURRENT}",
    ),
    rule(
        1,
        "Too hot, or cold at the vents, with a pump that no belt drives: ask the scan tool and the ear.",
        all_of(FITTED, any_of(IN_THE_RED, AIR_COLD, noticed("warmth felt", "icy", "cool"), told("overheating"))),
        hints=f"{IMPELLER} {STANDS}",
        then=f"{LISTEN} {SPEED}",
    ),
    rule(
        1,
        "It hums as it should: it is fed, commanded and turns.",
        word(LISTEN, HUMS),
        clears=f"{FEED} {STANDS} main-pump-command-open",
    ),
    rule(
        1,
        "It howls with a cold engine: it gets no command.",
        all_of(word(LISTEN, HOWLS), none_of(word("trouble-codes", "P0117", "P0118"))),
        points="main-pump-command-open",
        clears=f"{FEED} {STANDS}",
        then=f"trouble-codes {SIGNAL}",
    ),
    rule(
        1,
        "It starts and stops: jammed, or its ground.",
        any_of(word(LISTEN, TRIES), word(DRIVEN, TRIES)),
        points="main-pump-jammed main-pump-ground-corroded",
        clears=f"{FEED} {IMPELLER} main-pump-motor-dead main-pump-command-open",
        then=f"{DROP} {CURRENT} {LEAD}",
    ),
    rule(
        1,
        "It is silent with heat asked for.",
        word(LISTEN, SILENT),
        points=f"{FEED} main-pump-motor-dead",
        clears="main-pump-command-open",
        then=f"{SUPPLY} {FUSE} {LEAD}",
    ),
    rule(1, "Its fuse is blown.", below(FUSE, 6.0), proves="main-pump-fuse-blown"),
    rule(1, "Its fuse is good.", above(FUSE, 9.0), clears="main-pump-fuse-blown"),
    rule(1, "Supply at the plug.", FED, clears=FEED, then=f"{SIGNAL} {DROP}"),
    rule(
        1,
        "Nothing arrives at the plug: the pump need not be at fault.",
        UNFED,
        points=FEED,
        against=f"{STANDS} main-pump-command-open",
        then=f"{FUSE} {SWAP}",
    ),
    rule(
        1,
        "It runs with the other relay.",
        all_of(word(SWAP, HUMS, HOWLS), any_of(UNFED, word(LISTEN, SILENT), word(DRIVEN, SILENT))),
        proves="main-pump-relay-dead",
    ),
    rule(
        2,
        "Fuse good, another relay no help, nothing at the plug: the wire.",
        all_of(word(SWAP, SILENT), UNFED, above(FUSE, 9.0)),
        proves="main-pump-wire-open",
        clears="main-pump-relay-dead",
    ),
    rule(1, "Volts over its ground.", above(DROP, 3.0), proves="main-pump-ground-corroded"),
    rule(1, "No volts over its ground.", below(DROP, 1.0), clears="main-pump-ground-corroded"),
    rule(
        1,
        "The command reaches the plug.",
        word(SIGNAL, "a clean signal"),
        clears="main-pump-command-open",
    ),
    rule(1, "No command reaches the plug.", word(SIGNAL, "a flat line"), proves="main-pump-command-open"),
    rule(1, "Silent on a lead of its own.", word(LEAD, SILENT), proves="main-pump-motor-dead"),
    rule(
        1,
        "It tries in vain on a lead and a ground of its own.",
        word(LEAD, TRIES),
        proves="main-pump-jammed",
        clears="main-pump-ground-corroded",
    ),
    rule(
        1,
        "It runs on a lead of its own: the pump's motor is good and nothing jams it.",
        word(LEAD, HOWLS),
        clears="main-pump-motor-dead main-pump-jammed",
    ),
    rule(
        2,
        "It tries, and its ground is good: jammed.",
        all_of(any_of(word(LISTEN, TRIES), word(DRIVEN, TRIES)), below(DROP, 1.0)),
        proves="main-pump-jammed",
    ),
    rule(
        2,
        "It turns, and a fraction of its current: it moves nothing.",
        all_of(RUNS, below(CURRENT, 15.0)),
        points=IMPELLER,
        clears="air-locked core-clogged heater-return-blocked",
        against="thermostat-stuck-closed none",
        then=INLET,
    ),
    rule(2, "Its full current: it moves coolant.", above(CURRENT, 20.0), clears=IMPELLER),
    rule(
        1,
        "It turns as asked, no code, and the core stays cold: current, then a look at the impeller.",
        all_of(RUNS, any_of(AIR_COLD, IN_THE_RED, noticed("warmth felt", "icy", "cool"))),
        points=IMPELLER,
        then=f"{CURRENT} {INLET}",
    ),
    rule(1, "Loose on its shaft.", word(INLET, "impeller loose on its shaft"), proves="main-pump-impeller-loose"),
    rule(1, "Worn to stumps.", word(INLET, "vanes worn to stumps"), proves="main-pump-impeller-worn"),
    rule(1, "Debris between the vanes.", word(INLET, "debris between the vanes"), proves="main-pump-jammed"),
    rule(
        1,
        "The impeller is whole.",
        word(INLET, "vanes whole, impeller tight on its shaft"),
        clears=f"{IMPELLER} main-pump-jammed",
    ),
)
