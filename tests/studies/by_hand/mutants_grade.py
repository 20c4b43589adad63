"""A grade beside its criteria, each rule changed: ``python -m tests.studies.mutants --only mutants_grade``."""

from __future__ import annotations

from tests.studies.mutants import mutants_of

GRADE, DIAGNOSIS = "tests/grading/marks/test_grade.py", "tests/grading/marks/test_diagnosis.py"
CURED, MOMENT = (
    "test_belief_and_its_error_are_those_before_the_cure",
    "test_what_was_seen_before_the_cure_earns_a_diagnosis",
)
AGAIN = "test_a_right_diagnosis_that_is_hardly_believed_is_marked_again_with_more_vehicles"

MUTANTS = (
    # the moment whose belief counts
    *mutants_of(
        "grading/marks/grade.py",
        DIAGNOSIS,
        (
            "belief, error = (step.before, step.error_before) if before",
            "belief, error = (step.before, step.error) if before",
            "the belief before a repair goes with the error after it",
            "test_belief_and_error_are_of_one_moment",
        ),
        (
            "belief, error = (step.before, step.error_before) if before",
            "belief, error = (step.after, step.error) if before",
            "what the cure itself taught is a diagnosis",
            "test_belief_and_error_are_of_one_moment",
        ),
    ),
    *mutants_of(
        "grading/marks/case.py",
        DIAGNOSIS,
        (
            "    if cured is None:\n        return declared_at, False\n",
            "    return declared_at, False\n",
            "what fitting parts taught is a diagnosis",
            MOMENT,
        ),
        (
            'return cured, steps[cured].action.verb == "repair"',
            "return cured, True",
            "what a check that cures has read is lost",
            "test_a_check_that_cures_has_read_first",
        ),
        (
            "cured = None if truth is None else first_cure(catalogue, (step.action for step in steps), truth)",
            "cured = next((k for k, step in enumerate(steps) if step.action.verb == 'repair'), None)",
            "any repair ends what earns a diagnosis",
            MOMENT,
        ),
    ),
    *mutants_of(
        "grading/marks/work.py",
        DIAGNOSIS,
        (
            "    wanted = cures(fault)\n",
            "    wanted = cures(fault) | frozenset(fault.relieved_by)\n",
            "topping up before looking for the leak is a trial of parts",
            MOMENT,
        ),
    ),
    *mutants_of(
        "grading/marks/replay.py",
        GRADE,
        (
            "action, before, error_before = entry.action, belief, error",
            "action, before, error_before = entry.action, belief, 0.0 * error",
            "the error before a step is lost",
            CURED,
        ),
    ),
    # doubt
    *mutants_of(
        "grading/marks/grade.py",
        GRADE,
        (
            "if self.scale == 1 and needs_more_particles(grade):",
            "if False:",
            "nothing is marked with more vehicles",
            AGAIN,
        ),
        (
            'CLOSER_LOOK, OTHER_VEHICLES = 4, "again"',
            'CLOSER_LOOK, OTHER_VEHICLES = 2, "again"',
            "a doubted diagnosis has twice the vehicles",
            AGAIN,
        ),
        (
            'seed = "imagined" if self.scale == 1 else OTHER_VEHICLES',
            'seed = "imagined"',
            "a doubted diagnosis has the same vehicles again",
            AGAIN,
        ),
        (
            "grader.course, grader._months = self.course, self._months",
            "grader._months = self._months",
            "a doubted diagnosis has another reference",
            AGAIN,
        ),
        (
            "return bool(set(grade.group) & set(grade.truth)) and grade.belief",
            "return grade.belief",
            "a wrong diagnosis is doubted",
            "test_only_a_right_diagnosis_is_doubted",
        ),
        (
            "\nCLOSER_LOOK_BELOW = 0.5\n",
            "\nCLOSER_LOOK_BELOW = 0.4\n",
            "little is doubted",
            "test_only_a_right_diagnosis_is_doubted",
        ),
    ),
    # replay
    *mutants_of(
        "grading/marks/replay.py",
        "tests/grading/marks/test_replay.py",
        (
            "for k, entry in enumerate(actions[: last + 1]):",
            "for k, entry in enumerate(actions):",
            "what follows the diagnosis counts",
            "test_each_step_has_the_belief_before_and_after_it_with_their_errors",
        ),
        (
            'if action.verb == "check" and entry.steps:',
            'if action.verb == "check":',
            "a check that was not read brings something",
            "test_only_a_check_that_was_read_could_bring_anything",
        ),
        (
            "worked += working_minutes(action, performed.minutes)",
            "worked += performed.minutes",
            "standing is regretted in full",
            "test_minutes_beyond_the_best_way_are_regretted",
        ),
        (
            "                looked = worked\n",
            "",
            "what one check took is regretted at the next",
            "test_what_one_check_took_is_not_regretted_at_the_next",
        ),
    ),
    # hints
    *mutants_of(
        "grading/report/hints.py",
        "tests/grading/report/test_hints.py",
        (
            'if read.kind not in WARM_AIR - {"slow"} or read.ran >= warm]',
            "]",
            "a cold engine is a proof that was tried",
            "test_each_moment_of_a_job_has_its_ladder",
        ),
        (
            "return self._measured_since_repair(actions) and all(",
            "return self._measured_since_repair(actions) or all(",
            "what was not measured is proven",
            "test_each_moment_of_a_job_has_its_ladder",
        ),
        (
            "if belief[k] < min(SUPPORTED, float(belief.max())):",
            "if belief[k] < 0.0:",
            "no diagnosis is doubted",
            "test_each_moment_of_a_job_has_its_ladder",
        ),
        (
            " for a in rungs if a.text(1) == ladder.about),",
            " for a in rungs),",
            "a hint of another ladder is a step of this one",
            "test_the_next_step_is_the_one_above_the_highest_that_was_given",
        ),
    ),
    # month
    *mutants_of(
        "grading/marks/comeback.py",
        "tests/grading/marks/test_comeback.py",
        ("\nSOON = 2\n", "\nSOON = 30\n", "whatever overheats in the month is dangerous"),
        (
            "return Comeback(day, what, overheats and day <= SOON)",
            "return Comeback(day, what, day <= SOON)",
            "whatever comes back soon is dangerous",
            "test_what_is_cold_is_not_dangerous",
        ),
        (
            "if not warm and mine < min(sound - FELT_K, warm_enough):",
            "if not warm and mine < sound - FELT_K:",
            "air that is warm enough is complained of",
            "test_air_that_is_warm_enough_is_not_complained_of",
        ),
        (
            "if not warm and mine < min(sound - FELT_K, warm_enough):",
            "if not warm and mine < warm_enough:",
            "what the sound vehicle does no better is complained of",
            "test_air_that_is_warm_enough_is_not_complained_of",
        ),
        (
            "if needle > RED_FROM > should:",
            "if needle > 1.0:",
            "the red is beyond the scale",
            "test_an_engine_that_overheats_within_two_days_was_handed_back_dangerous",
        ),
        (
            "heater=0.0 if warm else 1.0",
            "heater=1.0",
            "nobody wants cold air in a warm spell",
            "test_a_heater_that_does_not_shut_is_felt_in_the_warm_spell",
        ),
        (
            "JAM_MINUTES if day == JAM_DAY else IDLE_MINUTES",
            "IDLE_MINUTES",
            "no jam in the month",
            "test_a_jam_in_the_warm_spell_finds_a_fan_that_does_not_run",
        ),
        ("\nFELT_L = 0.6 ", "\nFELT_L = 6.0 ", "nobody misses litres"),
        ("\nFELT_AIR = 0.6 ", "\nFELT_AIR = 0.1 ", "nobody feels weak air"),
        ("\nWEAK_AIR = 0.78 ", "\nWEAK_AIR = 0.95 ", "air a little weaker is complained of"),
        ("\nWET = 0.06 ", "\nWET = 6.0 ", "nobody feels a wet carpet"),
        ("\nASTRAY = 0.25 ", "\nASTRAY = 0.15 ", "a needle a little low is complained of"),
    ),
    # ambiguity
    *mutants_of(
        "grading/marks/grade.py",
        "tests/grading/marks/test_ambiguity.py",
        (
            "        if before:\n",
            "        if False:\n",
            "a group is of another moment than its belief",
            "test_a_group_is_of_the_moment_whose_belief_counts",
        ),
    ),
    *mutants_of(
        "grading/marks/ambiguity.py",
        "tests/grading/marks/test_ambiguity.py",
        (
            "np.flatnonzero(belief >= SUSPECTED)",
            "np.flatnonzero(belief >= 0.0)",
            "faults ruled out belong to a group",
            "test_a_group_holds_what_no_check_tells_from_the_declared_fault",
        ),
        (
            "if not known[pair]:",
            "if known[pair]:",
            "faults that a check tells apart are a group",
            "test_a_group_holds_what_no_check_tells_from_the_declared_fault",
        ),
        (
            "\nTOLD_APART_BITS = 0.03\n",
            "\nTOLD_APART_BITS = 1.1\n",
            "nothing tells anything apart",
            "test_a_twin_is_told_by_no_check_and_a_thermostat_by_one",
        ),
        ("if pair not in known:", "if True:", "each pair is worked out anew", "test_each_pair_is_worked_out_once"),
    ),
    # practice
    *mutants_of(
        "grading/marks/practice.py",
        "tests/grading/marks/test_practice.py",
        (
            "CONFUSED, FAILED, NEW = 3.0, 2.0, 1.0",
            "CONFUSED, FAILED, NEW = 1.0, 2.0, 3.0",
            "new jobs before confusions",
        ),
        (
            "if job.id == newest and len(jobs) > 1:",
            "if False:",
            "a failed job comes at once",
            "test_a_failed_job_comes_again_but_not_at_once",
        ),
        (
            "(last[job.id].passed is False or last[job.id].declared not in last[job.id].real)",
            "(last[job.id].passed is False)",
            "a wrong diagnosis went well",
            "test_the_next_job_follows_from_what_was_done",
        ),
        (
            "if attempt.declared is not None and attempt.declared not in attempt.real",
            "if attempt.declared is not None",
            "a right diagnosis is a confusion",
            "test_the_next_job_follows_from_what_was_done",
        ),
    ),
    *mutants_of(
        "scenarios/model.py",
        "tests/grading/marks/test_practice.py",
        (
            "for planted in self.faults if planted.severity != 0.0)",
            "for planted in self.faults)",
            "a fault of no severity is a fault",
        ),
    ),
)
