"""Mutants of the observer and the reference: ``python -m tests.studies.mutants --only mutants_reference``.

This list holds what ``tests.studies.mutation`` cannot reach (module constants, properties, compiled functions) and
rules that must never go unnoticed.
"""

from __future__ import annotations

from tests.studies.mutants import Mutant

PREPARATION, POLICY, ROLLOUT, OPTIONS, FOREMAN = (
    f"grading/reference/{name}.py" for name in ("preparation", "policy", "rollout", "options", "foreman")
)
TEMPERING, RESAMPLING, INFORMATION = (
    f"grading/observer/{name}.py" for name in ("tempering", "resampling", "information")
)
PREPARED, COURSE, CHOICE, RULE = (
    f"tests/grading/reference/test_{name}.py" for name in ("preparation", "course", "choice", "policy")
)
MOVED, DRAWN, TOLD = (f"tests/grading/observer/test_{name}.py" for name in ("tempering", "resampling", "information"))
FORESEEN, ASKED = "tests/grading/observer/test_foresight.py", "tests/grading/reference/test_foreman.py"
SEQUENTIAL = "tests/published/test_sequential.py"


def _in(file: str, name: str, old: str, new: str, *tests: str) -> Mutant:
    return Mutant(name=name, file=file, old=old, new=new, tests=tests)


TEMPERED = (
    _in(
        TEMPERING,
        "every Metropolis move accepted",
        "taken = np.log(np.maximum(rng.random(n), 1e-300)) < gain",
        "taken = np.full(n, True)",
        f"{MOVED}::test_metropolis_step_preserves_the_tempered_posterior",
        f"{MOVED}::test_evidence_is_unbiased_and_particles_follow_the_posterior",
    ),
    _in(
        TEMPERING,
        "moves by the whole of the last reading at every power",
        " - (1.0 - power) * (tried.last_log_like - now.last_log_like)",
        "",
        f"{MOVED}::test_metropolis_step_preserves_the_tempered_posterior",
        f"{MOVED}::test_acceptance_probability",
    ),
    _in(
        TEMPERING,
        "evidence without what was read before",
        "mass = float(np.log(np.exp(log_w - log_w.max()).sum() / particles.drawn[fault]) + log_w.max())",
        "mass = 0.0",
        f"{MOVED}::test_evidence_is_unbiased_and_particles_follow_the_posterior",
    ),
    _in(
        TEMPERING,
        "vehicles drawn again without their weights",
        "np.searchsorted(np.cumsum(lifted), places)",
        "(places / lifted.sum() * len(lifted)).astype(int)",
        f"{MOVED}::test_evidence_is_unbiased_and_particles_follow_the_posterior",
    ),
    _in(TEMPERING, "short steps alone", "CORRELATIONS = (0.95, 0.8, 0.4)", "CORRELATIONS = (0.95, 0.95, 0.95)", MOVED),
    _in(
        TEMPERING,
        "half of them left at each stage",
        "ESS_SHARE = 0.4",
        "ESS_SHARE = 0.05",
        f"{MOVED}::test_tempering_powers",
    ),
)

SAMPLED = (
    _in(
        RESAMPLING,
        "those left out stand for nobody",
        " - np.log(chance[drawn])",
        "",
        f"{DRAWN}::test_thinning_is_unbiased",
    ),
    _in(
        RESAMPLING,
        "lots by vehicle instead of tolerances",
        "(chance, numbers[mine])",
        "(chance, np.random.Generator(np.random.Philox(key=int(fault))).random(len(mine)))",
        f"{DRAWN}::test_thinning_keeps_common_random_numbers",
    ),
    _in(
        RESAMPLING,
        "unsure from a tenth on",
        "MAX_STANDARD_ERROR = 0.03",
        "MAX_STANDARD_ERROR = 0.1",
        f"{DRAWN}::test_unsure_belief_wants_more_particles",
    ),
    _in(
        INFORMATION,
        "information without weights of the outcomes",
        "bits += part / whole * math.log2(part / whole)",
        "bits += part * math.log2(part)",
        f"{TOLD}::test_uninformative_check_tells_nothing",
    ),
    _in(
        INFORMATION,
        "one outcome tried",
        "TRIALS = 24",
        "TRIALS = 1",
        f"{TOLD}::test_outcomes_are_sampled_by_weight",
    ),
    _in(
        INFORMATION,
        "vehicles of one fault taken for faults of their own",
        "prepend=self.particles.label[:1]) != 0)",
        "prepend=self.particles.label[:1]) > -1)",
        f"{TOLD}::test_faults_are_groups_of_particles",
    ),
)

STANDING = f"{PREPARED}::test_waiting_counts_a_tenth"
RAN = f"{PREPARED}::test_readiness_counts_running_minutes_until_the_engine_has_cooled"

READY = (
    _in(PREPARATION, "waiting counted in full", "WAITING_SHARE = 0.1", "WAITING_SHARE = 1.0", STANDING),
    _in(PREPARATION, "cold after a quarter of an hour", "COLD_MINUTES = 2.0", "COLD_MINUTES = 14.0", RAN),
    _in(
        PREPARATION,
        "cold for ever",
        "return self.minutes_run <= COLD_MINUTES",
        "return True",
        RAN,
        f"{PREPARED}::test_check_that_wants_a_cold_engine",
    ),
    _in(PREPARATION, "warm at once", ">= WARM_UP_MINUTES - 1.0\n\n\nclass", ">= 0.0\n\n\nclass", RAN),
    _in(
        PREPARATION,
        "cool after an hour",
        "COOLING_MINUTES = 420.0",
        "COOLING_MINUTES = 60.0",
        RAN,
        f"{PREPARED}::test_check_that_wants_a_cold_engine",
    ),
    _in(
        PREPARATION,
        "an engine that overheated is run on",
        "    overheated = readiness.overheated\n",
        "    overheated = False\n",
        f"{PREPARED}::test_overheated_engine_is_not_run",
        f"{COURSE}::test_engine_stays_off_after_the_red",
    ),
)

STOPPED = (
    f"{COURSE}::test_engine_is_stopped_in_the_red",
    f"{COURSE}::test_engine_stays_off_after_the_red",
)

TAKEN = (
    _in(
        POLICY,
        "reference going on after the red",
        "if session.must_switch_off:",
        "if False:",
        *STOPPED,
    ),
    _in(POLICY, "the red forgotten", "readiness.overheated = True  # it", "pass  # it", *STOPPED),
    _in(
        OPTIONS,
        "information alone, whatever it takes",
        "return self.bits / max(self.minutes, 0.25)",
        "return self.bits",
        f"{CHOICE}::test_rate",
    ),
    _in(
        POLICY,
        "a part fitted on three quarters",
        "SURE = 0.85",
        "SURE = 0.75",
        f"{CHOICE}::test_worth",
    ),
    _in(
        FOREMAN,
        "a wrong repair costs an hour",
        "WRONG_REPAIR_MINUTES = 240.0",
        "WRONG_REPAIR_MINUTES = 60.0",
        f"{CHOICE}::test_worth",
    ),
    _in(
        POLICY,
        "little differences chased",
        "MARGIN = 0.15",
        "MARGIN = 0.0",
        f"{RULE}::test_the_best_rate_stands_unless_another_is_clearly_cheaper",
    ),
    _in(
        ROLLOUT,
        "the first check instead of the best",
        "        if gains[check] > gains[best]:\n            best = check\n",
        "",
        f"{RULE}::test_the_rule_costs_what_a_grade_says_of_it",
    ),
    _in(
        ROLLOUT,
        "the base rule never stops",
        "return min(cost, stop)",
        "return cost",
        f"{RULE}::test_each_check_is_thought_of_once",
        f"{RULE}::test_the_rule_costs_what_a_grade_says_of_it",
    ),
    _in(
        ROLLOUT,
        "a check done again",
        "    left[best] = False\n",
        "",
        f"{RULE}::test_each_check_is_thought_of_once",
    ),
    _in(
        ROLLOUT,
        "outcomes put together however much they differ",
        "return distance * mass[a] * mass[b] / (mass[a] + mass[b])",
        "return -distance",
        f"{RULE}::test_outcomes_that_mean_the_same_are_put_together",
    ),
)

DAYS = "tests/grading/observer/test_days_of_use.py"
AGED = "grading/observer/days_of_use.py"

AUTOMATIC = "tests/grading/reference/test_foreman.py::test_the_blower_of_an_automatic_heating_is_looked_at_warm"

WORKED = (
    _in(
        "scenarios/model.py",
        "an automatic blower is looked at cold",
        "if not blows or AUTOMATIC not in vehicle.equipment",
        "if True or AUTOMATIC not in vehicle.equipment",
        AUTOMATIC,
    ),
    _in(
        "scenarios/model.py",
        "every blower is looked at warm",
        "if not blows or AUTOMATIC not in vehicle.equipment",
        "if not blows",
        AUTOMATIC,
    ),
    _in(
        AGED,
        "the slightest leak loses as much as the worst",
        "(severity * DRIVEN - 0.5)",
        "(severity * 0.0)",
        f"{DAYS}::test_each_arrives_as_the_driven_vehicle_of_nearest_severity",
    ),
    _in(
        AGED,
        "more is changed than how it arrives",
        "for name in ARRIVAL:",
        "for name in parameters.dtype.names:",
        f"{DAYS}::test_each_arrives_as_the_driven_vehicle_of_nearest_severity",
    ),
    _in(
        "grading/observer/particles.py",
        "days of use are not known",
        "if job.days is not None and gets_worse(faults[one]):",
        "if False:",
        f"{DAYS}::test_a_leak_is_imagined_as_the_days_left_it",
    ),
    _in(
        "scenarios/daily_use.py",
        "an overheated engine is driven on",
        "                if red.any():\n",
        "                if False:\n",
        f"{DAYS}::test_many_vehicles_live_as_each_would_alone",
    ),
    _in(
        OPTIONS,
        "all checks weighed as things stand",
        "if c.changes_meanwhile and check_minutes[c.id] <= longest]",
        "if False]",
        f"{FORESEEN}::test_vacuum_is_weighed_by_what_the_reservoir_holds_at_the_end",
    ),
    _in(
        OPTIONS,
        "all checks carried out, however long",
        "if most_bits >= reach * best * check_minutes[c.id]]",
        "if most_bits >= 0.0]",
        f"{FORESEEN}::test_what_could_not_come_near_the_best_rate_is_read_as_it_stands",
    ),
    _in(
        OPTIONS,
        "vehicles that fail in a check keep their weight",
        "np.where(lost, -np.inf, sample.log_weight)",
        "sample.log_weight",
        f"{FORESEEN}::test_vehicles_that_fail_on_the_way_tell_nothing",
    ),
    _in(
        FOREMAN,
        "the complaint counts as verified",
        "read & set(SHOWN_BY.get(kind, ()))",
        "set(SHOWN_BY.get(kind, ()))",
        f"{ASKED}::test_a_check_shows_the_complaint_that_it_reads",
    ),
    _in(
        FOREMAN,
        "the part's price forgotten",
        "cure.minutes + COST_CLASSES[cure.cost], ",
        "cure.minutes, ",
        f"{ASKED}::test_the_cheapest_cure_counts",
    ),
    _in(
        FOREMAN,
        "parts condemned unseen",
        "return () if set(looks) & set(done) else looks",
        "return ()",
        f"{ASKED}::test_a_part_that_can_be_looked_at_is_not_condemned_unseen",
    ),
    _in(
        FOREMAN,
        "rivals told by rarity alone",
        "belief[likeliest] < SEPARATED * odds[k] * belief[k]",
        "False",
        f"{ASKED}::test_a_rival_is_one_that_only_its_rarity_speaks_against",
        f"{ASKED}::test_a_rival_is_parted_before_the_declaration",
    ),
    _in(
        FOREMAN,
        "expensive repairs like any other",
        "if dear and belief[likeliest] < CONFIRMED:",
        "if False:",
        f"{ASKED}::test_before_an_expensive_repair_every_other_fault_is_a_rival",
    ),
)

MUTANTS = (*TEMPERED, *SAMPLED, *READY, *TAKEN, *WORKED)
