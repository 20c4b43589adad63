"""A vehicle's own words: texts that speak of an engine, put for a vehicle that has none.

The texts of program and catalogue are written for vehicles with an engine. While a job on an electric vehicle is shown,
``scenarios.language`` takes the texts on the right in place of those on the left; what is typed and recorded stays.
"""

from __future__ import annotations

from collections.abc import Mapping

from scenarios.language import N_
from scenarios.model import ELECTRIC, Vehicle

_SCREENS = {
    # controls
    "ignition": N_("power"),
    "engine": "READY",
    "running": N_("started"),
    "stopped": N_("not started"),
    "ignition {state}": N_("power {state}"),
    "Controls: ignition {ignition}, engine {engine}, heater {heater}, blower {blower}, vents {vents}, "
    "recirculation {recirculation}.": N_(
        "Controls: power {ignition}, drive {engine}, heater {heater}, blower {blower}, vents {vents}, "
        "recirculation {recirculation}."
    ),
    "ignition {ignition}, engine {engine}": N_("power {ignition}, drive {engine}"),
    "turn the ignition": N_("switch the vehicle on without READY, or off"),
    "start or stop the engine": N_("READY on or off: the start button, brake held"),
    "hold the engine at a speed": N_("nothing here: this vehicle has no engine"),
    "let the engine idle": N_("stay at READY, parked"),
    "Let the engine idle": N_("Stay at READY"),
    "idle": N_("stay at READY"),
    "idling": N_("at READY, parked"),
    "engine off": N_("switched off"),
    "ignition on": N_("switched on"),
    "idle {minutes:g} min": N_("at READY {minutes:g} min"),
    "engine start": N_("READY on"),
    "engine stop": N_("READY off"),
    "c check   d drive   i engine run   r repair   = diagnosis": N_(
        "c check   d drive   i at READY   r repair   = diagnosis"
    ),
    # what is needed first
    "the engine stopped": N_("READY switched off"),
    "the engine running": N_("the vehicle at READY"),
    "the ignition at run": N_("the vehicle switched on"),
    "the ignition off": N_("the vehicle switched off"),
    "The engine is stopped.": N_("The vehicle is not at READY."),
    "The engine is running.": N_("The vehicle is at READY."),
    "Ignition is off.": N_("The vehicle is switched off."),
    "Ignition is on.": N_("The vehicle is switched on."),
    "starts it": N_("presses the start button"),
    "stops it": N_("ends READY"),
    "lets it idle": N_("stays at READY"),
    "the engine is not running, expected 'engine start' first": N_(
        "the vehicle is not at READY, expected 'engine start' first"
    ),
    "the engine cold, before it has run": N_("the heater loop cold, before READY"),
    "the engine at operating temperature": N_("after a quarter of an hour at READY with heat asked for"),
    # places
    "engine bay": N_("front bay"),
    "in the engine bay": N_("in the front bay"),
    "repairs, engine bay": N_("repairs, front bay"),
    "Look at: engine bay": N_("Look at: front bay"),
    "You are at the engine bay.": N_("You are at the front bay."),
    "walk to the driver's seat, the engine bay, under the dash or to the bench": N_(
        "walk to the driver's seat, the front bay, under the dash or to the bench"
    ),
    # complaints and proof
    "the air at the vents stays cold or lukewarm with the engine warm": N_(
        "the air at the vents stays cold or lukewarm after minutes at READY"
    ),
    "warm air at the vents, engine warm, heater at full hot": N_(
        "warm air at the vents after minutes at READY, heater at full hot"
    ),
    "air at the vents as warm as it should be, heater at full hot, once a fast road has warmed the engine": N_(
        "air at the vents as warm as it should be, heater at full hot, after a fast road"
    ),
    "warm air at the vents once the engine has idled for some minutes": N_("warm air at the vents, parked at READY"),
    "the air at the vents stays cold at idle": N_("the air at the vents stays cold, parked at READY"),
    "no loss of coolant by eye, under the pressure tester or once the engine has run warm": N_(
        "no loss of coolant by eye, under the pressure tester or once the loop has been warm"
    ),
    "Take the quick checks first, and let the engine warm up while you look round.": N_(
        "Take the quick checks first, and let the loop warm up at READY while you look round."
    ),
    # hints
    "engine started": N_("READY"),
    "{minutes:g} minutes for the engine to cool": N_("{minutes:g} minutes for the loop to cool"),
    "ignition at run": N_("the vehicle switched on"),
    "The engine lamp is lit.": N_("The warning lamp of the drive is lit."),
    "The charge lamp is lit.": N_("The lamp of the 12 V battery is lit."),
}

_CAUTIONS = {
    "Ignition off, and the battery disconnected where the vehicle's manual says so. The negative lead comes off first "
    "and goes on last; after it comes off, the manual's wait for the airbags. Local codes come first.": N_(
        "READY off, and the 12 V battery disconnected where the vehicle's manual says so. The negative lead "
        "comes off first and goes on last; after it comes off, the manual's wait for airbags and high voltage. "
        "Local codes come first."
    ),
    "Engine off, metal and upper hose felt: both are cool to the hand. A hot system boils over as its cap"
    " turns, and scalds. A low gauge, an ignition that is off, or a cold hose alone proves nothing. "
    "Follow the vehicle's manual.": N_(
        "READY off, expansion tank and hoses felt: all are cool to the hand. A hot system boils over as "
        "its cap turns, and scalds. A vehicle that is switched off or one cold hose alone proves nothing."
        " Follow the vehicle's manual."
    ),
    "Back of the hand held close first, then a brief touch, never on bare metal. Hoses, pipes and the "
    "exhaust burn.": N_(
        "Back of the hand held close first, then a brief touch, never on bare metal. Hoses, pipes and the"
        " coolant heater burn."
    ),
    "A second person reads, or nobody does while the vehicle moves. Drive first, read second. In the red,"
    " stop and switch the engine off.": N_(
        "A second person reads, or nobody does while the vehicle moves. Drive first, read second."
    ),
}

_CHECKS = {
    "The air follows the control. Always the same outlet: the mode door. Vacuum doors go to the screen when they have "
    "no vacuum, so try it with the engine running.": N_(
        "The air follows the control. Always the same outlet: the mode door or its motor."
    ),
    "Hot to the hand after a drive, full hot and a low blower. An engine that idles in frost makes less, and a cold "
    "one nothing. It confirms the complaint and proves the repair; it does not tell water side from air side. With no "
    "air the probe reads the cabin.": N_(
        "Warm to hot after some minutes at READY, full hot and a low blower; it blows no hotter. It confirms "
        "the complaint and proves the repair; it does not tell coolant heater from heat pump or air side. With no air "
        "the probe reads the cabin."
    ),
    "Hot to the hand once the engine is warm. The complaint was made on the road, so this is where to confirm it and "
    "to prove the repair.": N_(
        "Warm to hot after some minutes. The complaint was made on the road, so this is where to confirm it and to "
        "prove the repair."
    ),
    "With an electric air heater clearly above the air outside within three minutes of a cold start; without one it "
    "follows the coolant and may still be cold. An automatic control blows nothing until the coolant is warm.": N_(
        "Clearly warm within three minutes of READY, less so in hard frost: the heater loop is small, and the heat "
        "pump helps."
    ),
    "What a charged battery shows at rest; charging voltage, clearly more, with the engine running. An engine that has"
    " stopped itself does not charge. Needed before any other voltage means much.": N_(
        "What a charged 12 V battery shows at rest; clearly more at READY, where the DC-DC converter charges it. "
        "Needed before any other voltage means much."
    ),
    "Full or a shade below: the neck under a radiator cap, the cold-fill line in an expansion tank. Clean and clear. A"
    " full filler does not exclude air in the heater core. Sludge points to the core. Read hot, the level misleads and"
    " the cap burns.": N_(
        "Full to the cold-fill line or a shade below, clean and clear. The heater loop has a tank of its own. A full "
        "one does not exclude air in the heater core. Read hot, the level misleads and the cap burns."
    ),
    "An expansion tank: at the line when cold. An overflow bottle stands where the last run left it; an empty one "
    "beside a full radiator is a question, and a full one proves nothing about the radiator. An expansion tank is part"
    " of the loop: its level is the level.": N_(
        "At the line when cold. The expansion tank is part of the loop: its level is the level."
    ),
    "Hot with the engine warm, though the rubber's skin is cooler than the coolant in it; as cold as the bay before "
    "the start. Aim at rubber, not at a bright clip, which reads far too low.": N_(
        "Warm to hot on the rubber after minutes at READY, cooler than the coolant in it. Aim at rubber, not at a "
        "bright clip, which reads far too low."
    ),
    "Hot with the engine warm and the heater at full hot; warm at most while an engine idles in frost. Feel feed and "
    "return together; one alone tells little.": N_(
        "Warm to hot after minutes at READY and the heater at full hot. Feel feed and return together; one alone tells"
        " little."
    ),
    "Hums with the ignition at run and heat asked for. Silence: the pump, its supply or its fuse. While the engine "
    "runs its own pump hides the lack.": N_(
        "Hums with the vehicle switched on and heat asked for. Silence: the pump, its supply or its fuse. It is the "
        "only pump of the loop."
    ),
    "Once warm, some kelvin below the feed with the engine at a fast idle and the blower low. At idle with the blower "
    "high the drop is larger in a good heater too, so compare like with like. Cold, both read the same.": N_(
        "Hardly below the feed in mild weather, some kelvin in hard frost and with the blower high."
    ),
    "With the engine warm, hot or a little less than the feed. Feed hot and return cold: valve shut or core blocked. "
    "Both cold: air, level, flow, a valve at the engine, or an engine that is not warm. Both hot and no heat: the air "
    "side.": N_(
        "Warm to hot after minutes at READY, hardly less than the feed. Feed warm and return cold: the core is "
        "blocked. Both cold: no heat from the coolant heater, or no flow. Both warm and no heat: the air side."
    ),
    "Holds. Falling without a puddle: into the cabin or a cylinder. A leak that only a hot engine has does not "
    "show.": N_("Holds. Falling without a puddle: into the cabin. A leak that only shows hot does not show."),
    "Thermostat rating, cap pressure, capacity, where the bleed points are, whether there is a heater valve at all and"
    " how it rests. Five minutes that spare an hour.": N_(
        "Power and limits of the coolant heater and the heat pump, which fuse, cap pressure, capacity, where the bleed"
        " point is. Five minutes that spare an hour."
    ),
    "From one end to the other. A vacuum door stays at cold until the engine runs. It is the door itself that counts, "
    "whatever actuator or scan tool say.": N_(
        "From one end to the other. It is the door itself that counts, whatever actuator or scan tool say."
    ),
}

_FAULTS = {
    "Every part does what it was made for. A cold engine needs minutes of driving before it can warm "
    "anybody, and idling in the cold makes little heat. Parts fitted here would cure nothing.": N_(
        "Every part does what it was made for. Heater and heat pump need some minutes from cold, and less"
        " comes of them in hard frost. Parts fitted here would cure nothing."
    ),
    "Air that was left in the loop gathers at its highest place, the heater core, and blocks it. The "
    "level looks right and the engine reaches temperature; the feed hose is hot, the return cool. With "
    "revs the pump pushes the air on and heat comes; at idle it gathers again and the heat goes, until it"
    " is let out at the bleed point. A bleed line to the expansion tank may clear it on a drive.": N_(
        "Air that was left in the loop gathers at its highest place, the heater core, and blocks it. The "
        "level looks right. The pump hums and moves nothing, and the coolant heater cuts itself out, "
        "until the air is let out at the bleed point."
    ),
    "The heater core sits high, so a loop that is short of coolant loses it there first. The core holds "
    "air, no coolant passes, both heater hoses stay cold. The engine may still reach temperature. Very "
    "low, the temperature sensor stands in steam and the gauge reads too little. Topping up fills the "
    "radiator but leaves air in the core until it is bled or driven out by revs.": N_(
        "The heater core sits high, so a loop that is short of coolant loses it there first. The core "
        "holds air, no coolant passes, both heater hoses stay cold, and the coolant heater cuts itself "
        "out. Topping up fills the tank but leaves air in the core until it is bled."
    ),
    "Hardly anything leaves the core. The feed is hot near the engine, the return cool over its whole "
    "length, as with a blocked core: the hose's shape, or a rinse section by section, parts the two.": N_(
        "Hardly anything leaves the core. The coolant heater cuts itself out, the return is cool over its"
        " whole length, as with a blocked core: the hose's shape, or a rinse section by section, parts "
        "the two."
    ),
    "Too much water freezes to slush in the radiator and the core on a hard night. Hardly anything flows "
    "through what is frozen: the heat comes late, the engine runs hotter with a cold radiator, and at "
    "noon all is well. A refractometer tells at any temperature.": N_(
        "Too much water freezes to slush in the core on a hard night. Hardly anything flows through what "
        "is frozen: the coolant heater cuts itself out, the heat comes late, and at noon all is well. A "
        "refractometer tells at any temperature."
    ),
    "A hose end lets coolant out under pressure. What is lost is missing at the highest place, the heater"
    " core. The wet end and its crust can be seen; a pressure test on the cold engine brings it out.": N_(
        "A hose end lets coolant out under pressure. What is lost is missing at the highest place, the "
        "heater core. The wet end and its crust can be seen; a pressure test on the cold loop brings it "
        "out."
    ),
}

ELECTRIC_WORDS: Mapping[str, str] = {**_SCREENS, **_CAUTIONS, **_CHECKS, **_FAULTS}
"""Text of program or catalogue to what an electric vehicle has in its place, both in English."""
_NONE: Mapping[str, str] = {}


def own_words(vehicle: Vehicle) -> Mapping[str, str]:
    """The texts that a vehicle has in the place of others, empty for one with an engine."""
    return ELECTRIC_WORDS if ELECTRIC in vehicle.equipment else _NONE
