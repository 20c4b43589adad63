"""Rules about the blower and its circuit. Bands: common practice, no source."""

from __future__ import annotations

from grading.technicians.rule import above, all_of, any_of, below, done, has, none_of, noticed, rule, word

CHECK = "blower-each-speed"
NOTHING, LITTLE = ("no air",), ("no air", "a breath of air")
FEED = "blower-fuse-blown blower-relay-dead blower-switch-dead blower-wire-chafed"
SILENT = f"{FEED} blower-motor-dead blower-controller-dead cold-lockout-stuck"
WEAK = "cabin-filter-blocked core-fins-blocked blower-bearings-dry blower-wheel-loose"
LOST_VOLTS = "blower-connector-burnt blower-ground-corroded blower-motor-worn"
ALL_BLOWER = f"{SILENT} {WEAK} {LOST_VOLTS} resistor-pack-open blower-plug-loose"
GOOD_AIR = all_of(
    word(CHECK, "weak", "moderate", "strong", reading=0),
    word(CHECK, "moderate", "strong", "very strong", reading=1),
    word(CHECK, "very strong", reading=3),
)
NONE_LOW = all_of(word(CHECK, *NOTHING), word(CHECK, *NOTHING, reading=1))
AIR_ON_4 = word(CHECK, "weak", "moderate", "strong", "very strong", reading=3)
NONE_AT_ALL = all_of(NONE_LOW, word(CHECK, *NOTHING, reading=3))
FULL_SUPPLY = above("blower-supply-voltage", 10.5)
NO_SUPPLY = below("blower-supply-voltage", 5.0)
RUNS = ("moderate", "strong", "very strong")

RULES = (
    rule(
        0,
        "Good air on every speed: blower and its circuit are well, at this moment.",
        GOOD_AIR,
        clears=f"{SILENT} resistor-pack-open blower-wheel-loose",
        against=f"{WEAK} {LOST_VOLTS}",
    ),
    rule(
        0,
        "Air on the highest speed only: the resistor pack.",
        all_of(NONE_LOW, AIR_ON_4, has("resistor-pack")),
        points="resistor-pack-open",
        clears=SILENT,
        against=f"{WEAK} {LOST_VOLTS}",
        then="pack-resistance",
    ),
    rule(
        2,
        "Strong on the highest and nothing below: the pack is burnt through.",
        all_of(NONE_LOW, word(CHECK, *RUNS, reading=3), has("resistor-pack")),
        proves="resistor-pack-open",
    ),
    rule(1, "The pack is open.", above("pack-resistance", 1000.0), proves="resistor-pack-open"),
    rule(1, "The pack is whole.", below("pack-resistance", 50.0), clears="resistor-pack-open"),
    rule(
        0,
        "No air at all.",
        NONE_AT_ALL,
        points=SILENT,
        hints="blower-wheel-loose",
        clears="resistor-pack-open none core-fins-blocked blower-ground-corroded",
        then="blower-listen",
    ),
    rule(
        0,
        "The motor whirs and no air follows: the wheel slips.",
        word("blower-listen", "the motor whirs and no air follows"),
        points="blower-wheel-loose",
        clears=SILENT,
        then="blower-current",
    ),
    rule(
        2,
        "It whirs, no air, little current.",
        all_of(word("blower-listen", "the motor whirs and no air follows"), below("blower-current", 12.0)),
        proves="blower-wheel-loose",
        clears="cabin-filter-blocked",
    ),
    rule(
        1,
        "Silent: no current, or a dead motor. Fuse first.",
        all_of(NONE_AT_ALL, any_of(word("blower-listen", "silent"), noticed("blower heard", "silent"))),
        points=SILENT,
        clears="blower-wheel-loose cabin-filter-blocked blower-bearings-dry",
        then="blower-fuse-look blower-command blower-supply-voltage",
    ),
    rule(
        0,
        "Nothing behind the fuse: it is blown, and had a reason.",
        below("blower-fuse-look", 5.0),
        points="blower-fuse-blown",
        hints="blower-wire-chafed",
        clears="blower-motor-dead blower-relay-dead blower-switch-dead blower-controller-dead cold-lockout-stuck",
        then="blower-wire-to-ground",
    ),
    rule(1, "The fuse is good.", above("blower-fuse-look", 9.0), clears="blower-fuse-blown blower-wire-chafed"),
    rule(
        2,
        "Near nothing from wire to ground: chafed through.",
        below("blower-wire-to-ground", 20.0),
        proves="blower-wire-chafed",
        clears="blower-fuse-blown",
    ),
    rule(
        2,
        "The wire is clear of ground: the fuse blew of age.",
        all_of(above("blower-wire-to-ground", 1000.0), below("blower-fuse-look", 5.0)),
        proves="blower-fuse-blown",
        clears="blower-wire-chafed",
    ),
    rule(
        1,
        "Full voltage at the motor and it stands: motor or ground.",
        all_of(NONE_AT_ALL, FULL_SUPPLY),
        points="blower-motor-dead",
        hints="blower-motor-worn",
        clears=f"{FEED} blower-controller-dead cold-lockout-stuck resistor-pack-open",
        then="blower-current motor-knocked",
    ),
    rule(
        2,
        "Full voltage and no current: the motor.",
        all_of(FULL_SUPPLY, below("blower-current", 1.5), NONE_AT_ALL),
        proves="blower-motor-dead",
    ),
    rule(
        1,
        "A knock starts it: worn brushes.",
        word("motor-knocked", "it picks up speed"),
        proves="blower-motor-worn",
        clears="blower-motor-dead",
    ),
    rule(
        2,
        "Faltering: worn brushes.",
        any_of(word("blower-listen", "falters and sparks"), noticed("blower heard", "falters and sparks")),
        points="blower-motor-worn",
        then="motor-knocked blower-current",
    ),
    rule(
        1,
        "No voltage at the motor: what lies before it.",
        all_of(NONE_AT_ALL, NO_SUPPLY),
        points=FEED,
        hints="blower-controller-dead cold-lockout-stuck",
        clears="blower-motor-dead",
        then="relay-drop switch-drop blower-command motor-on-a-fused-lead",
    ),
    rule(
        2,
        "The whole supply across the relay's contacts.",
        all_of(above("relay-drop", 5.0), above("blower-fuse-look", 9.0)),
        proves="blower-relay-dead",
        clears="blower-switch-dead blower-controller-dead cold-lockout-stuck",
    ),
    rule(2, "The relay's contacts are well.", below("relay-drop", 1.0), clears="blower-relay-dead"),
    rule(2, "No click.", word("relay-listen", "no click"), points="blower-relay-dead"),
    rule(1, "It runs with another relay.", word("relay-swap", *RUNS), proves="blower-relay-dead"),
    rule(
        2,
        "The whole supply across the switch.",
        above("switch-drop", 5.0),
        proves="blower-switch-dead",
        clears="blower-relay-dead",
    ),
    rule(2, "The switch is well.", below("switch-drop", 1.0), clears="blower-switch-dead"),
    rule(
        1,
        "A warm engine, and the control asks for no speed: it holds the blower back.",
        all_of(has("automatic-control"), below("blower-command", 1.5)),
        proves="cold-lockout-stuck",
        clears="blower-controller-dead",
    ),
    rule(1, "All four steps are asked for.", above("blower-command", 3.0), clears="cold-lockout-stuck"),
    rule(
        2,
        "Fuse and relay good, steps asked for, nothing at the motor: the controller.",
        all_of(
            has("blower-controller"),
            NO_SUPPLY,
            above("blower-fuse-look", 9.0),
            below("relay-drop", 1.0),
            any_of(above("blower-command", 3.0), none_of(has("automatic-control"))),
        ),
        proves="blower-controller-dead",
    ),
    rule(
        1,
        "Little on every speed and the motor sounds well: the filter.",
        all_of(word(CHECK, *LITTLE), word(CHECK, "a breath of air", "weak", "moderate", reading=3)),
        points="cabin-filter-blocked",
        hints="core-fins-blocked",
        clears=f"{SILENT} none",
        then="filter-pulled",
    ),
    rule(
        0,
        "The filter is matted shut.",
        word("filter-pulled", "matted shut"),
        proves="cabin-filter-blocked",
        clears="core-fins-blocked",
    ),
    rule(
        1,
        "The filter passes air.",
        word("filter-pulled", "clean", "grey"),
        clears="cabin-filter-blocked",
        then="blower-current",
    ),
    rule(
        1,
        "Weak on every speed, filter good: the core's face, or the motor.",
        all_of(word("filter-pulled", "clean", "grey"), word(CHECK, *LITTLE, "weak", reading=1)),
        points="core-fins-blocked blower-bearings-dry",
        then="blower-current blower-listen core-face",
    ),
    rule(
        2,
        "A quarter less current than usual with air on every speed: the air is blocked at filter or core.",
        all_of(below("blower-current", 17.5), above("blower-current", 11.0), AIR_ON_4),
        points="core-fins-blocked cabin-filter-blocked",
        then="filter-pulled core-face",
    ),
    rule(1, "The core's face is choked.", word("core-face", "choked", "partly choked"), proves="core-fins-blocked"),
    rule(1, "The core's face is clean.", word("core-face", "clean"), clears="core-fins-blocked"),
    rule(
        1,
        "It labours: dry bearings.",
        any_of(word("blower-listen", "labours"), noticed("blower heard", "labours")),
        points="blower-bearings-dry",
        then="blower-current",
    ),
    rule(
        2,
        "More current than usual: the motor drags.",
        above("blower-current", 22.5),
        points="blower-bearings-dry",
        against="core-fins-blocked cabin-filter-blocked blower-motor-worn blower-connector-burnt "
        "blower-ground-corroded",
    ),
    rule(
        3,
        "It labours and draws much.",
        all_of(
            above("blower-current", 22.0), any_of(word("blower-listen", "labours"), noticed("blower heard", "labours"))
        ),
        proves="blower-bearings-dry",
    ),
    rule(
        2,
        "The highest speed weak, the lower ones much as usual: volts are lost on the way.",
        all_of(
            word(CHECK, "moderate", "strong", reading=3),
            word(CHECK, "weak", "moderate"),
            none_of(word("filter-pulled", "matted shut")),
        ),
        points="blower-connector-burnt blower-ground-corroded",
        hints="blower-motor-worn",
        then="blower-ground-drop connector-drop blower-plug-look",
    ),
    rule(1, "Volts are lost in the ground.", above("blower-ground-drop", 1.5), proves="blower-ground-corroded"),
    rule(
        1,
        "The ground is good.",
        all_of(below("blower-ground-drop", 0.6), none_of(NONE_AT_ALL)),
        clears="blower-ground-corroded",
    ),
    rule(1, "Volts are lost in the connector.", above("connector-drop", 1.2), proves="blower-connector-burnt"),
    rule(
        1,
        "Brown plastic at the plug.",
        word("blower-plug-look", "brown, the plastic soft"),
        points="blower-connector-burnt",
    ),
    rule(
        2,
        "The connector loses nothing.",
        all_of(below("connector-drop", 0.5), AIR_ON_4),
        clears="blower-connector-burnt",
    ),
    rule(
        3,
        "Half the current, ground and connector good: worn brushes.",
        all_of(
            below("blower-current", 12.0),
            below("blower-ground-drop", 0.8),
            below("connector-drop", 0.8),
            word(CHECK, "weak", "moderate", "strong", reading=3),
        ),
        points="blower-motor-worn",
        then="motor-knocked",
    ),
    rule(
        1,
        "It cuts out as the plug is moved: it is loose.",
        word("blower-plug-moved", "it cuts out as the plug moves"),
        points="blower-plug-loose",
        hints="blower-connector-burnt",
    ),
    rule(
        2,
        "Loose, and no volts lost: the plug only.",
        all_of(word("blower-plug-moved", "it cuts out as the plug moves"), below("connector-drop", 0.8)),
        proves="blower-plug-loose",
    ),
    rule(
        1,
        "On the road it comes and goes: a plug or a contact.",
        all_of(word("vent-over-rough-road", *LITTLE), AIR_ON_4),
        points="blower-plug-loose",
        then="blower-plug-moved connector-drop",
    ),
    rule(
        1,
        "It comes and goes and blows well at rest: move the plug.",
        all_of(lambda notes: notes.comes_and_goes, GOOD_AIR, none_of(done("blower-plug-moved"))),
        points="blower-plug-loose",
        then="blower-plug-moved connector-drop motor-knocked vent-over-rough-road",
    ),
)
