"""The criteria of a grade, each rule changed: ``python -m tests.studies.mutants --only mutants_marks``."""

from __future__ import annotations

from tests.studies.mutants import mutants_of

MUTANTS = (
    # diagnosis
    *mutants_of(
        "grading/marks/criteria.py",
        "tests/grading/marks/test_diagnosis.py",
        (
            "known, belief, enough = case.in_group(case.prior)",
            "known, belief, enough = 0.0",
            "what was likely beforehand counts as found out",
            "test_a_right_diagnosis_earns_what_the_readings_bear_out",
        ),
        (
            "return min(EARNED, max(case.course.belief, LEAST_EARNED))",
            "return EARNED",
            "more belief asked for than the reference had",
            "test_a_right_diagnosis_earns_what_the_readings_bear_out",
        ),
        (
            "return min(case.in_group(case.belief) + case.in_group(case.error), 1.0)",
            "return case.in_group(case.belief)",
            "what the observer does not know counts against the person",
            "test_what_the_observer_does_not_know_counts_for_the_person",
        ),
        (
            "return max(100.0 * earned, LUCKY), said",
            "return 100.0, said",
            "a lucky guess is a full diagnosis",
            "test_a_right_diagnosis_earns_what_the_readings_bear_out",
        ),
        (
            "return max(100.0 * earned, LUCKY), said",
            "return 100.0 * earned, said",
            "a lucky guess is worth nothing",
            "test_a_right_diagnosis_earns_what_the_readings_bear_out",
        ),
        (
            "return SAME_PART * earned, said",
            "return 100.0 * earned, said",
            "the right part is the right diagnosis",
            "test_a_wrong_diagnosis_of_the_right_part_earns_more",
        ),
        (
            "if any(fault.system == declared.system for fault in real):",
            "if True:",
            "a diagnosis of another system earns something",
            "test_a_wrong_diagnosis_earns_something_for_the_right_system",
        ),
        (
            "if case.group & set(case.truth):",
            "if declared.id in case.truth:",
            "faults that no check tells apart are told apart by the grade",
            "test_faults_that_no_check_tells_apart_count_as_one",
        ),
    ),
    # efficiency
    *mutants_of(
        "grading/marks/criteria.py",
        "tests/grading/marks/test_efficiency.py",
        (
            "free, total) - _confirming(case)",
            "free, total)",
            "no allowance for confirming",
            "test_one_look_confirms_before_a_dear_part",
        ),
        (
            "return idle[-1].minutes if idle else 0.0",
            "return sum(step.minutes for step in idle)",
            "every idle check confirms",
            "test_one_look_confirms_before_a_dear_part",
        ),
        (
            'if not cures or any(case.catalogue.repairs[name].cost not in ("large", "dear") for name in cures):',
            "if not cures:",
            "a cheap part is confirmed too",
            "test_a_part_is_dear_by_its_class",
        ),
        (
            "(max(mine, par) + too_soon + FREE_MINUTES)",
            "(max(mine, par) + FREE_MINUTES)",
            "declaring too soon costs no time",
            "test_belief_that_was_lacking_costs_minutes_of_wrong_repairs",
        ),
        (
            "(max(mine, par) + too_soon + FREE_MINUTES)",
            "(mine + too_soon + FREE_MINUTES)",
            "who is quicker than the reference is paid for it",
            "test_minutes_and_checks_are_held_against_the_reference",
        ),
        (
            "return max(minutes - stood(actions) - protected",
            "return max(minutes - protected",
            "standing counts in full",
            "test_minutes_and_checks_are_held_against_the_reference",
        ),
        (
            "- protected - min(run, WARM_UP), 0.0)",
            "- min(run, WARM_UP), 0.0)",
            "protected checks take time",
            "test_minutes_and_checks_are_held_against_the_reference",
        ),
        (
            "- protected - min(run, WARM_UP), 0.0)",
            "- protected, 0.0)",
            "verifying the complaint takes time",
            "test_minutes_and_checks_are_held_against_the_reference",
        ),
        (
            "- protected - min(run, WARM_UP), 0.0)",
            "- protected - run, 0.0)",
            "all running is free",
            "test_minutes_and_checks_are_held_against_the_reference",
        ),
        (
            "return 100.0 * (0.7 * spent + 0.3 * many), said",
            "return 100.0 * spent, said",
            "the number of checks is free",
            "test_minutes_and_checks_are_held_against_the_reference",
        ),
    ),
    # safety
    *mutants_of(
        "grading/marks/criteria.py",
        "tests/grading/marks/test_safety.py",
        (
            '100.0 if event["critical"] else 25.0',
            "25.0",
            "a critical error costs as much as any",
            "test_what_happened_costs_by_how_bad_it_is",
        ),
        (
            "lost += 50.0 if caution.critical else 20.0",
            "lost += 20.0",
            "a critical caution costs as much as any",
            "test_what_happened_costs_by_how_bad_it_is",
        ),
        (
            'and note[2:] == ("skipped",)})',
            "})",
            "a caution that was heeded was passed over",
            "test_what_happened_costs_by_how_bad_it_is",
        ),
    ),
    # parts
    *mutants_of(
        "grading/marks/criteria.py",
        "tests/grading/marks/test_parts.py",
        (
            "most = NOT_CURED if left or stays else 100.0",
            "most = NOT_CURED if stays else 100.0",
            "unrepaired counted as repaired",
            "test_one_fault",
        ),
        (
            "left = [fault for fault in truths if _left(fault, worked)]",
            "left = truths if all(_left(fault, done) for fault in truths) else []",
            "one repaired fault of two is enough",
            "test_of_two_faults_each_must_be_cured",
        ),
        (
            "most = NOT_CURED if left or stays else 100.0",
            "most = NOT_CURED if left else 100.0",
            "a month with a complaint costs no parts marks",
            "test_a_complaint_in_the_month_after_costs_as_much_as_no_repair",
        ),
        (
            "wasted += repair.minutes + COST_CLASSES[repair.cost]",
            "wasted += 0.0",
            "wasted parts are free",
            "test_one_fault",
        ),
        (
            "wasted += repair.minutes + COST_CLASSES[repair.cost]",
            "wasted += repair.minutes",
            "a wasted part costs its labour alone",
            "test_one_fault",
        ),
        (
            "cures = {*fault.cured_by, *fault.cured_in_passing}\n",
            "cures = {*fault.cured_by, *fault.cured_in_passing, *fault.relieved_by}\n",
            "relief counted as cure",
            "test_one_fault",
        ),
        (
            "if (name not in cures and name not in relieves) or",
            "if (name not in cures) or",
            "relief counted as waste",
            "test_one_fault",
        ),
        (
            "cures = {*fault.cured_by, *fault.cured_in_passing}\n",
            "cures = {*fault.cured_by}\n",
            "what is cured in passing is left",
            "test_work_that_goes_with_one_cure_may_cure_the_other",
        ),
        (
            "return bool(cures) and not cures & set(done)",
            "return not cures & set(done)",
            "what no repair cures is held against the person",
            "test_a_fault_that_no_repair_cures_is_held_against_nobody",
        ),
    ),
    *mutants_of(
        "grading/marks/grade.py",
        "tests/grading/marks/test_verdict.py",
        (
            '"parts": rules.parts(case, came_back),',
            '"parts": rules.parts(case, False),',
            "the month is not asked for parts",
            "test_the_month_after_counts",
        ),
    ),
    # inquiry
    *mutants_of(
        "grading/marks/told_apart.py",
        "tests/grading/marks/proving/test_told_apart.py",
        (
            "SHARE = 0.9",
            "SHARE = 0.8",
            "four fifths of the warmth are enough",
            "test_warm_air_must_reach_nine_tenths_or_the_middle",
        ),
        (
            "warm if good == bad else max(warm, middle)",
            "warm",
            "the middle is not asked",
            "test_warm_air_must_reach_nine_tenths_or_the_middle",
        ),
        (
            "high=min(cool, middle)",
            "high=cool",
            "the middle is not asked of cold air",
            "test_air_that_should_be_cold_has_the_same_line_from_the_other_side",
        ),
        (
            "line.chance(healthy) >= 1.0 - MOST_WRONG and ",
            "",
            "a healthy vehicle may fail by chance",
            "test_an_engine_hardly_warm_proves_nothing",
        ),
        (
            "MOST_WRONG and line.chance(ill) <= MOST_WRONG",
            "MOST_WRONG",
            "what both show proves",
            "test_the_same_word_for_both_proves_nothing",
        ),
    ),
    *mutants_of(
        "grading/marks/proof.py",
        "tests/grading/marks/proving/test_proof.py",
        (
            "if k >= start:",
            "if k >= 0:",
            "what was read before the work counts",
            "test_only_what_is_read_after_the_last_work_counts",
        ),
        (
            "SURE = 0.95",
            "SURE = 0.05",
            "a short trial is enough",
            "test_nineteen_in_twenty_of_the_unrepaired_must_have_shown_it",
        ),
        (
            "good and not truly",
            "False",
            "a lucky reading proves",
            "test_a_lucky_reading_of_an_unrepaired_vehicle_proves_nothing",
        ),
        (
            "(beside and COUNTS[trial.kind].beside)",
            "beside",
            "one complaint of several is enough",
            "test_each_complaint_wants_its_proof",
        ),
        (
            "if not one.proves), None)",
            "if False), None)",
            "a bad reading takes nothing away",
            "test_an_unrepaired_vehicle_is_never_proven",
        ),
    ),
    *mutants_of(
        "grading/marks/what_counts.py",
        "tests/grading/marks/proving/test_proof.py",
        (
            "elsewhere = (LEVELS | MEMORIES).union(",
            "elsewhere = MEMORIES.union(",
            "a level proves warmth",
            "test_a_level_proves_no_warmth",
        ),
        (
            "elsewhere = (LEVELS | MEMORIES).union(",
            "elsewhere = LEVELS.union(",
            "a code stored before the repair speaks against it",
            "test_a_code_that_was_stored_before_the_repair_takes_nothing_away",
        ),
        (
            "    if not COUNTS[kind].others:\n        return frozenset()\n",
            "    return frozenset()\n",
            "the check that the data names proves nothing",
            "test_the_check_that_the_data_names_earns_its_credit",
        ),
    ),
    *mutants_of(
        "grading/marks/work.py",
        "tests/grading/marks/proving/test_proof.py",
        (
            "and is_work(catalogue.repairs[entry.action.text(0)])",
            "",
            "explaining undoes a proof",
            "test_only_what_is_read_after_the_last_work_counts",
        ),
        (
            "and bool(check.does) and",
            "and False and",
            "a bleed done as a check is none",
            "test_a_bleed_done_as_a_check_is_a_bleed",
        ),
    ),
    *mutants_of(
        "grading/marks/criteria.py",
        "tests/grading/marks/test_inquiry.py",
        (
            "telling = 1.0 - max(len(idle) - 1, 0) / len(looked)",
            "telling = 1.0 - len(idle) / len(looked)",
            "no check may confirm",
            "test_telling_checks_proof_and_write_up",
        ),
        (
            "telling = 1.0 - max(len(idle) - 1, 0) / len(looked)",
            "telling = 1.0",
            "checks that tell nothing are free",
            "test_telling_checks_proof_and_write_up",
        ),
        (
            "return [step for step in checks if not case.catalogue.checks[step.action.text(0)].protected]",
            "return checks",
            "protected checks count among those that tell nothing",
            "test_telling_checks_proof_and_write_up",
        ),
        ("+ 35.0 * proven +", "+ 35.0 +", "a repair needs no proof", "test_telling_checks_proof_and_write_up"),
        (
            "len(str(note[1]).split()) >= SHORTEST_TEXT",
            "note[1]",
            "a word is a write-up",
            "test_a_note_counts_from_three_words",
        ),
    ),
    # calibration
    *mutants_of(
        "grading/marks/criteria.py",
        "tests/grading/marks/test_calibration.py",
        (
            "100.0 * (1.0 - gap * gap)",
            "100.0 * (1.0 - abs(gap))",
            "linear instead of proper confidence score",
            "test_the_gap_counts_by_its_square",
        ),
        (
            'if entry.data["verb"] == "diagnose"][-1].action.number(1)',
            'if entry.data["verb"] == "diagnose"][0].action.number(1)',
            "the first stated confidence counts",
            "test_the_last_diagnosis_counts",
        ),
        (
            "- 25.0 * len(wrong)), said",
            "), said",
            "what is likely may be struck out",
            "test_who_strikes_out_what_is_likely_loses_a_quarter",
        ),
    ),
)
