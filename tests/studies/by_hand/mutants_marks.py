"""The criteria of a grade, each rule changed: ``python -m tests.studies.mutants --only mutants_marks``."""

from __future__ import annotations

from tests.studies.mutants import mutants_of

CRITERIA, CASE = "grading/marks/criteria.py", "grading/marks/case.py"
DIAGNOSIS, EFFICIENCY, INQUIRY, CALIBRATION = (
    f"tests/grading/marks/test_{name}.py" for name in ("diagnosis", "efficiency", "inquiry", "calibration")
)
EARNS = "test_a_right_diagnosis_earns_what_the_readings_bear_out"
UNKNOWN = "test_what_the_observer_does_not_know_counts_for_the_person"
MODE = "test_the_right_part_and_cure_is_most_of_a_diagnosis"
PART = "test_a_wrong_diagnosis_of_the_right_part_earns_more"
SEVERAL = "test_several_may_be_declared"
ENDS = "test_the_search_ends_with_the_last_that_says_something_else"
AGAINST = "test_minutes_and_checks_are_held_against_the_reference"
CONFIRMS, LAST = "test_one_look_confirms_before_the_work", "test_only_the_last_such_look_is_free"
COMPETENT = "test_nobody_need_be_quicker_than_a_competent_technician"
TOO_SOON = "test_belief_that_was_lacking_costs_minutes_of_wrong_repairs"
BORNE_OUT = "test_the_diagnosis_that_is_best_borne_out_says_whether_it_was_too_soon"
ALLOWANCE = "test_minutes_to_the_diagnosis_are_held_against_the_allowance"
TELLING = "test_telling_checks_and_write_up"
CODES = "test_trouble_codes_are_read_before_they_are_cleared"

RIGHT = mutants_of(
    CRITERIA,
    DIAGNOSIS,
    (
        "share = _earned(case.in_group(declared, case.prior),",
        "share = _earned(0.0,",
        "what was likely beforehand counts as found out",
        EARNS,
    ),
    (
        "return min(EARNED, max(case.course.belief, LEAST_EARNED))",
        "return EARNED",
        "more belief asked for than the reference had",
        EARNS,
    ),
    (
        "return min(EARNED, max(case.course.belief, LEAST_EARNED))",
        "return min(EARNED, case.course.belief)",
        "a reference that stopped early asks for hardly any belief",
        EARNS,
    ),
    (
        "return min(case.in_group(declared, declared.belief) + case.in_group(declared, declared.error), 1.0)",
        "return case.in_group(declared, declared.belief)",
        "what the observer does not know counts against the person",
        UNKNOWN,
    ),
    ("return max(100.0 * share, UNSUPPORTED_MARKS)", "return 100.0", "a lucky guess is a full diagnosis", EARNS),
    ("return max(100.0 * share, UNSUPPORTED_MARKS)", "return 100.0 * share", "a lucky guess is worth nothing", EARNS),
    (
        "marks, said = sum(best) / len(best), []",
        "marks, said = max(best), []",
        "one fault of two is all that must be found",
        SEVERAL,
    ),
    (
        "best = [max(_marks(case, declared, fault) for declared in case.held)",
        "best = [_marks(case, case.held[-1], fault)",
        "the last of several diagnoses counts alone",
        SEVERAL,
    ),
)

NOT_QUITE = mutants_of(
    CRITERIA,
    DIAGNOSIS,
    ("\nOTHER_MODE = 70.0\n", "\nOTHER_MODE = 100.0\n", "another way of failing is the right diagnosis", MODE),
    ("    if same_cure(declared.fault, fault):\n", "    if False:\n", "another way of failing is wrong", MODE),
    (
        "return max(OTHER_MODE * _earned(case.of_part(declared, case.prior), belief, enough(case)), UNSUPPORTED_MARKS)",
        "return OTHER_MODE * _earned(case.of_part(declared, case.prior), belief, enough(case))",
        "the right part by luck is worth nothing",
        MODE,
    ),
    (
        "OTHER_MODE * _earned(case.of_part(declared, case.prior),",
        "OTHER_MODE * _earned(0.0,",
        "what was likely of a part beforehand counts as found out",
        MODE,
    ),
    ("return SAME_PART * share", "return 100.0 * share", "the right part is the right diagnosis", PART),
    (
        "return SAME_SYSTEM * share if declared.fault.system == fault.system else 0.0",
        "return SAME_SYSTEM * share",
        "a diagnosis of another system earns something",
        "test_a_wrong_diagnosis_earns_something_for_the_right_system",
    ),
    ("return min(marks, WRONG_MOST), said", "return marks, said", "a wrong one beside the right is free", SEVERAL),
    (
        "return min(marks, WRONG_MOST), said",
        "return 0.0, said",
        "a wrong one beside the right leaves nothing",
        SEVERAL,
    ),
    ("sum(WRONG_MOST * declared.confidence for", "sum(WRONG_MOST for", "a doubtful wrong one costs it all", SEVERAL),
    ("sum(WRONG_MOST * declared.confidence for", "sum(0.0 for", "a doubtful wrong diagnosis is free", SEVERAL),
    (
        " if len(case.held) > 1), 0.0)",
        "), 0.0)",
        "a wrong diagnosis that stands alone is paid for twice",
        "test_a_doubtful_wrong_diagnosis_alone_keeps_what_its_system_earned",
    ),
    (
        "any(declared.confidence >= WRONG_HELD and not",
        "any(not",
        "a doubtful diagnosis is held as likely",
        "test_a_wrong_diagnosis_that_stands_is_one_held_as_likely",
    ),
)

CASES = (
    *mutants_of(
        CASE,
        DIAGNOSIS,
        (
            "return fault.id in declared.group",
            "return fault.id == declared.fault.id",
            "faults that no check tells apart are told apart by the grade",
            "test_faults_that_no_check_tells_apart_count_as_one",
        ),
        (
            "if fault is declared.fault or same_cure(fault, declared.fault))",
            "if fault is declared.fault)",
            "belief in the part's other failures counts for nothing",
            MODE,
        ),
        (
            "return one.part == other.part and bool(set(one.cured_by) & set(other.cured_by))",
            "return one.part == other.part",
            "any cure of the right part will do",
            PART,
        ),
        (
            "return one.part == other.part and bool(set(one.cured_by) & set(other.cured_by))",
            "return bool(set(one.cured_by) & set(other.cured_by))",
            "what the same work cures is the same part",
            "test_another_part_that_the_same_work_cures_is_another_part",
        ),
        (
            "return [fault for fault in self.real if wanted & set(fault.shows)] or self.real",
            "return self.real",
            "a fault that brings no complaint must be found",
            "test_a_fault_that_brings_another_complaint_need_not_be_found",
        ),
        (
            "return [fault for fault in self.real if wanted & set(fault.shows)] or self.real",
            "return [fault for fault in self.real if wanted & set(fault.shows)] or self.real[:1]",
            "where none brings the complaint one fault is enough",
            "test_where_no_fault_brings_the_complaint_by_itself_all_must_be_found",
        ),
        (
            'if step.action.verb == "diagnose" and step.action.text(0) != before:',
            'if step.action.verb == "diagnose":',
            "who says the same again goes on searching",
            ENDS,
        ),
    ),
    *mutants_of(
        "grading/marks/grade.py",
        DIAGNOSIS,
    ),
)

TIME = mutants_of(
    CRITERIA,
    EFFICIENCY,
    (" + _confirming(case)\n", "\n", "no allowance for confirming", CONFIRMS),
    (
        "return min(idle[-1].minutes, CONFIRMING * min(minutes, default=0.0))",
        "return min(sum(step.minutes for step in idle), CONFIRMING * min(minutes, default=0.0))",
        "every idle check confirms",
        LAST,
    ),
    (
        "return min(idle[-1].minutes, CONFIRMING * min(minutes, default=0.0))",
        "return idle[-1].minutes",
        "a look that confirms is free however long it takes",
        CONFIRMS,
    ),
    ("\nCONFIRMING = 0.15\n", "\nCONFIRMING = 0.3\n", "a look that confirms may take long", CONFIRMS),
    (
        "(max(mine, par) + too_soon + FREE_MINUTES)",
        "(max(mine, par) + FREE_MINUTES)",
        "declaring too soon costs no time",
        TOO_SOON,
    ),
    (
        "(max(mine, par) + too_soon + FREE_MINUTES)",
        "(mine + too_soon + FREE_MINUTES)",
        "who is quicker than the reference is paid for it",
        AGAINST,
    ),
    ("    return max(found)\n", "    return found[0]\n", "the first of several must be borne out", BORNE_OUT),
    (
        "        if case.is_right(declared):\n",
        "        if False:\n",
        "with another way of failing it is always too soon",
        "test_who_knows_the_right_part_has_not_stopped_too_soon",
    ),
    ("max(minutes - discounted_minutes(actions) - free", "max(minutes - free", "standing counts in full", AGAINST),
    ("- discounted_minutes(actions) - free - min(", "- stood(actions) - min(", "protected checks take time", AGAINST),
    ("- free - min(run, WARM_UP), 0.0)", "- free, 0.0)", "verifying the complaint takes time", AGAINST),
    ("- free - min(run, WARM_UP), 0.0)", "- free - run, 0.0)", "all running is free", AGAINST),
    (
        "if _free(case.catalogue, name) or times[name] == 1:",
        "if _free(case.catalogue, name):",
        "the first repetition takes time",
        AGAINST,
    ),
    (
        "or times[name] == 1:",
        "or times[name] >= 1:",
        "every repetition is free",
        AGAINST,
    ),
    (
        "names.count(name) - (names.count(name) > 1)",
        "names.count(name)",
        "the first repetition is one check more",
        AGAINST,
    ),
    (
        ", (job.competent_minutes or 0.0) - WARM_UP)",
        ", 0.0)",
        "the reference's minutes alone are the measure",
        COMPETENT,
    ),
    (", job.competent_checks or 0)", ", 0)", "the reference's checks alone are the measure", COMPETENT),
    (
        "return 100.0 * (0.7 * spent + 0.3 * many), said",
        "return 100.0 * spent, said",
        "the number of checks is free",
        AGAINST,
    ),
    (
        "return max(total - discounted_minutes([step.action for step in steps]), 0.0)",
        "return total",
        "standing counts in full against the allowance",
        ALLOWANCE,
    ),
    (
        "    steps = case.to_diagnosis\n",
        "    steps = case.steps\n",
        "work after the diagnosis counts against the allowance",
        ALLOWANCE,
    ),
)

MUTANTS = (
    *RIGHT,
    *NOT_QUITE,
    *CASES,
    *TIME,
    *mutants_of(
        CRITERIA,
        INQUIRY,
        (
            "telling = 1.0 - max(len(idle) - 1, 0) / len(looked)",
            "telling = 1.0 - len(idle) / len(looked)",
            "no check may confirm",
            TELLING,
        ),
        (
            "telling = 1.0 - max(len(idle) - 1, 0) / len(looked)",
            "telling = 1.0",
            "checks that tell nothing are free",
            TELLING,
        ),
        (" if looked else float(checked)", " if looked else 1.0", "who looks at nothing has looked well", TELLING),
        (
            "return [step for step in checks if not _free(case.catalogue, step.action.text(0))]",
            "return checks",
            "protected checks count among those that tell nothing",
            TELLING,
        ),
        (
            "if step.bits < TELLING_BITS and step.number not in nothing]",
            "if step.bits < TELLING_BITS]",
            "a first repetition should have told something",
            TELLING,
        ),
        ("+ 35.0 * proven +", "+ 35.0 +", "a repair needs no proof", TELLING),
        (
            "proven = case.proof.proven or case.job.diagnosis_only",
            "proven = case.proof.proven",
            "where the fault is to be found alone a repair is proven",
            "test_where_the_fault_is_to_be_found_alone_there_is_nothing_to_prove",
        ),
        ("marks - UNREAD_CODES * cleared", "marks", "codes may be cleared unread", CODES),
        ("\nUNREAD_CODES = 20.0\n", "\nUNREAD_CODES = 10.0\n", "codes cleared unread cost little", CODES),
        ("            return not read\n", "            return True\n", "codes that were read must stay", CODES),
        ("read = read or any(", "read = True or any(", "any check reads the codes", CODES),
        (
            "len(str(note[1]).split()) >= SHORTEST_TEXT",
            "note[1]",
            "a word is a write-up",
            "test_a_note_counts_from_three_words",
        ),
    ),
    *mutants_of(
        CRITERIA,
        CALIBRATION,
        (
            "sum(gap * gap for gap in gaps)",
            "sum(abs(gap) for gap in gaps)",
            "linear instead of proper confidence score",
            "test_the_gap_counts_by_its_square",
        ),
        (
            "case.in_group(declared, declared.belief) for declared in case.held]",
            "case.in_group(declared, declared.belief) for declared in case.held[-1:]]",
            "of several the last stated confidence counts",
            "test_of_several_the_mean_counts",
        ),
        (
            "gaps = [declared.confidence - case.in_group(declared, declared.belief)",
            "gaps = [declared.confidence - _belief(case, declared)",
            "what the observer does not know may be overstated",
            "test_a_group_is_believed_in_as_one_and_the_error_gives_no_leave_to_overstate",
        ),
    ),
)
