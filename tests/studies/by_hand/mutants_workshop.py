"""Mutants of the workshop and the parts it uses: ``python -m tests.studies.mutants --only mutants_workshop``.

``tests.studies.mutation`` mutates the workshop's functions automatically. This list holds what it cannot reach (module
constants, properties, compiled laws) and rules that must never go unnoticed.
"""

from __future__ import annotations

from tests.studies.mutants import Mutant

WORKSHOP, WATCHING = "scenarios/workshop.py", "scenarios/watching.py"
SAFELY = "tests/scenarios/disputed/test_working_safely.py"
CONTROLS, WORK = "tests/scenarios/test_workshop.py", "tests/scenarios/test_workshop_work.py"
CAP = f"{WORK}::test_cap_scalds_with_pressure_and_heat_and_is_unsafe_with_heat"
RED = f"{CONTROLS}::test_run_stops_at_the_first_look_in_the_red"
OVERHEATS = f"{CONTROLS}::test_overheating_engine_is_stopped_at_the_next_look"
GLANCES = f"{CONTROLS}::test_gauge_is_checked_every_half_minute_and_read_at_the_end"
BONNET = (
    f"{CONTROLS}::test_bonnet_is_open_in_the_bay_and_somebody_sits_in_the_cabin_only_at_the_seat",
    f"{WORK}::test_check_takes_a_walk_and_its_minutes",
)
SHARED = f"{WORK}::test_copy_shares_parameters_until_either_changes_them"


def _workshop(name: str, old: str, new: str, *tests: str) -> Mutant:
    return Mutant(name=name, file=WORKSHOP, old=old, new=new, tests=tests)


MUTANTS = (
    Mutant(
        name="no stop in the red",
        file=WATCHING,
        old="if left > TIME_TOLERANCE_S and in_the_red(",
        new="if False and in_the_red(",
        tests=(RED, OVERHEATS),
    ),
    Mutant(
        name="glances a minute apart",
        file=WATCHING,
        old="GLANCE_SECONDS = 30.0",
        new="GLANCE_SECONDS = 60.0",
        tests=(GLANCES,),
    ),
    Mutant(
        name="imagined engines run on in the red",
        file=WATCHING,
        old="        y[ran_on, st.OVERHEATING] = most[ran_on]\n",
        new="        pass\n",
        tests=(f"{SAFELY}::test_of_many_vehicles_each_is_stopped_in_time",),
    ),
    Mutant(
        name="nobody watches on the road in a check",
        file=WATCHING,
        old="return check.drive_kmh > 0.0 or check.runs_engine",
        new="return False",
        tests=(f"{SAFELY}::test_a_check_on_the_road_ends_in_the_red",),
    ),
    _workshop("cap unsafe only above 90 degC", "UNSAFE_C = 45.0", "UNSAFE_C = 90.0", CAP),
    _workshop("cap unsafe from 40 degC on", "UNSAFE_C = 45.0", "UNSAFE_C = 40.0", CAP),
    _workshop("cap safe under pressure", ' | ((q["pressure_kPa"] > UNSAFE_KPA) & (hottest > WARM_C))', "", CAP),
    _workshop("cap unsafe under any pressure", "UNSAFE_KPA, WARM_C = 5.0,", "UNSAFE_KPA, WARM_C = 0.0,", CAP),
    _workshop("cap unsafe under pressure at hand heat", "WARM_C = 5.0, 40.0", "WARM_C = 5.0, 30.0", CAP),
    _workshop("cap scalds from 50 degC on", "SCALDING_C = 55.0", "SCALDING_C = 50.0", CAP),
    _workshop("cap scalds at any pressure above none", "SCALDING_KPA = 10.0", "SCALDING_KPA = 0.0", CAP),
    _workshop(
        "scald without pressure",
        '(q["pressure_kPa"] > SCALDING_KPA) & (hottest > SCALDING_C)',
        "hottest > SCALDING_C",
        CAP,
    ),
    _workshop(
        "scald without heat",
        '(q["pressure_kPa"] > SCALDING_KPA) & (hottest',
        '(q["pressure_kPa"] > 10.0) | (hottest',
        CAP,
    ),
    _workshop("unsafe by the engine alone", "np.maximum(y[:, st.JACKET], y[:, st.UPPER])", "y[:, st.JACKET]", CAP),
    _workshop(
        "cap left off",
        "        if check.opens_cap:\n            self.world.set(cap=1.0)",
        "        if False:\n            pass",
        f"{WORK}::test_cap_is_off_during_a_check_and_put_back",
    ),
    _workshop(
        "parts shared after a check",
        "            self.fleet.unshare_parameters()\n            self._finish(check.does)",
        "            self._finish(check.does)",
        SHARED,
    ),
    _workshop(
        "parts shared after a repair",
        "        self.fleet.unshare_parameters()\n        renew(",
        "        renew(",
        SHARED,
        f"{WORK}::test_copy_is_independent",
    ),
    _workshop("bonnet never opened", "bonnet=float(place == BAY)", "bonnet=0.0", *BONNET),
    _workshop("bonnet shut at the bench", "            if place != BENCH:", "            if True:", BONNET[0]),
    _workshop(
        "bonnet open at the start of a job",
        "self.world.set(occupants=1.0)",
        "self.world.set(occupants=1.0, bonnet=1.0)",
        f"{CONTROLS}::test_initial_state",
    ),
    _workshop("walking takes a minute", "WALK_MINUTES = 0.5", "WALK_MINUTES = 1.0", BONNET[1]),
    _workshop(
        "controls not put back",
        "            self.world.set(**before)\n",
        "",
        f"{WORK}::test_equal_settings_share_time_and_are_restored",
    ),
    _workshop(
        "each reading takes its own minutes",
        "setdefault((*spec.sets.items(), spec.at), [])",
        "setdefault((*spec.sets.items(), spec.at, spec.label), [])",
        f"{WORK}::test_equal_settings_share_time_and_are_restored",
    ),
    _workshop(
        "vents mixed up",
        'N_("face"): 1.0, N_("screen"): 2.0',
        'N_("face"): 2.0, N_("screen"): 1.0',
        f"{CONTROLS}::test_set_moves_one_control",
    ),
    _workshop(
        "the job's clock in seconds", "return self.world.now / MINUTE", "return self.world.now", f"{CONTROLS}", GLANCES
    ),
    Mutant(
        name="a stopped engine left at road speed",
        file="sim/world.py",
        old='STOPPED = {"ignition": 0.0, "engine": 0.0, "rpm": 0.0, "kmh": 0.0,',
        new='STOPPED = {"ignition": 0.0, "engine": 0.0, "rpm": 0.0,',
        tests=(f"{CONTROLS}::test_ignition_and_engine",),
    ),
    Mutant(
        name="ice_factor 15 -> 5",
        file="sim/laws/hydraulics.py",
        old="math.exp(15.0 * ice)",
        new="math.exp(5.0 * ice)",
        tests=("tests/sim/laws/test_hydraulics.py::test_flow_through_slush",),
    ),
)
