"""How the work was done, each rule changed: ``python -m tests.studies.mutants --only mutants_workmanship``."""

from __future__ import annotations

from tests.studies.mutants import mutants_of

WORKMANSHIP, WORK = "grading/marks/workmanship.py", "grading/marks/work.py"
SAFETY, PARTS = "tests/grading/marks/test_safety.py", "tests/grading/marks/test_parts.py"
COSTS = "test_what_happened_costs_by_how_bad_it_is"
ONE, TWO = "test_one_fault", "test_of_two_faults_each_must_be_cured"
MONTH = "test_a_complaint_in_the_month_after_costs_as_much_as_no_repair"
SPOKE = "test_a_wrong_repair_costs_less_where_much_spoke_for_it"
RELIEF = "test_a_relief_counts_where_it_is_handed_over_as_one"
POOR = "test_poor_work_costs_whatever_comes_of_it_each_kind_once"
PASSING = "test_a_cure_in_passing_alone_cures_and_was_not_needed"

MUTANTS = (
    # safety
    *mutants_of(
        WORKMANSHIP,
        SAFETY,
        ('CRITICAL if event["critical"] else SLIP', "SLIP", "a critical error costs as much as any", COSTS),
        (
            "CRITICAL_CAUTION if caution.critical else CAUTION",
            "CAUTION",
            "a critical caution costs as much as any",
            COSTS,
        ),
        (' if note[2] == "skipped"})', "})", "a caution that was heeded was passed over", COSTS),
        ("if said and len(skipped) == len(shown):", "if False:", "every caution may be passed over cheaply", COSTS),
        ("if said and len(skipped) == len(shown):", "if said:", "one caution passed over is every one", COSTS),
        (
            "if said and len(skipped) == len(shown):",
            "if len(skipped) == len(shown):",
            "who was given no caution passed over every one",
            COSTS,
        ),
        (
            "SLIP, CAUTION, CRITICAL_CAUTION, CRITICAL = 25.0, 20.0,",
            "SLIP, CAUTION, CRITICAL_CAUTION, CRITICAL = 15.0, 20.0,",
            "a slip costs little",
            COSTS,
        ),
    ),
    # parts: what was left
    *mutants_of(
        WORKMANSHIP,
        PARTS,
        (
            "most = NOT_CURED if came_back or (left and not relieved) else",
            "most = NOT_CURED if came_back else",
            "unrepaired counted as relieved",
            ONE,
        ),
        (
            "most = NOT_CURED if came_back or (left and not relieved) else",
            "most = NOT_CURED if left and not relieved else",
            "a month with a complaint costs no parts marks",
            MONTH,
        ),
        (
            "if is_left(case.catalogue, case.work, fault)]",
            "if all(is_left(case.catalogue, case.work, one) for one in asked)]",
            "one repaired fault of two is enough",
            TWO,
        ),
        (
            "asked = [] if case.job.diagnosis_only else case.real",
            "asked = case.real",
            "where the fault is to be found alone it must be cured",
            "test_where_the_fault_is_to_be_found_alone_nothing_is_left",
        ),
        ("RELIEVED if left else 100.0", "100.0", "a temporary repair is a cure", RELIEF),
        ("NOT_CURED, RELIEVED = 30.0, 60.0", "NOT_CURED, RELIEVED = 30.0, 30.0", "a relief is worth nothing", RELIEF),
        ("NOT_CURED, RELIEVED = 30.0, 60.0", "NOT_CURED, RELIEVED = 50.0, 60.0", "no cure is half the parts", ONE),
        ("relieved = temporary and all(", "relieved = all(", "a relief need not be handed over as one", RELIEF),
        (
            "temporary and all(is_relieved(case.catalogue, case.work, fault) for fault in left)",
            "temporary",
            "whatever is handed over as temporary is relieved",
            RELIEF,
        ),
        (" - POOR_WORK * len(poor)), said", "), said", "poor work is free", POOR),
        ("\nPOOR_WORK = 20.0\n", "\nPOOR_WORK = 10.0\n", "poor work costs little", POOR),
        (
            "poor = sorted(\n        {what for name in done & case.catalogue.repairs.keys()"
            " if (what := case.catalogue.repairs[name].poor_work)}\n    )",
            "poor = [case.catalogue.repairs[name].poor_work for name in (a.text(0) for a in case.work"
            ' if a.verb == "repair") if case.catalogue.repairs[name].poor_work]',
            "poor work costs each time",
            POOR,
        ),
    ),
    # parts: what was not needed
    *mutants_of(
        WORKMANSHIP,
        PARTS,
        ("needless += price(repair) * (1.0 - min(meant, 1.0))", "needless += 0.0", "needless parts are free", ONE),
        (" * (1.0 - min(meant, 1.0))", "", "a wrong repair costs the same whatever spoke for it", SPOKE),
        (" * (1.0 - min(meant, 1.0))", " * (1.0 - meant)", "a wrong repair that much spoke for is paid", SPOKE),
        (
            "step.before[k] for k in would_cure(case.faults, repair.id)",
            "step.after[k] for k in would_cure(case.faults, repair.id)",
            "what a wrong repair taught excuses it",
            SPOKE,
        ),
        (
            "/ case.rubric.needless",
            "/ 1200.0",
            "nobody sets how much needless work leaves no marks",
            "test_who_sets_the_bar_says_how_much_needless_work_leaves_no_marks",
        ),
    ),
    *mutants_of(
        WORK,
        PARTS,
        (" if repair in fault.cured_by]", "]", "any suspicion excuses a wrong repair", SPOKE),
        ("return repair.minutes + COST_CLASSES[repair.cost]", "return repair.minutes", "a needless part is free", ONE),
        (
            "return repair.minutes + COST_CLASSES[repair.cost]",
            "return COST_CLASSES[repair.cost]",
            "labour is free",
            ONE,
        ),
        (
            "return frozenset((*fault.cured_by, *fault.cured_in_passing))",
            "return frozenset((*fault.cured_by, *fault.cured_in_passing, *fault.relieved_by))",
            "relief counted as cure",
            ONE,
        ),
        (
            "return frozenset((*fault.cured_by, *fault.cured_in_passing))",
            "return frozenset(fault.cured_by)",
            "what is cured in passing is left",
            "test_work_that_goes_with_one_cure_may_cure_the_other",
        ),
        (
            "not any(repair.id in fault.relieved_by for fault in left)",
            "True",
            "relief counted as waste",
            ONE,
        ),
        (
            "if any(repair.id in fault.cured_by",
            "if any(repair.id in (*fault.cured_by, *fault.cured_in_passing)",
            "a cure in passing was needed",
            PASSING,
        ),
        (
            "return bool(cures(fault)) and first_cure(",
            "return first_cure(",
            "what no repair cures is held against the person",
            "test_a_fault_that_no_repair_cures_is_held_against_nobody",
        ),
    ),
)
