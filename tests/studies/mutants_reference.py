"""Rules of the observer and of the reference: ``python -m tests.studies.mutants --only mutants_reference``.

Constants, properties and compiled functions, which mutmut cannot reach, and rules that must never go unnoticed.
"""

from __future__ import annotations

from tests.studies.mutants import Mutant

PREPARATION, POLICY, ROLLOUT = (f"grading/reference/{name}.py" for name in ("preparation", "policy", "rollout"))
TEMPERING, RESAMPLING, INFORMATION = (
    f"grading/observer/{name}.py" for name in ("tempering", "resampling", "information")
)
PREPARED, COURSE, RULE = (f"tests/grading/reference/test_{name}.py" for name in ("preparation", "course", "policy"))
MOVED, DRAWN, TOLD = (f"tests/grading/observer/test_{name}.py" for name in ("tempering", "resampling", "information"))
SEQUENTIAL = "tests/published/test_sequential.py"


def _in(file: str, name: str, old: str, new: str, *tests: str) -> Mutant:
    return Mutant(name=name, file=file, old=old, new=new, tests=tests)


TEMPERED = (
    _in(
        TEMPERING,
        "every Metropolis move accepted",
        "taken = np.log(np.maximum(rng.random(n), 1e-300)) < gain",
        "taken = np.full(n, True)",
        f"{MOVED}::test_a_metropolis_step_leaves_the_law_that_it_is_made_for",
        f"{MOVED}::test_evidence_is_unbiased_and_what_is_left_lies_where_the_readings_want_it",
    ),
    _in(
        TEMPERING,
        "moves by the whole of the last reading at every power",
        " - (1.0 - power) * (tried.last - now.last)",
        "",
        f"{MOVED}::test_a_metropolis_step_leaves_the_law_that_it_is_made_for",
        f"{MOVED}::test_a_proposal_is_taken_with_the_chance_of_the_likelihoods_ratio",
    ),
    _in(
        TEMPERING,
        "evidence without what was read before",
        "mass = float(np.log(np.exp(log_w - log_w.max()).sum() / hypotheses.drawn[fault]) + log_w.max())",
        "mass = 0.0",
        f"{MOVED}::test_evidence_is_unbiased_and_what_is_left_lies_where_the_readings_want_it",
    ),
    _in(
        TEMPERING,
        "vehicles drawn again without their weights",
        "np.searchsorted(np.cumsum(lifted), places)",
        "(places / lifted.sum() * len(lifted)).astype(int)",
        f"{MOVED}::test_evidence_is_unbiased_and_what_is_left_lies_where_the_readings_want_it",
    ),
    _in(TEMPERING, "short steps alone", "STRIDES = (0.95, 0.8, 0.4)", "STRIDES = (0.95, 0.95, 0.95)", MOVED),
    _in(
        TEMPERING,
        "half of them left at each stage",
        "LEFT = 0.4",
        "LEFT = 0.05",
        f"{MOVED}::test_a_reading_that_tells_nothing_takes_one_stage",
    ),
)

SAMPLED = (
    _in(
        RESAMPLING,
        "those left out stand for nobody",
        " - np.log(chance[drawn])",
        "",
        f"{DRAWN}::test_what_is_kept_stands_for_all_without_bias",
    ),
    _in(
        RESAMPLING,
        "lots by vehicle instead of tolerances",
        "(chance, lots[mine])",
        "(chance, np.random.Generator(np.random.Philox(key=int(fault))).random(len(mine)))",
        f"{DRAWN}::test_the_same_tolerances_stay_or_go_together_in_faults_that_are_alike",
    ),
    _in(
        RESAMPLING,
        "unsure from a tenth on",
        "UNSURE = 0.03",
        "UNSURE = 0.1",
        f"{DRAWN}::test_a_fault_whose_belief_is_unsure_is_wanting",
    ),
    _in(
        INFORMATION,
        "information without weights of the outcomes",
        "bits += part / whole * math.log2(part / whole)",
        "bits += part * math.log2(part)",
        f"{TOLD}::test_outcomes_that_are_as_likely_in_all_faults_tell_nothing",
    ),
    _in(
        INFORMATION,
        "one outcome tried",
        "TRIALS = 24",
        "TRIALS = 1",
        f"{TOLD}::test_outcomes_are_tried_of_the_vehicles_as_they_count",
    ),
    _in(
        INFORMATION,
        "vehicles of one fault taken for faults of their own",
        "prepend=self.hypotheses.label[:1]) != 0)",
        "prepend=self.hypotheses.label[:1]) > -1)",
        f"{TOLD}::test_vehicles_of_one_fault_count_together_and_faults_without_vehicles_not_at_all",
    ),
)

STANDING = f"{PREPARED}::test_standing_counts_for_a_tenth_of_its_minutes_and_all_else_in_full"
RAN = f"{PREPARED}::test_minutes_run_are_those_with_the_engine_running_until_it_has_stood"

READY = (
    _in(PREPARATION, "waiting counted in full", "WAITING = 0.1", "WAITING = 1.0", STANDING),
    _in(PREPARATION, "cold after a quarter of an hour", "COLD_MINUTES = 2.0", "COLD_MINUTES = 14.0", RAN),
    _in(
        PREPARATION,
        "cold for ever",
        "return self.minutes_run <= COLD_MINUTES",
        "return True",
        RAN,
        f"{PREPARED}::test_what_wants_a_cold_engine_waits_until_it_has_cooled_or_is_left",
    ),
    _in(PREPARATION, "warm at once", ">= WARM_UP_MINUTES - 1.0\n\n\nclass", ">= 0.0\n\n\nclass", RAN),
    _in(
        PREPARATION,
        "cool after an hour",
        "COOLING_MINUTES = 300.0",
        "COOLING_MINUTES = 60.0",
        RAN,
        f"{PREPARED}::test_what_wants_a_cold_engine_waits_until_it_has_cooled_or_is_left",
    ),
    _in(
        PREPARATION,
        "an engine that overheated is run on",
        "    overheated = readiness.overheated\n",
        "    overheated = False\n",
        f"{PREPARED}::test_an_engine_that_overheated_is_not_run_on",
        f"{COURSE}::test_after_the_red_the_reference_runs_the_engine_no_more",
    ),
)

STOPPED = (
    f"{COURSE}::test_the_engine_is_stopped_when_the_needle_is_in_the_red_and_the_check_is_left",
    f"{COURSE}::test_after_the_red_the_reference_runs_the_engine_no_more",
)

TAKEN = (
    _in(
        POLICY,
        "reference going on after the red",
        "if any(reading.label == WATCH.label and reading.step for reading in outcome.readings):",
        "if False:",
        *STOPPED,
    ),
    _in(POLICY, "the red forgotten", "readiness.overheated = True  # a", "pass  # a", *STOPPED),
    _in(
        POLICY,
        "information alone, whatever it takes",
        "return self.bits / max(self.minutes, 0.25)",
        "return self.bits",
        f"{COURSE}::test_information_per_minute",
    ),
    _in(
        POLICY,
        "a part fitted on three quarters",
        "SURE = 0.85",
        "SURE = 0.75",
        f"{COURSE}::test_a_check_is_worth_what_it_saves_or_what_a_weak_belief_wants",
    ),
    _in(
        POLICY,
        "a wrong repair costs an hour",
        "WRONG_REPAIR_MINUTES = 240.0",
        "WRONG_REPAIR_MINUTES = 60.0",
        f"{COURSE}::test_a_check_is_worth_what_it_saves_or_what_a_weak_belief_wants",
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
        "        if cost < stop:\n",
        "        if True:\n",
        f"{RULE}::test_the_rule_costs_what_a_grade_says_of_it",
    ),
    _in(
        ROLLOUT,
        "a check done again",
        "    left[best] = False\n",
        "",
        f"{RULE}::test_the_rule_costs_what_a_grade_says_of_it",
    ),
    _in(
        ROLLOUT,
        "a check that is lost taken as free",
        "if left[check] and takes[check] < np.inf:",
        "if left[check]:",
        f"{RULE}::test_what_only_a_cold_engine_tells_comes_first",
    ),
    _in(
        ROLLOUT,
        "outcomes put together however much they differ",
        "return distance * mass[a] * mass[b] / (mass[a] + mass[b])",
        "return -distance",
        f"{RULE}::test_outcomes_that_mean_the_same_are_put_together",
    ),
)

MUTANTS = (*TEMPERED, *SAMPLED, *READY, *TAKEN)
