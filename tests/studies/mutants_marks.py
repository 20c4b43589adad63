"""Rules of a grade, each changed: ``python -m tests.studies.mutants --only mutants_marks``."""

from __future__ import annotations

from tests.studies.mutants import Mutant

MARKS = "grading/marks"
TESTS = "tests/grading/marks"


def _in(module: str, old: str, new: str, name: str, *tests: str) -> Mutant:
    """A change of a module of grading/marks; tests: each as ``test_parts::test_one_fault``."""
    named = (
        f"{TESTS}/{file}.py" + (f"::{test}" if test else "") for file, _, test in (t.partition("::") for t in tests)
    )
    return Mutant(f"{MARKS}/{module}.py", old, new, name, tuple(named))


DIAGNOSIS = (
    _in(
        "criteria",
        "known, belief, enough = case.in_group(case.prior)",
        "known, belief, enough = 0.0",
        "what was likely beforehand counts as found out",
        "test_diagnosis::test_a_right_diagnosis_earns_what_the_readings_bear_out",
    ),
    _in(
        "criteria",
        "return min(EARNED, max(case.course.belief, LEAST_EARNED))",
        "return EARNED",
        "more belief asked for than the reference had",
        "test_diagnosis::test_a_right_diagnosis_earns_what_the_readings_bear_out",
    ),
    _in(
        "criteria",
        "return min(case.in_group(case.belief) + case.in_group(case.error), 1.0)",
        "return case.in_group(case.belief)",
        "what the observer does not know counts against the person",
        "test_diagnosis::test_what_the_observer_does_not_know_counts_for_the_person",
    ),
    _in(
        "criteria",
        "return max(100.0 * earned, LUCKY), said",
        "return 100.0, said",
        "a lucky guess is a full diagnosis",
        "test_diagnosis::test_a_right_diagnosis_earns_what_the_readings_bear_out",
    ),
    _in(
        "criteria",
        "return max(100.0 * earned, LUCKY), said",
        "return 100.0 * earned, said",
        "a lucky guess is worth nothing",
        "test_diagnosis::test_a_right_diagnosis_earns_what_the_readings_bear_out",
    ),
    _in(
        "criteria",
        "return SAME_PART * earned, said",
        "return 100.0 * earned, said",
        "the right part is the right diagnosis",
        "test_diagnosis::test_a_wrong_diagnosis_of_the_right_part_earns_more",
    ),
    _in(
        "criteria",
        "if any(fault.system == declared.system for fault in real):",
        "if True:",
        "a diagnosis of another system earns something",
        "test_diagnosis::test_a_wrong_diagnosis_earns_something_for_the_right_system",
    ),
    _in(
        "criteria",
        "if case.group & set(case.truth):",
        "if declared.id in case.truth:",
        "faults that no check tells apart are told apart by the grade",
        "test_diagnosis::test_faults_that_no_check_tells_apart_count_as_one",
    ),
)

EFFICIENCY = (
    _in(
        "criteria",
        "free, total) - _confirming(case)",
        "free, total)",
        "no allowance for confirming",
        "test_efficiency::test_one_look_confirms_before_a_dear_part",
    ),
    _in(
        "criteria",
        "return idle[-1].minutes if idle else 0.0",
        "return sum(step.minutes for step in idle)",
        "every idle check confirms",
        "test_efficiency::test_one_look_confirms_before_a_dear_part",
    ),
    _in(
        "criteria",
        'if not cures or any(case.catalogue.repairs[name].cost not in ("large", "dear") for name in cures):',
        "if not cures:",
        "a cheap part is confirmed too",
        "test_efficiency::test_a_part_is_dear_by_its_class",
    ),
    _in(
        "criteria",
        "(max(mine, par) + too_soon + FREE_MINUTES)",
        "(max(mine, par) + FREE_MINUTES)",
        "declaring too soon costs no time",
        "test_efficiency::test_belief_that_was_lacking_costs_minutes_of_wrong_repairs",
    ),
    _in(
        "criteria",
        "(max(mine, par) + too_soon + FREE_MINUTES)",
        "(mine + too_soon + FREE_MINUTES)",
        "who is quicker than the reference is paid for it",
        "test_efficiency::test_minutes_and_checks_are_held_against_the_reference",
    ),
    _in(
        "criteria",
        "return max(minutes - stood(actions) - protected",
        "return max(minutes - protected",
        "standing counts in full",
        "test_efficiency::test_minutes_and_checks_are_held_against_the_reference",
    ),
    _in(
        "criteria",
        "- protected - min(run, WARM_UP), 0.0)",
        "- min(run, WARM_UP), 0.0)",
        "protected checks take time",
        "test_efficiency::test_minutes_and_checks_are_held_against_the_reference",
    ),
    _in(
        "criteria",
        "- protected - min(run, WARM_UP), 0.0)",
        "- protected, 0.0)",
        "verifying the complaint takes time",
        "test_efficiency::test_minutes_and_checks_are_held_against_the_reference",
    ),
    _in(
        "criteria",
        "- protected - min(run, WARM_UP), 0.0)",
        "- protected - run, 0.0)",
        "all running is free",
        "test_efficiency::test_minutes_and_checks_are_held_against_the_reference",
    ),
    _in(
        "criteria",
        "return 100.0 * (0.7 * spent + 0.3 * many), said",
        "return 100.0 * spent, said",
        "the number of checks is free",
        "test_efficiency::test_minutes_and_checks_are_held_against_the_reference",
    ),
)

SAFETY = (
    _in(
        "criteria",
        '100.0 if event["critical"] else 25.0',
        "25.0",
        "a critical error costs as much as any",
        "test_safety::test_what_happened_costs_by_how_bad_it_is",
    ),
    _in(
        "criteria",
        "lost += 50.0 if caution.critical else 20.0",
        "lost += 20.0",
        "a critical caution costs as much as any",
        "test_safety::test_what_happened_costs_by_how_bad_it_is",
    ),
    _in(
        "criteria",
        'and note[2:] == ("skipped",)})',
        "})",
        "a caution that was heeded was passed over",
        "test_safety::test_what_happened_costs_by_how_bad_it_is",
    ),
)

PARTS = (
    _in(
        "criteria",
        "most = NOT_CURED if left or stays else 100.0",
        "most = NOT_CURED if stays else 100.0",
        "unrepaired counted as repaired",
        "test_parts::test_one_fault",
    ),
    _in(
        "criteria",
        "left = [fault for fault in truths if _left(fault, done)]",
        "left = truths if all(_left(fault, done) for fault in truths) else []",
        "one repaired fault of two is enough",
        "test_parts::test_of_two_faults_each_must_be_cured",
    ),
    _in(
        "criteria",
        "most = NOT_CURED if left or stays else 100.0",
        "most = NOT_CURED if left else 100.0",
        "a month with a complaint costs no parts marks",
        "test_parts::test_a_complaint_in_the_month_after_costs_as_much_as_no_repair",
    ),
    _in(
        "grade",
        '"parts": rules.parts(case, came_back),',
        '"parts": rules.parts(case, False),',
        "the month is not asked for parts",
        "test_verdict::test_the_month_after_counts",
    ),
    _in(
        "criteria",
        "wasted += repair.minutes + COST_CLASSES[repair.cost]",
        "wasted += 0.0",
        "wasted parts are free",
        "test_parts::test_one_fault",
    ),
    _in(
        "criteria",
        "wasted += repair.minutes + COST_CLASSES[repair.cost]",
        "wasted += repair.minutes",
        "a wasted part costs its labour alone",
        "test_parts::test_one_fault",
    ),
    _in(
        "criteria",
        "cures = {*fault.cured_by, *fault.cured_in_passing}\n",
        "cures = {*fault.cured_by, *fault.cured_in_passing, *fault.relieved_by}\n",
        "relief counted as cure",
        "test_parts::test_one_fault",
    ),
    _in(
        "criteria",
        "if (name not in cures and name not in relieves) or",
        "if (name not in cures) or",
        "relief counted as waste",
        "test_parts::test_one_fault",
    ),
    _in(
        "criteria",
        "cures = {*fault.cured_by, *fault.cured_in_passing}\n",
        "cures = {*fault.cured_by}\n",
        "what is cured in passing is left",
        "test_parts::test_work_that_goes_with_one_cure_may_cure_the_other",
    ),
    _in(
        "criteria",
        "return bool(cures) and not cures & set(done)",
        "return not cures & set(done)",
        "what no repair cures is held against the person",
        "test_parts::test_a_fault_that_no_repair_cures_is_held_against_nobody",
    ),
)

INQUIRY = (
    _in(
        "proof",
        "for entry in actions[last:] if",
        "for entry in actions if",
        "proof before the repair accepted",
        "test_proof::test_what_proves_a_repair",
    ),
    _in(
        "proof",
        "return bool(measured) and measured[-1] >=",
        "return bool(measured) and max(measured) >=",
        "best reading taken for the last",
        "test_proof::test_what_proves_a_repair",
    ),
    _in(
        "proof",
        'displays[r["label"]].value(int(r["step"]))',
        'float(r["step"])',
        "a display step taken for degrees",
        "test_proof::test_a_step_counts_as_the_degrees_that_it_shows",
    ),
    _in(
        "proof",
        'hot = spec.sets.get("heater", 1.0) == 1.0',
        "hot = True",
        "air that was asked to be cold proves",
        "test_proof::test_what_is_read_decides_and_not_the_name",
    ),
    _in(
        "proof",
        "return min(shown, default=None)",
        "return max(shown, default=None)",
        "the warmest of several vents counts",
        "test_proof::test_of_several_vents_the_coldest_counts",
    ),
    _in(
        "criteria",
        "telling = 1.0 - max(len(idle) - 1, 0) / len(looked)",
        "telling = 1.0 - len(idle) / len(looked)",
        "no check may confirm",
        "test_inquiry::test_telling_checks_proof_and_write_up",
    ),
    _in(
        "criteria",
        "telling = 1.0 - max(len(idle) - 1, 0) / len(looked)",
        "telling = 1.0",
        "checks that tell nothing are free",
        "test_inquiry::test_telling_checks_proof_and_write_up",
    ),
    _in(
        "criteria",
        "return [step for step in checks if not case.catalogue.checks[step.action.text(0)].protected]",
        "return checks",
        "protected checks count among those that tell nothing",
        "test_inquiry::test_telling_checks_proof_and_write_up",
    ),
    _in(
        "criteria",
        "+ 35.0 * proven +",
        "+ 35.0 +",
        "a repair needs no proof",
        "test_inquiry::test_telling_checks_proof_and_write_up",
    ),
    _in(
        "criteria",
        "len(str(note[1]).split()) >= SHORTEST_TEXT",
        "note[1]",
        "a word is a write-up",
        "test_inquiry::test_a_note_counts_from_three_words",
    ),
)

CALIBRATION = (
    _in(
        "criteria",
        "100.0 * (1.0 - gap * gap)",
        "100.0 * (1.0 - abs(gap))",
        "linear instead of proper confidence score",
        "test_calibration::test_the_gap_counts_by_its_square",
    ),
    _in(
        "criteria",
        'if entry.data["verb"] == "diagnose"][-1].action.number(1)',
        'if entry.data["verb"] == "diagnose"][0].action.number(1)',
        "the first stated confidence counts",
        "test_calibration::test_the_last_diagnosis_counts",
    ),
    _in(
        "criteria",
        "- 25.0 * len(wrong)), said",
        "), said",
        "what is likely may be struck out",
        "test_calibration::test_who_strikes_out_what_is_likely_loses_a_quarter",
    ),
)

COUNTING = (
    _in(
        "criteria",
        "replace(first, after=first.before, error=first.error_before) if first",
        "replace(first, after=first.before) if first",
        "the belief before a repair goes with the error after it",
        "test_counting_step::test_belief_and_error_are_of_one_moment",
    ),
    _in(
        "criteria",
        "replace(first, after=first.before, error=first.error_before) if first",
        "said[-1] if first",
        "what fitting parts taught is a diagnosis",
        "test_counting_step::test_belief_and_error_are_of_one_moment",
    ),
    _in(
        "criteria",
        " and s.action.text(0) not in declared.relieved_by]",
        "]",
        "topping up before looking for the leak is a trial of parts",
        "test_counting_step::test_belief_and_error_are_of_one_moment",
    ),
    _in(
        "replay",
        "action, before, error_before = entry.action, belief, error",
        "action, before, error_before = entry.action, belief, 0.0 * error",
        "the error before a step is lost",
        "test_grade::test_belief_and_its_error_are_those_before_a_part_was_tried",
    ),
)

VERDICT = (
    _in(
        "grade",
        'enough = criteria["diagnosis"] >= rubric.diagnosis and ',
        "enough = ",
        "floor of the diagnosis removed",
        "test_verdict::test_total_and_pass",
    ),
    _in(
        "grade",
        ' and criteria["efficiency"] >= rubric.efficiency',
        "",
        "floor of the efficiency removed",
        "test_verdict::test_total_and_pass",
    ),
    _in(
        "grade",
        "return total, total >= rubric.total and enough",
        "return total, enough",
        "the total need not be reached",
        "test_verdict::test_total_and_pass",
    ),
    _in(
        "grade",
        "return min(total, rubric.cap), False",
        "return total, False",
        "a critical error leaves the total",
        "test_verdict::test_total_and_pass",
    ),
    _in(
        "grade",
        "return min(total, rubric.cap), False",
        "return min(total, rubric.cap), total >= rubric.total",
        "a critical error leaves the pass",
        "test_verdict::test_total_and_pass",
    ),
    _in(
        "grade",
        "if comeback is not None and comeback.dangerous:",
        "if comeback is not None and comeback.dangerous and not comeback.day:",
        "a dangerous hand-back is not critical",
        "test_verdict::test_the_month_after_counts",
    ),
    _in(
        "grade",
        "for name in criteria) - hints, 0.0)",
        "for name in criteria), 0.0)",
        "hints are free",
        "test_verdict::test_total_and_pass",
    ),
    _in(
        "criteria",
        "return sum(rubric.hints[entry.action.text(0)] for entry in actions",
        'return sum(rubric.hints["question"] for entry in actions',
        "every step of a hint costs as little as the first",
        "test_verdict::test_each_step_of_a_hint_has_its_price",
    ),
    _in(
        "grade",
        "_verdict(criteria | changed, rubric, critical, hints)[1]",
        "_verdict(criteria | changed, rubric, critical)[1]",
        "hints ignored where a rate decides",
        "test_verdict::test_a_rate_decides_sooner_where_hints_were_taken",
    ),
    _in(
        "grade",
        "replace(case, belief=belief / belief.sum(), faults=faults)",
        "replace(case, belief=belief / belief.sum())",
        "another rate leaves the prior",
        "test_verdict::test_a_fault_half_as_common_was_half_as_likely_beforehand",
    ),
    _in(
        "grade",
        "if case.declared is None or critical:",
        "if case.declared is None:",
        "a rate turns a critical error",
        "test_verdict::test_a_rate_decides_where_belief_is_near_the_floor",
    ),
    _in(
        "grade",
        "if declared.id in truth and belief[index] >= rules.EARNED:",
        "if declared.id in truth:",
        "a right diagnosis has no group",
        "test_verdict::test_a_group_is_looked_for_where_it_could_matter",
    ),
)

MONTH = (
    _in("comeback", "\nSOON = 2\n", "\nSOON = 30\n", "whatever overheats in the month is dangerous", "test_month"),
    _in(
        "comeback",
        "return Comeback(day, what, overheats and day <= SOON)",
        "return Comeback(day, what, day <= SOON)",
        "whatever comes back soon is dangerous",
        "test_month::test_what_is_cold_is_not_dangerous",
    ),
    _in(
        "comeback",
        "if not warm and mine < min(sound - FELT_K, warm_enough):",
        "if not warm and mine < sound - FELT_K:",
        "air that is warm enough is complained of",
        "test_month::test_air_that_is_warm_enough_is_not_complained_of",
    ),
    _in(
        "comeback",
        "if not warm and mine < min(sound - FELT_K, warm_enough):",
        "if not warm and mine < warm_enough:",
        "what the sound vehicle does no better is complained of",
        "test_month::test_air_that_is_warm_enough_is_not_complained_of",
    ),
    _in(
        "comeback",
        "if needle > RED_FROM > should:",
        "if needle > 1.0:",
        "the red is beyond the scale",
        "test_month::test_an_engine_that_overheats_within_two_days_was_handed_back_dangerous",
    ),
    _in(
        "comeback",
        "heater=0.0 if warm else 1.0",
        "heater=1.0",
        "nobody wants cold air in a warm spell",
        "test_month::test_a_heater_that_does_not_shut_is_felt_in_the_warm_spell",
    ),
    _in(
        "comeback",
        "JAM_MINUTES if day == JAM_DAY else IDLE_MINUTES",
        "IDLE_MINUTES",
        "no jam in the month",
        "test_month::test_a_jam_in_the_warm_spell_finds_a_fan_that_does_not_run",
    ),
    _in("comeback", "\nFELT_L = 0.6 ", "\nFELT_L = 6.0 ", "nobody misses litres", "test_month"),
    _in("comeback", "\nFELT_AIR = 0.6 ", "\nFELT_AIR = 0.1 ", "nobody feels weak air", "test_month"),
    _in("comeback", "\nWET = 0.06 ", "\nWET = 6.0 ", "nobody feels a wet carpet", "test_month"),
    _in("comeback", "\nASTRAY = 0.25 ", "\nASTRAY = 0.15 ", "a needle a little low is complained of", "test_month"),
)

AMBIGUITY = (
    _in(
        "ambiguity",
        "np.flatnonzero(belief >= SUSPECTED)",
        "np.flatnonzero(belief >= 0.0)",
        "faults ruled out belong to a group",
        "test_ambiguity::test_a_group_holds_what_no_check_tells_from_the_declared_fault",
    ),
    _in(
        "ambiguity",
        "if not known[pair]:",
        "if known[pair]:",
        "faults that a check tells apart are a group",
        "test_ambiguity::test_a_group_holds_what_no_check_tells_from_the_declared_fault",
    ),
    _in(
        "ambiguity",
        "\nTOLD_APART_BITS = 0.03\n",
        "\nTOLD_APART_BITS = 1.1\n",
        "nothing tells anything apart",
        "test_ambiguity::test_a_twin_is_told_by_no_check_and_a_thermostat_by_one",
    ),
    _in(
        "ambiguity",
        "if pair not in known:",
        "if True:",
        "each pair is worked out anew",
        "test_ambiguity::test_each_pair_is_worked_out_once",
    ),
)

PRACTICE = (
    _in(
        "practice",
        "CONFUSED, FAILED, NEW = 3.0, 2.0, 1.0",
        "CONFUSED, FAILED, NEW = 1.0, 2.0, 3.0",
        "new jobs before confusions",
        "test_practice",
    ),
    _in(
        "practice",
        "if job.id == newest and len(catalogue.jobs) > 1:",
        "if False:",
        "a failed job comes at once",
        "test_practice::test_a_failed_job_comes_again_but_not_at_once",
    ),
    _in(
        "practice",
        "(last[job.id].passed is False or last[job.id].declared not in last[job.id].real)",
        "(last[job.id].passed is False)",
        "a wrong diagnosis went well",
        "test_practice::test_the_next_job_follows_from_what_was_done",
    ),
    _in(
        "practice",
        "if attempt.declared is not None and attempt.declared not in attempt.real",
        "if attempt.declared is not None",
        "a right diagnosis is a confusion",
        "test_practice::test_the_next_job_follows_from_what_was_done",
    ),
    Mutant(
        "scenarios/model.py",
        "for planted in self.faults if planted.severity != 0.0)",
        "for planted in self.faults)",
        "a fault of no severity is a fault",
        (f"{TESTS}/test_practice.py",),
    ),
)

MUTANTS = (
    *DIAGNOSIS,
    *EFFICIENCY,
    *SAFETY,
    *PARTS,
    *INQUIRY,
    *CALIBRATION,
    *COUNTING,
    *VERDICT,
    *MONTH,
    *AMBIGUITY,
    *PRACTICE,
)
