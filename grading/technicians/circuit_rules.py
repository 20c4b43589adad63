"""Rules about fuse, relay, wire and ground of heater pump, valve and air heater. Bands: common practice, no source."""

from __future__ import annotations

from grading.technicians.rule import above, all_of, below, none_of, rule, word

PUMP_FEED = "heater-pump-fuse-blown heater-pump-relay-dead heater-pump-wire-open"
AIR_FEED = "air-heater-fuse-blown air-heater-relay-dead"
PUMP_FED, AIR_FED = above("heater-pump-supply", 9.0), above("air-heater-supply", 9.0)
SWAP = "heater-pump-relay-swap"

RULES = (
    rule(
        1,
        "The electric heater pump is silent: is it fed?",
        word("heater-pump-listen", "silent"),
        points=f"auxiliary-pump-dead {PUMP_FEED} heater-pump-ground-corroded",
        then="heater-pump-fuse-look heater-pump-supply",
    ),
    rule(
        1,
        "It hums.",
        word("heater-pump-listen", "it hums"),
        clears=f"auxiliary-pump-dead {PUMP_FEED} heater-pump-ground-corroded",
    ),
    rule(1, "Its fuse is blown.", below("heater-pump-fuse-look", 6.0), proves="heater-pump-fuse-blown"),
    rule(1, "Its fuse is good.", above("heater-pump-fuse-look", 9.0), clears="heater-pump-fuse-blown"),
    rule(
        1,
        "Fed, and silent: the pump, or its way to ground.",
        PUMP_FED,
        points="auxiliary-pump-dead heater-pump-ground-corroded",
        clears=PUMP_FEED,
        then="heater-pump-ground-drop heater-pump-on-a-fused-lead",
    ),
    rule(
        1,
        "Nothing arrives: the pump need not be at fault.",
        below("heater-pump-supply", 6.0),
        points=PUMP_FEED,
        against="auxiliary-pump-dead heater-pump-ground-corroded",
        then=f"heater-pump-fuse-look {SWAP}",
    ),
    rule(1, "Volts over its ground.", above("heater-pump-ground-drop", 3.0), proves="heater-pump-ground-corroded"),
    rule(
        2,
        "Fed, no current, a good ground: the pump.",
        all_of(PUMP_FED, below("heater-pump-ground-drop", 1.0)),
        proves="auxiliary-pump-dead",
        clears="heater-pump-ground-corroded",
    ),
    rule(
        1, "Silent on a lead of its own.", word("heater-pump-on-a-fused-lead", "silent"), proves="auxiliary-pump-dead"
    ),
    rule(
        1,
        "It hums on a lead of its own.",
        word("heater-pump-on-a-fused-lead", "it hums"),
        clears="auxiliary-pump-dead",
    ),
    rule(
        1,
        "It hums with the other relay.",
        all_of(word(SWAP, "it hums"), word("heater-pump-listen", "silent")),
        proves="heater-pump-relay-dead",
    ),
    rule(
        2,
        "Fuse good, another relay no help, nothing at the plug: the wire.",
        all_of(word(SWAP, "silent"), below("heater-pump-supply", 6.0), above("heater-pump-fuse-look", 9.0)),
        proves="heater-pump-wire-open",
        clears="heater-pump-relay-dead",
    ),
    rule(1, "The valve's fuse is blown.", below("valve-fuse-look", 6.0), proves="heater-valve-fuse-blown"),
    rule(
        1,
        "The valve's fuse is good.",
        above("valve-fuse-look", 9.0),
        clears="heater-valve-fuse-blown",
    ),
    rule(
        1,
        "No supply at the valve: its fuse first.",
        below("valve-supply-voltage", 6.0),
        points="heater-valve-fuse-blown",
        clears="heater-valve-ground-corroded",
        then="valve-fuse-look",
    ),
    rule(
        2,
        "Full supply at a valve that stands: its ground.",
        all_of(above("valve-supply-voltage", 9.0), word("valve-movement", "does not move")),
        points="heater-valve-ground-corroded",
        clears="heater-valve-fuse-blown",
        then="valve-ground-drop",
    ),
    rule(1, "Volts over its ground.", above("valve-ground-drop", 3.0), proves="heater-valve-ground-corroded"),
    rule(
        1,
        "No volts over its ground.",
        below("valve-ground-drop", 1.0),
        clears="heater-valve-ground-corroded",
    ),
    rule(
        1,
        "The electric air heater's lead carries nothing: is it fed?",
        below("air-heater-current", 5.0),
        points=f"air-heater-dead {AIR_FEED}",
        then="air-heater-fuse-look air-heater-supply",
    ),
    rule(
        1,
        "It carries a part of its current: its ground.",
        all_of(above("air-heater-current", 5.0), below("air-heater-current", 45.0)),
        points="air-heater-ground-corroded",
        then="air-heater-ground-drop",
    ),
    rule(
        1,
        "It carries its current.",
        above("air-heater-current", 55.0),
        clears=f"air-heater-dead air-heater-ground-corroded {AIR_FEED}",
    ),
    rule(1, "The air heater's fuse is blown.", below("air-heater-fuse-look", 6.0), proves="air-heater-fuse-blown"),
    rule(1, "The air heater's fuse is good.", above("air-heater-fuse-look", 9.0), clears="air-heater-fuse-blown"),
    rule(
        1,
        "Fed, and no current: the heater.",
        all_of(AIR_FED, below("air-heater-current", 5.0)),
        proves="air-heater-dead",
        clears=AIR_FEED,
    ),
    rule(
        1,
        "Nothing arrives, and the fuse is good: its relay.",
        all_of(below("air-heater-supply", 6.0), above("air-heater-fuse-look", 9.0)),
        points="air-heater-relay-dead",
        clears="air-heater-dead",
        then="air-heater-relay-swap",
    ),
    rule(
        1,
        "Current with the other relay.",
        all_of(above("air-heater-relay-swap", 20.0), none_of(above("air-heater-current", 20.0))),
        proves="air-heater-relay-dead",
    ),
    rule(1, "Volts over its ground.", above("air-heater-ground-drop", 1.5), proves="air-heater-ground-corroded"),
)
