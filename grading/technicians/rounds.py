"""Where a technician begins with each complaint, what is common, and what settles a suspect for certain."""

from __future__ import annotations

from grading.technicians.air_rules import RULES as AIR
from grading.technicians.blower_rules import CHECK, RUNS
from grading.technicians.blower_rules import RULES as BLOWER
from grading.technicians.circuit_rules import RULES as CIRCUITS
from grading.technicians.coolant_rules import FULL
from grading.technicians.coolant_rules import RULES as COOLANT
from grading.technicians.electric_rules import RULES as ELECTRIC
from grading.technicians.engine_rules import RULES as ENGINE
from grading.technicians.heat_rules import AIR_WARM
from grading.technicians.heat_rules import RULES as HEAT
from grading.technicians.main_pump_rules import RULES as MAIN_PUMP
from grading.technicians.place_rules import RULES as PLACES
from grading.technicians.rule import above, all_of, done, none_of, rule, told, word

COLD = ("cold", "lukewarm", "cold at idle", "slow", "cold on the road")

SOME_AIR = all_of(word(CHECK, "weak", *RUNS), word(CHECK, "strong", "very strong", reading=3))

NOTHING = (
    rule(
        1,
        "Level right, air strong, the vents hot once it is warm: it does what it was made for.",
        all_of(told(*COLD), FULL, AIR_WARM),
        points="none",
    ),
    rule(
        2,
        "And the engine at its temperature, driven as the customer drives: nothing is wrong.",
        all_of(
            told(*COLD),
            FULL,
            AIR_WARM,
            SOME_AIR,
            above("scan-coolant-temperature", 80.0),
            none_of(lambda notes: notes.comes_and_goes),
        ),
        proves="none",
    ),
    rule(
        2,
        "It comes and goes: one good reading says nothing.",
        all_of(lambda notes: notes.comes_and_goes, told(*COLD), AIR_WARM),
        against="none",
        then="vent-temperature-on-the-road valve-movement three-way-movement actuator-plug-moved heater-control-codes",
    ),
    rule(
        1,
        "Slow and hot in the end, with the air heater at work or none fitted: short trips.",
        all_of(
            told("slow"),
            AIR_WARM,
            FULL,
            none_of(lambda notes: "air-heater" in notes.equipment and not notes.done("air-heater-current")),
        ),
        points="none",
    ),
    rule(
        3,
        "Checked in front and behind, nothing found.",
        all_of(AIR_WARM, FULL, done("vent-at-idle-and-revved")),
        hints="none",
    ),
)

RULES = (*COOLANT, *PLACES, *HEAT, *CIRCUITS, *MAIN_PUMP, *ENGINE, *AIR, *BLOWER, *ELECTRIC, *NOTHING)
"""All rules, in the order in which a technician runs through them."""

_LOOK = "0:coolant-level-cold 0:overflow-level"
_ELECTRIC = "0:ready-shown 0:drive-codes 0:coolant-heater-scan 0:high-voltage-state 1:heat-pump-scan"
_HEAT = (
    f"{_LOOK} {_ELECTRIC} 2:upper-hose-squeeze-cold 1:belt 2:blower-each-speed 1:blend-door-listen 0:vent-temperature "
    "0:gauge 1:main-pump-listen 0:heater-feed-touch 0:heater-return-touch 1:trouble-codes 1:scan-coolant-temperature"
)
ROUNDS = {
    "cold": _HEAT,
    "lukewarm": _HEAT.replace("0:vent", "4:upper-hose-in-warm-up 0:vent") + " 2:scan-on-the-road",
    "cold on the road": _HEAT.replace("0:vent", "3:upper-hose-in-warm-up 0:vent")
    + " 1:vent-temperature-on-the-road 2:scan-on-the-road 2:feed-hose-revved",
    "cold at idle": f"{_HEAT} 1:vent-at-idle-and-revved 1:heater-pump-listen",
    "cold standing": f"{_LOOK} 0:heater-pump-listen 2:vent-engine-stopped 0:vent-temperature",
    "cold in the rear": f"{_LOOK} 0:vent-temperature 0:rear-vent-temperature 0:rear-bleed",
    "slow": f"{_LOOK} {_ELECTRIC} 0:air-heater-current 1:recirculation-flap 2:refractometer 3:upper-hose-in-warm-up "
    "1:blower-each-speed 0:vent-temperature 0:gauge 1:scan-coolant-temperature 0:heater-feed-touch "
    "0:heater-return-touch 2:feed-hose-revved",
    "too warm": f"{_LOOK} 0:vent-at-cold 1:valve-movement 1:vacuum-at-valve 1:hand-pump-on-valve 1:blend-door-listen "
    "2:heater-control-codes 2:actuator-plug-moved",
    "no air": f"0:{CHECK} 0:blower-listen 1:blower-fuse-look 1:filter-pulled 2:blower-current",
    "weak air": f"0:{CHECK} 0:blower-listen 0:filter-pulled 2:blower-current 2:blower-ground-drop 2:connector-drop",
    "weak full speed": f"0:{CHECK} 0:blower-listen 1:blower-ground-drop 1:connector-drop 1:blower-current",
    "wrong outlet": "0:outlets-by-hand 1:vacuum-held 1:hard-pull-outlets",
    "fogging": f"{_LOOK} 0:{CHECK} 1:recirculation-flap 0:carpet-wiped 1:fogged-glass 1:sweet-smell 1:compressor-look",
    "overheating": f"{_LOOK} 0:belt 1:main-pump-speed 0:main-pump-listen 1:leaks-by-eye 2:refractometer "
    "3:bubbles-at-the-filler 1:trouble-codes 1:radiator-face 1:fan-on-a-fused-lead 1:spin-the-fan 0:gauge "
    "0:upper-radiator-hose-infrared "
    "1:heater-return-infrared 1:radiator-scan",
    "gauge": f"{_LOOK} 0:trouble-codes 0:gauge 0:scan-coolant-temperature 1:housing-infrared-taped "
    "1:sensor-resistance 1:sensor-plug-moved",
    "wet carpet": f"{_LOOK} 0:carpet-wiped 1:pressure-test 0:sweet-smell",
    "losing coolant": f"{_LOOK} 0:leaks-by-eye 1:leaks-in-front 1:leaks-at-tank 1:leaks-at-tee "
    "1:upper-hose-squeeze-cold 1:pressure-test 1:cap-test "
    "2:combustion-leak-test 1:carpet-wiped",
    "poor coolant": f"{_LOOK} 0:refractometer 0:coolant-voltage-loads-off",
    "fan noise": "0:trouble-codes 1:main-pump-listen 0:radiator-fan 0:gauge 1:sensor-resistance 1:sensor-plug-moved",
}
"""Complaint to its first checks in order, each after the least skill that does it."""

COMMON = {
    "cold": "coolant-low thermostat-stuck-open none blend-actuator-stripped air-locked core-clogged valve-seized-shut "
    "coolant-heater-dead loop-pump-dead drive-charge-low",
    "lukewarm": "thermostat-stuck-open none core-clogged heat-pump-short coolant-heater-half",
    "cold on the road": "thermostat-stuck-open thermostat-opens-early",
    "cold at idle": "coolant-low air-locked none pump-belt-slipping",
    "cold standing": "auxiliary-pump-dead",
    "cold in the rear": "rear-heater-air-locked",
    "slow": "none air-heater-dead recirculation-door-stuck",
    "too warm": "valve-vacuum-line-off valve-diaphragm-torn blend-plug-loose",
    "no air": "resistor-pack-open blower-controller-dead blower-motor-dead blower-fuse-blown",
    "weak air": "cabin-filter-blocked core-fins-blocked",
    "weak full speed": "blower-connector-burnt blower-ground-corroded blower-motor-worn",
    "wrong outlet": "mode-door-stuck check-valve-leaking",
    "fogging": "recirculation-door-stuck heater-core-leak cabin-filter-blocked",
    "overheating": "thermostat-stuck-closed fan-dead main-pump-motor-dead head-gasket-leak radiator-blocked",
    "gauge": "thermostat-stuck-open sensor-reads-low gauge-stuck sensor-open",
    "wet carpet": "heater-core-leak scuttle-drain-blocked",
    "losing coolant": "hose-leak radiator-leak pump-seal-leak thermostat-housing-leak cap-weak coolant-low",
    "poor coolant": "coolant-depleted antifreeze-weak",
    "fan noise": "fan-always-on main-pump-command-open sensor-open sensor-plug-loose",
}
"""Complaint to what a workshop meets with it most, commonest first (common practice, no source)."""

SETTLES = {
    "coolant-low": "pressure-test cap-test combustion-leak-test",
    "cap-weak": "cap-test",
    "cap-vacuum-valve-stuck": "upper-hose-squeeze-cold cap-test",
    "head-gasket-leak": "combustion-leak-test bubbles-at-the-filler",
    "heater-core-leak": "carpet-wiped pressure-test pressure-test-heater-pinched",
    "hose-leak": "leaks-by-eye pressure-test",
    "pump-seal-leak": "weep-hole leaks-by-eye pressure-test",
    "air-locked": "vent-at-idle-and-revved bleed-air",
    "antifreeze-weak": "refractometer",
    "coolant-depleted": "coolant-voltage-loads-off coolant-voltage",
    "radiator-leak": "leaks-in-front pressure-test",
    "thermostat-housing-leak": "leaks-in-front pressure-test",
    "heater-tee-leak": "leaks-at-tee pressure-test",
    "expansion-tank-leak": "leaks-at-tank pressure-test",
    "scuttle-drain-blocked": "carpet-wiped scuttle-look",
    "intake-seal-leaking": "carpet-wiped intake-seal-look",
    "ac-refrigerant-lost": "compressor-look refrigerant-pressure",
    "compressor-clutch-open": "compressor-look clutch-coil-resistance",
    "blend-ends-lost": "blend-door-listen door-driven-by-tool blend-door-borescope",
    "auxiliary-pump-dead": "heater-pump-listen heater-pump-supply heater-pump-on-a-fused-lead",
    "heater-pump-fuse-blown": "heater-pump-listen heater-pump-fuse-look",
    "heater-pump-relay-dead": "heater-pump-supply heater-pump-fuse-look heater-pump-relay-swap",
    "heater-pump-wire-open": "heater-pump-supply heater-pump-fuse-look heater-pump-relay-swap",
    "heater-pump-ground-corroded": "heater-pump-supply heater-pump-ground-drop",
    "heater-valve-fuse-blown": "valve-supply-voltage valve-fuse-look",
    "heater-valve-ground-corroded": "valve-supply-voltage valve-ground-drop",
    "air-heater-fuse-blown": "air-heater-current air-heater-fuse-look",
    "air-heater-relay-dead": "air-heater-current air-heater-fuse-look air-heater-supply air-heater-relay-swap",
    "air-heater-ground-corroded": "air-heater-current air-heater-ground-drop",
    "heater-feed-collapsed": "feed-hose-revved",
    "heater-return-blocked": "bleed-air rinse-by-sections",
    "core-clogged": "heater-return-infrared vent-at-idle-and-revved bleed-air rinse-by-sections",
    "pump-belt-slipping": "belt-listen",
    "pump-belt-broken": "belt",
    "pump-impeller-eroded": "belt vent-at-idle-and-revved scan-on-the-road bleed-air",
    "pump-impeller-loose": "belt heater-return-touch bubbles-at-the-filler",
    "main-pump-motor-dead": "main-pump-driven-by-tool main-pump-supply main-pump-on-a-fused-lead",
    "main-pump-jammed": "main-pump-driven-by-tool main-pump-ground-drop main-pump-on-a-fused-lead",
    "main-pump-impeller-worn": "main-pump-listen main-pump-current main-pump-inlet",
    "main-pump-impeller-loose": "main-pump-listen main-pump-current main-pump-inlet",
    "main-pump-fuse-blown": "main-pump-fuse-look",
    "main-pump-relay-dead": "main-pump-fuse-look main-pump-supply main-pump-relay-swap",
    "main-pump-wire-open": "main-pump-fuse-look main-pump-supply main-pump-relay-swap",
    "main-pump-ground-corroded": "main-pump-ground-drop",
    "main-pump-command-open": "main-pump-listen main-pump-command-signal",
    "rear-heater-air-locked": "rear-vent-temperature rear-bleed",
    "three-way-valve-stuck": "heat-command three-way-movement three-way-both-sides-touch",
    "fan-always-on": "radiator-fan trouble-codes",
    "fan-dead": "fan-on-a-fused-lead spin-the-fan radiator-fan",
    "radiator-blocked": "radiator-scan radiator-face",
    "thermostat-stuck-open": "scan-on-the-road housing-infrared-taped",
    "thermostat-opens-early": "scan-on-the-road housing-infrared-taped",
    "thermostat-missing": "scan-on-the-road housing-infrared-taped",
    "thermostat-stuck-closed": "upper-radiator-hose-infrared lower-radiator-hose-infrared",
    "air-heater-dead": "air-heater-current air-heater-fuse-look air-heater-supply",
    "core-fins-blocked": "filter-pulled core-face",
    "valve-cable-off": "valve-cable-look valve-by-hand",
    "valve-coil-open": "valve-supply-voltage valve-coil-resistance",
    "valve-coil-opens-hot": "valve-movement valve-coil-resistance valve-supply-voltage",
    "valve-diaphragm-torn": "hand-pump-on-valve",
    "valve-no-supply": "heat-command valve-supply-voltage",
    "valve-seized-partway": "valve-by-hand valve-both-sides-infrared",
    "valve-seized-shut": "valve-by-hand valve-both-sides-infrared",
    "valve-vacuum-line-off": "vacuum-at-valve hand-pump-on-valve manifold-vacuum",
    "blend-actuator-dead": "door-against-command actuator-plug-moved actuator-supply actuator-off-the-box",
    "blend-actuator-stripped": "blend-door-listen door-against-command",
    "blend-cable-off": "blend-cable-look",
    "blend-door-broken": "door-against-command blend-door-borescope",
    "blend-plug-loose": "actuator-plug-moved heater-control-codes",
    "blend-seal-perished": "blend-seal",
    "blend-vacuum-off": "vacuum-at-door",
    "cabin-filter-blocked": "filter-pulled",
    "check-valve-leaking": "vacuum-held hard-pull-outlets",
    "mode-door-stuck": "outlets-by-hand",
    "recirculation-door-stuck": "recirculation-flap",
    "blower-bearings-dry": "blower-current blower-listen",
    "blower-connector-burnt": "connector-drop blower-plug-look blower-ground-drop",
    "blower-controller-dead": "blower-supply-voltage blower-command relay-drop motor-on-a-fused-lead",
    "blower-fuse-blown": "blower-fuse-look blower-wire-to-ground",
    "blower-ground-corroded": "blower-ground-drop",
    "blower-motor-dead": "blower-supply-voltage blower-current motor-knocked",
    "blower-motor-worn": "motor-knocked blower-current",
    "blower-plug-loose": "blower-plug-moved connector-drop vent-over-rough-road",
    "blower-relay-dead": "relay-listen relay-drop relay-swap",
    "blower-switch-dead": "switch-drop",
    "blower-wheel-loose": "blower-listen blower-current",
    "blower-wire-chafed": "blower-wire-to-ground",
    "resistor-pack-open": "pack-resistance",
    "cold-lockout-stuck": "blower-command scan-coolant-temperature",
    "controller-no-command": "heat-command",
    "gauge-stuck": "scan-coolant-temperature housing-infrared-taped",
    "sensor-open": "sensor-resistance sensor-plug-moved",
    "sensor-plug-loose": "trouble-codes sensor-plug-moved",
    "sensor-reads-low": "housing-infrared-taped scan-coolant-temperature",
    "coolant-heater-dead": "coolant-heater-scan drive-codes coolant-heater-supply",
    "coolant-heater-half": "coolant-heater-scan drive-codes",
    "coolant-heater-fuse-blown": "coolant-heater-fuse",
    "coolant-heater-wire-open": "coolant-heater-fuse coolant-heater-supply",
    "coolant-heater-sensor-open": "outlet-sensor-resistance coolant-heater-scan",
    "interlock-open": "high-voltage-state drive-codes",
    "isolation-fault": "high-voltage-state drive-codes",
    "loop-pump-dead": "heater-pump-listen loop-stream",
    "heat-pump-short": "heat-pump-scan",
    "dcdc-converter-dead": "dcdc-voltage drive-codes",
    "drive-charge-low": "high-voltage-state",
    "none": "vent-temperature scan-coolant-temperature blower-each-speed vent-at-idle-and-revved",
}
"""Suspect to the checks that settle it, cheap ones first."""
