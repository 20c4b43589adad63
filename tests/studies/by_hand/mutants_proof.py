"""The proof of a repair, each rule changed: ``python -m tests.studies.mutants --only mutants_proof``."""

from __future__ import annotations

from tests.studies.mutants import mutants_of

MUTANTS = (
    *mutants_of(
        "grading/marks/healthy_range.py",
        "tests/grading/marks/proving/test_healthy_range.py",
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
            "passes and not truly",
            "False",
            "a lucky reading proves",
            "test_a_lucky_reading_of_an_unrepaired_vehicle_proves_nothing",
        ),
        (
            "passes or truly, ",
            "passes, ",
            "an unlucky reading fails a sound repair",
            "test_nobody_fails_by_the_error_of_an_instrument",
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
)
