"""Two faults at once, each rule changed: ``python -m tests.studies.mutants --only mutants_pairs``."""

from __future__ import annotations

from tests.studies.mutants import mutants_of

TESTS = "tests/grading/observer/test_pairs.py"
ONE = "test_what_one_fault_explains_makes_nobody_think_of_two"
TWO = "test_two_faults_are_believed_in_where_no_one_fault_explains_what_was_read"
SUM = "test_a_faults_belief_is_the_sum_over_the_causes_that_contain_it"
PRIOR = "test_one_arrival_in_twenty_has_two_faults_shared_by_their_rates_and_the_likelier_complaint"
COMPLAINT = "test_a_pair_is_told_by_the_complaint_that_goes_better_with_it"
CAN = "test_a_pair_is_of_different_parts_that_both_change_something"
TWICE = "test_nothing_is_proposed_twice_and_not_without_end"
PROMISE = "test_a_pair_explains_each_reading_as_well_as_the_better_of_its_faults"
SURPRISED = "test_a_reading_surprises_where_it_is_far_less_likely_than_any_that_was_expected"
EXPECTED = "test_what_one_vehicle_in_twenty_four_would_show_was_to_be_expected"

MUTANTS = (
    *mutants_of(
        "grading/observer/pairs.py",
        TESTS,
        ("\nSURPRISE = 3.0\n", "\nSURPRISE = 300.0\n", "nothing makes anyone think of two", SURPRISED),
        ("\nSURPRISE = 3.0\n", "\nSURPRISE = 0.0\n", "whatever is unlikely makes one think of two", SURPRISED),
        ("if step not in expected and", "if", "what was expected makes one think of two", EXPECTED),
        ("(i, j) not in known and ", "", "a pair is proposed twice", TWICE),
        ("if len(particles.pairs) >= MOST_PAIRS:", "if False:", "pairs without end", TWICE),
        (
            "np.maximum(explained[one], explained[other])",
            "np.minimum(explained[one], explained[other])",
            "a pair explains as badly as the worse of its faults",
            PROMISE,
        ),
        (
            "    promise += np.log(prior_of_pairs(particles.job, faults, pairs))\n",
            "",
            "a rare pair is as promising as a common one",
            PROMISE,
        ),
        (" if promise[k] > alone + np.log(PROPOSAL_ODDS)", "", "pairs that nothing speaks for are proposed", PROMISE),
        (
            "    whole.log_predictive[first:] = fresh.log_predictive[first:]\n",
            "",
            "pairs foresaw what was read",
            "test_pairs_foresaw_the_last_reading_as_if_imagined_from_the_start",
        ),
    ),
    *mutants_of(
        "grading/observer/prior.py",
        TESTS,
        ("\nTWO_AT_ONCE = 0.05\n", "\nTWO_AT_ONCE = 0.1\n", "one arrival in ten has two faults", PRIOR),
        ("TWO_AT_ONCE / (1.0 - TWO_AT_ONCE)", "TWO_AT_ONCE", "pairs are a share of the single faults", PRIOR),
        ("np.outer(rates, rates)", "np.ones((len(rates), len(rates)))", "all pairs are equally common", PRIOR),
        ("np.maximum.outer(chances, chances)", "np.minimum.outer(chances, chances)", "both must be told", COMPLAINT),
        ("np.triu(weight * can, 1)", "np.triu(weight, 1)", "pairs that cannot be take their share", PRIOR),
        (" and one.part != other.part", "", "two failures of one part come together", CAN),
        (
            "return bool(one.changes) and bool(other.changes) and",
            "return",
            "a sound vehicle comes with a fault beside",
            CAN,
        ),
    ),
    *mutants_of(
        "grading/observer/particles.py",
        TESTS,
        ("alone[list(pair)] += share", "alone[list(pair)] += 0.5 * share", "belief in a pair is shared out", SUM),
    ),
    *mutants_of(
        "grading/observer/cache.py",
        TESTS,
        ("if (steps or noticed) and is_surprising(", "if False and is_surprising(", "nobody thinks of two", TWO),
        (
            "if (steps or noticed) and is_surprising(then, performed.readings, steps, noticed):",
            "if steps or noticed:",
            "everybody thinks of two at once",
            ONE,
        ),
    ),
)
