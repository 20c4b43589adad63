"""Rules about air and where it goes: doors, outlets, the glass. Bands: common practice, no source."""

from __future__ import annotations

from grading.technicians.heat_rules import AIR_COLD, AIR_SIDE, AIR_WARM
from grading.technicians.rule import above, all_of, any_of, below, done, has, none_of, noticed, rule, told, word

FLOOR, FACE, SCREEN = "mostly at the floor", "mostly at the face", "mostly at the screen"
DOOR_AT_COLD = word("blend-door-borescope", "at cold", "towards cold", "halfway")
OUTLET_WRONG = any_of(
    word("outlets-by-hand", FACE, SCREEN),
    word("outlets-by-hand", FLOOR, SCREEN, reading=1),
    word("outlets-by-hand", FLOOR, FACE, reading=2),
)
OUTLETS_RIGHT = all_of(
    word("outlets-by-hand", FLOOR), word("outlets-by-hand", FACE, reading=1), word("outlets-by-hand", SCREEN, reading=2)
)
KNOCK, CLICKS, SILENCE = "one knock as the door lands", "repeated clicking", "silence"

RULES = (
    rule(
        0,
        "Clicking again and again as the control is swung: its gears slip.",
        word("blend-door-listen", CLICKS),
        proves="blend-actuator-stripped",
        clears="controller-no-command blend-actuator-dead",
    ),
    rule(
        0,
        "One knock: the door lands, so it moves.",
        word("blend-door-listen", KNOCK),
        clears="blend-actuator-stripped blend-actuator-dead blend-cable-off blend-vacuum-off controller-no-command",
        against="blend-door-broken",
    ),
    rule(
        1,
        "Silence behind the dash on a geared motor.",
        all_of(word("blend-door-listen", SILENCE), has("blend-motor")),
        points="blend-actuator-dead",
        hints="blend-door-broken blend-plug-loose controller-no-command",
        clears="blend-actuator-stripped",
        then="heat-command door-against-command heater-control-codes actuator-plug-moved",
    ),
    rule(
        1,
        "Silence on a cable: look at its clip.",
        all_of(word("blend-door-listen", SILENCE), has("blend-cable")),
        points="blend-cable-off",
        hints="blend-door-broken",
        then="blend-cable-look",
    ),
    rule(
        1,
        "Silence on a vacuum door: is there vacuum?",
        all_of(word("blend-door-listen", SILENCE), has("blend-vacuum")),
        points="blend-vacuum-off",
        hints="blend-door-broken",
        then="vacuum-at-door",
    ),
    rule(
        0,
        "The door's cable is off.",
        word("blend-cable-look", "off its clip"),
        proves="blend-cable-off",
        clears="blend-door-broken",
    ),
    rule(
        1,
        "The cable is taut: then the door itself.",
        word("blend-cable-look", "clipped and taut"),
        clears="blend-cable-off",
        then="blend-door-borescope",
    ),
    rule(1, "No vacuum at the servo.", below("vacuum-at-door", 25.0), proves="blend-vacuum-off"),
    rule(1, "Vacuum arrives.", above("vacuum-at-door", 45.0), clears="blend-vacuum-off", then="blend-door-borescope"),
    rule(
        2,
        "The actuator does as commanded and the door is not heard: the door is off it.",
        all_of(word("door-against-command", "as commanded"), word("blend-door-listen", SILENCE)),
        points="blend-door-broken",
        against="blend-actuator-dead",
        clears="blend-actuator-stripped",
        then="blend-door-borescope",
    ),
    rule(
        2,
        "Far from command and silent: the motor, its plug, or its supply.",
        all_of(
            any_of(
                word("door-against-command", "far from command", "short of command"),
                word("heater-control-codes", "blend door: does not reach its position"),
            ),
            word("blend-door-listen", SILENCE),
        ),
        points="blend-actuator-dead",
        clears="blend-door-broken controller-no-command",
        then="actuator-plug-moved",
    ),
    rule(
        2,
        "Silent, short of command, the plug firm: the motor.",
        all_of(
            word("door-against-command", "far from command", "short of command"),
            word("blend-door-listen", SILENCE),
            word("actuator-plug-moved", "nothing changes"),
            none_of(lambda notes: notes.comes_and_goes),
        ),
        proves="blend-actuator-dead",
        clears="blend-plug-loose",
    ),
    rule(
        1,
        "It cuts out as the plug is moved.",
        word("actuator-plug-moved", "it cuts out as the plug moves"),
        proves="blend-plug-loose",
        clears="blend-actuator-dead",
    ),
    rule(
        2,
        "It comes and goes, and the door's code is stored: its plug.",
        all_of(
            lambda notes: notes.comes_and_goes,
            word("heater-control-codes", "blend door: does not reach its position"),
            none_of(word("blend-door-listen", CLICKS)),
        ),
        points="blend-plug-loose",
        then="actuator-plug-moved",
    ),
    rule(
        2,
        "The door stands at cold with its drive sound: broken off its shaft.",
        all_of(
            DOOR_AT_COLD,
            any_of(
                word("door-against-command", "as commanded"),
                word("blend-cable-look", "clipped and taut"),
                above("vacuum-at-door", 45.0),
            ),
        ),
        proves="blend-door-broken",
        clears="blend-actuator-dead blend-cable-off blend-vacuum-off",
    ),
    rule(
        1,
        "The door stands at cold.",
        DOOR_AT_COLD,
        points=AIR_SIDE,
        clears="blend-seal-perished none",
    ),
    rule(
        1,
        "The door goes to hot.",
        word("blend-door-borescope", "at hot"),
        clears="blend-door-broken blend-actuator-stripped blend-actuator-dead blend-cable-off blend-vacuum-off",
    ),
    rule(
        2,
        "Both hoses hot, the door lands, and the air is not hot: cold air past its seal.",
        all_of(
            word("blend-door-listen", KNOCK),
            any_of(AIR_COLD, none_of(AIR_WARM)),
            any_of(
                word("heater-return-infrared"),
                above("heater-return-infrared", 57.0),
                word("heater-return-touch", "hot", "too hot to hold"),
            ),
        ),
        points="blend-seal-perished",
        then="blend-seal",
    ),
    rule(
        1,
        "A stream of cold air past the door.",
        word("blend-seal", "a stream of cold air"),
        proves="blend-seal-perished",
    ),
    rule(2, "Some cold air past the door.", word("blend-seal", "some cold air"), points="blend-seal-perished"),
    rule(1, "Little cold air past the door.", word("blend-seal", "little cold air"), clears="blend-seal-perished"),
    rule(
        2,
        "Both hoses hot, the door at hot, its seal good, and the air lukewarm: too little of it passes the core.",
        all_of(word("blend-seal", "little cold air"), none_of(AIR_WARM), word("blend-door-listen", KNOCK)),
        hints="core-fins-blocked",
        then="blower-current filter-pulled core-face",
    ),
    rule(
        0,
        "The same outlet whatever is chosen: the mode door.",
        OUTLET_WRONG,
        points="mode-door-stuck",
        hints="check-valve-leaking",
    ),
    rule(
        2,
        "Wrong outlets at rest, vacuum or not: the mode door.",
        all_of(OUTLET_WRONG, any_of(none_of(has("vacuum-doors")), above("vacuum-held", 40.0))),
        proves="mode-door-stuck",
    ),
    rule(1, "The air follows the control at rest.", OUTLETS_RIGHT, against="mode-door-stuck"),
    rule(
        1,
        "To the screen on a hard pull and back: reservoir or check valve.",
        word("hard-pull-outlets", SCREEN),
        points="check-valve-leaking",
        then="vacuum-held",
    ),
    rule(
        1,
        "The reservoir does not hold.",
        below("vacuum-held", 40.0),
        proves="check-valve-leaking",
    ),
    rule(1, "The reservoir holds.", above("vacuum-held", 45.0), clears="check-valve-leaking"),
    rule(
        1,
        "The recirculation flap does not follow.",
        any_of(
            word("recirculation-flap", "on recirculated", "between"),
            word("recirculation-flap", "on fresh air", "between", reading=1),
        ),
        proves="recirculation-door-stuck",
    ),
    rule(
        1,
        "The flap follows.",
        all_of(word("recirculation-flap", "on fresh air"), word("recirculation-flap", "on recirculated", reading=1)),
        clears="recirculation-door-stuck",
    ),
    rule(
        1,
        "Fogged glass.",
        any_of(word("fogged-glass", "fogged"), noticed("windscreen seen", "fogged")),
        hints="recirculation-door-stuck heater-core-leak",
    ),
    rule(
        0,
        "Warm air with the control at cold: the valve does not shut.",
        all_of(told("too warm"), above("vent-at-cold", 30.0)),
        points="valve-vacuum-line-off valve-diaphragm-torn",
        hints="blend-plug-loose",
        then="vacuum-at-valve hand-pump-on-valve",
    ),
    rule(
        1,
        "No vacuum at the valve with the control at cold: its line.",
        all_of(has("valve-vacuum"), below("vacuum-at-valve", 25.0)),
        points="valve-vacuum-line-off",
        then="hand-pump-on-valve",
    ),
    rule(
        2,
        "No vacuum, and the diaphragm holds: the line is off.",
        all_of(below("vacuum-at-valve", 25.0), word("hand-pump-on-valve", "holds")),
        proves="valve-vacuum-line-off",
    ),
    rule(
        1,
        "A hand pump does not hold: the diaphragm is torn.",
        word("hand-pump-on-valve", "falls at once"),
        proves="valve-diaphragm-torn",
        clears="valve-vacuum-line-off",
    ),
    rule(1, "It holds.", word("hand-pump-on-valve", "holds"), clears="valve-diaphragm-torn"),
    rule(2, "Vacuum arrives at the valve.", above("vacuum-at-valve", 45.0), clears="valve-vacuum-line-off"),
    rule(
        2,
        "A hiss behind the dash on a vehicle with vacuum doors.",
        all_of(any_of(has("blend-vacuum"), has("valve-vacuum")), noticed("hiss heard", "hisses", "hisses faintly")),
        hints="blend-vacuum-off valve-vacuum-line-off",
    ),
    rule(1, "Wrong outlets, nothing else.", all_of(done("outlets-by-hand"), OUTLET_WRONG), clears="none"),
)
