"""The verdict, each rule changed: ``python -m tests.studies.mutants --only mutants_verdict``."""

from __future__ import annotations

from tests.studies.mutants import Mutant, mutants_of

VERDICT, TESTS = "grading/marks/verdict.py", "tests/grading/marks/test_verdict.py"
TOTAL, FINISHED = "test_total_and_verdict", "test_a_pass_takes_a_diagnosis_a_cure_a_proof_and_the_keys_back"
ALONE = "test_where_the_fault_is_to_be_found_alone_no_work_is_asked"
RELIEF = "test_a_relief_passes_where_it_is_handed_over_as_one_and_holds_for_a_week"
SECOND = "test_a_second_fault_must_be_cured_where_it_was_declared_or_brings_the_complaint"
ALLOWANCE, STANDS = "test_a_job_has_its_allowance", "test_a_wrong_diagnosis_may_not_stand"
UNFINISHED = "test_unfinished_work_that_is_wrong_is_failed"
MONTH = "test_the_month_after_counts"

SUSPECT_MARKS = mutants_of(
    VERDICT,
    TESTS,
    *(
        (
            "if criteria[name] < least",
            f'if name != "{criterion}" and criteria[name] < least',
            f"floor of the {criterion} removed",
            TOTAL,
        )
        for criterion in ("diagnosis", "safety", "parts")
    ),
    ("if criteria[name] < least", "if criteria[name] <= least", "a floor that is just reached is missed", TOTAL),
    (
        "criteria[name] * rubric.weights[name] / 100.0",
        "criteria[name] / len(criteria)",
        "all criteria weigh alike",
        TOTAL,
    ),
    (" or marks < rubric.total:", ":", "the total need not be reached", TOTAL),
    (" or marks < rubric.total:", " or marks <= rubric.total:", "the total must be passed", TOTAL),
    (" or marks < rubric.total:", " or total < rubric.total:", "hints end a pass", TOTAL),
    ("total = max(marks - hints, 0.0)", "total = marks", "hints are free", TOTAL),
    ("total = max(marks - hints, 0.0)", "total = marks - hints", "hints take more than there is", TOTAL),
    ("WITH_HELP if hints else PASSED", "PASSED", "a pass with help is a pass", TOTAL),
    ("return Verdict(FAILED, min(total, rubric.cap)", "return Verdict(FAILED, total", "errors leave the total", TOTAL),
    (
        "return Verdict(FAILED, min(total, rubric.cap)",
        "return Verdict(PASSED if total >= rubric.total else FAILED, min(total, rubric.cap)",
        "a critical error leaves the pass",
        TOTAL,
    ),
    ('for event in events if event["critical"])', "for event in events)", "any slip is a critical error"),
    (" or refused or came_back", " or came_back", "nothing is refused", TOTAL),
)

WHOLE = mutants_of(
    VERDICT,
    TESTS,
    ("    if not case.held:\n", "    if False:\n", "no diagnosis is asked", FINISHED),
    (
        '    if not any(action.verb == "handback" for action in case.work):\n',
        "    if False:\n",
        "the keys may stay in the workshop",
        FINISHED,
    ),
    ("    if left and not (is_temporary", "    if False and not (is_temporary", "no cure is asked", FINISHED),
    ("    if not case.proof.proven:\n", "    if False:\n", "no proof is asked", FINISHED),
    ("    if case.job.diagnosis_only:\n        return out\n", "", "a job of finding wants a repair", ALONE),
    (
        "if case.job.diagnosis_only or comeback is None",
        "if comeback is None",
        "a job of finding alone is asked for its month",
        ALONE,
    ),
    ("if left and not (is_temporary(case) and all(", "if left and not (all(", "any relief finishes a job", RELIEF),
    (
        "is_temporary(case) and all(is_relieved(case.catalogue, case.work, fault) for fault in left)",
        "is_temporary(case)",
        "what is handed over as temporary need not be relieved",
        RELIEF,
    ),
    (
        "return not is_temporary(case) or comeback.day <= HOLDS_DAYS",
        "return not is_temporary(case)",
        "a temporary repair need not hold",
        RELIEF,
    ),
    (
        "return not is_temporary(case) or comeback.day <= HOLDS_DAYS",
        "return True",
        "a temporary repair must hold for a month",
        RELIEF,
    ),
    ("\nHOLDS_DAYS = 7\n", "\nHOLDS_DAYS = 6\n", "a temporary repair has to hold for six days", RELIEF),
    (" or came_back(case, comeback) or marks", " or marks", "what came back is passed", RELIEF),
    (
        "if fault in case.asked or fault.id in named]",
        "if fault in case.asked]",
        "a fault that was declared may be left",
        SECOND,
    ),
    ("if fault in case.asked or fault.id in named]", "]", "a fault that nobody asked for must be cured", SECOND),
    (
        "if fault in case.asked or fault.id in named]",
        "if fault.id in named]",
        "a fault that was not declared may be left",
        SECOND,
    ),
    ("    if wrongly_held(case):\n", "    if False:\n", "a wrong diagnosis may stand", STANDS),
    (
        "if (minutes := worked(case)) > (allowed",
        "if (minutes := 0.0 * worked(case)) > (allowed",
        "no job has an allowance",
        ALLOWANCE,
    ),
    (
        "if (minutes := worked(case)) > (allowed",
        "if (minutes := worked(case)) >= (allowed",
        "the last minute of the allowance is too long",
        ALLOWANCE,
    ),
    (
        "comeback.dangerous and not comeback.held:",
        "comeback.dangerous and not comeback.day:",
        "a dangerous hand-back is not critical",
        MONTH,
    ),
    (
        "comeback.dangerous and not comeback.held:",
        "comeback.dangerous:",
        "a dangerous vehicle that is kept is critical",
        MONTH,
    ),
    (
        "if comeback is not None and comeback.forbidden:",
        "if False:",
        "an unroadworthy vehicle may be handed back",
        MONTH,
    ),
)

MUTANTS: tuple[Mutant, ...] = (
    *SUSPECT_MARKS,
    *WHOLE,
    *mutants_of(
        VERDICT,
        "tests/grading/marks/test_diagnosis.py",
        (
            "if open_ and not (worked_on and (came_back(case, comeback) or wrongly_held(case))):",
            "if open_ and not (worked_on and came_back(case, comeback)):",
            "who holds a wrong diagnosis has only not finished",
            UNFINISHED,
        ),
        (
            "if open_ and not (worked_on and (came_back(case, comeback) or wrongly_held(case))):",
            "if open_ and not (worked_on and wrongly_held(case)):",
            "what came back unfinished is only not finished",
            UNFINISHED,
        ),
    ),
    *mutants_of(
        "grading/marks/grade.py",
        "tests/grading/marks/test_parts.py",
        (
            "workmanship.parts(case, back, is_temporary(case))",
            "workmanship.parts(case, back)",
            "the marks for parts know of no temporary repair",
            "test_a_temporary_repair_is_marked_as_one",
        ),
    ),
    *mutants_of(
        "grading/marks/rubric.py",
        TESTS,
        (
            "max(self.allowance_factor * job.competent_minutes, self.allowance_least)",
            "self.allowance_factor * job.competent_minutes",
            "a short job has no time",
            ALLOWANCE,
        ),
        (
            "max(self.allowance_factor * job.competent_minutes, self.allowance_least)",
            "self.allowance_least",
            "a long job has no more time",
            ALLOWANCE,
        ),
        (
            "return self.allowance_otherwise",
            "return self.allowance_least",
            "a job without a median has the least time",
            ALLOWANCE,
        ),
    ),
    *mutants_of(
        "grading/marks/criteria.py",
        TESTS,
        ("\nWRONG_HELD = 0.5\n", "\nWRONG_HELD = 0.6\n", "a wrong diagnosis may be held to be likely", STANDS),
        (
            "return sum(rubric.hints[entry.action.text(0)] for entry in actions",
            'return sum(rubric.hints["question"] for entry in actions',
            "every step of a hint costs as little as the first",
            "test_each_step_of_a_hint_has_its_price",
        ),
    ),
    *mutants_of(
        "grading/marks/grade.py",
        TESTS,
        (
            "workmanship.parts(case, back, is_temporary(case))",
            "workmanship.parts(case, False, is_temporary(case))",
            "the month is not asked for parts",
            MONTH,
        ),
        (
            "came_back(case, comeback) or (comeback is not None and comeback.held)",
            "came_back(case, comeback)",
            "a vehicle held back is a job done",
            MONTH,
        ),
        (
            "if declared.id in truth and belief[index] >= rules.EARNED:",
            "if declared.id in truth:",
            "a right diagnosis has no group",
            "test_a_group_is_looked_for_where_it_could_matter",
        ),
    ),
    *mutants_of(
        "grading/marks/grade.py",
        "tests/grading/marks/test_rates.py",
        (
            "verdict(case, criteria | changed, comeback).passed",
            "verdict(case, criteria, comeback).passed",
            "no verdict hangs on a rate",
            "test_a_rate_decides_where_belief_is_near_the_floor",
        ),
        (
            "for one in case.held), faults=faults)",
            "for one in case.held))",
            "another rate leaves the prior",
            "test_a_fault_half_as_common_was_half_as_likely_beforehand",
        ),
    ),
)
